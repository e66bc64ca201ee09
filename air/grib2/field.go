package grib2

import "time"

// Field is one field of one message: its headers, and where its values lie.
// Its slices point into the data given to Scan, which must not be changed
// while the field is in use.
type Field struct {
	Message int // number of the message in the file, from 1
	Sub     int // number of the field in its message, from 1
	Offset  int // octets from the start of the file to the message
	Length  int // octets of the whole message

	Discipline   uint8  // code table 0.0: 0 is meteorology
	Centre       uint16 // common code table C-11
	SubCentre    uint16
	TableVersion uint8     // version of the master tables
	LocalTables  uint8     // version of the local tables
	Significance uint8     // code table 1.2: what the reference time is
	Reference    time.Time // UTC
	Status       uint8     // code table 1.3: operational, test, ...
	DataType     uint8     // code table 1.4: analysis, forecast, ...

	Product Product
	Grid    Grid
	Packing Packing

	bitmap    []byte // nil: every grid point has a value
	values    []byte // section 7 without its five leading octets
	valueAt   int    // offset of section 7 in the file
	packingAt int    // offset of section 5
}

// Product is section 4: what the field is, when and at which level.
type Product struct {
	Template uint16
	Known    bool  // whether the layout of the template is known; if not, only Template, Category and Number are set
	Category uint8 // code table 4.1
	Number   uint8 // code table 4.2

	Process   uint8 // code table 4.3: type of generating process
	Generator uint8 // the centre's own number of the process

	ForecastSeconds int64 // reference time to the instant, or to the start of the interval
	EndSeconds      int64 // reference time to the end of the interval; equal to ForecastSeconds for an instant
	Statistical     bool  // processed over the interval
	Statistic       uint8 // code table 4.10: 0 mean, 1 accumulation, 2 maximum, 3 minimum; 255 for an instant

	First, Second Surface

	Member            int // perturbation number; -1 when the template has none
	EnsembleType      int // code table 4.6; -1 when the template has none
	MembersInEnsemble int // -1 when the template has none
}

// Surface is one fixed surface, code table 4.5. Value is in the unit of the
// table, which is SI: Pa, m, K and so on.
type Surface struct {
	Type    uint8   // 255: there is no such surface
	Value   float64 // 0 when Missing
	Missing bool    // the surface has no value, as the ground has none
}

// Packing is section 5: how the numbers of section 7 are packed.
type Packing struct {
	Template  uint16
	Points    int     // values coded in section 7
	Reference float64 // R
	Binary    int     // E
	Decimal   int     // D
	Bits      int     // bits of a value, or of a group reference
	Original  uint8   // code table 5.1: 0 floating point, 1 integer

	Splitting       uint8   // code table 5.4, templates 5.2 and 5.3
	MissingValues   int     // code table 5.5: 0 none, 1 primary, 2 primary and secondary
	PrimaryMissing  float64 // the substitutes, as coded
	SecondMissing   float64
	Groups          int // NG
	WidthReference  int
	WidthBits       int
	LengthReference int
	LengthIncrement int
	LastLength      int
	LengthBits      int
	Order           int // of spatial differencing, template 5.3; 0 in 5.2
	ExtraOctets     int // octets of each extra descriptor

	Precision int // code table 5.7, template 5.4: 1 is 32 bits, 2 is 64 bits

	Flags       int // template 5.42: CCSDS compression options mask
	BlockSize   int // template 5.42
	Interval    int // template 5.42: reference sample interval, in blocks
	Compression int // template 5.40: code table 5.40; 0 is lossless
}
