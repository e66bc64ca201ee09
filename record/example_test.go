package record_test

import (
	"fmt"

	"pappus/record"
)

func ExampleParse() {
	_, err := record.Parse("lark.toml", []byte(`[launch]
latitude = 95
longitude = -99.2094
elevation = "610 m"
time = 2027-04-17T08:00:00
`))
	fmt.Println(err)
	// Output:
	// lark.toml:2: launch.latitude: 95 is no place on the globe: expected degrees from -90 (south) to 90 (north), such as 40.0961
	// lark.toml:5: launch.time: the offset from UTC is missing: expected a date and time with its offset from UTC, such as 2027-04-17T08:00:00-05:00 or 2027-04-17T13:00:00Z
	// lark.toml:5: envelope: missing: expected a table [envelope] with mass
	// lark.toml:5: gas: missing: expected a table [gas] with kind, fill
	// lark.toml:5: train: missing: expected a [[train]] with part = "parachute"
	// lark.toml:5: train: missing: expected a [[train]] with part = "box"
}
