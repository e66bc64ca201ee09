package forecast

import "testing"

// Whatever stands in a file, it is loaded or refused, and listed without a panic.
func FuzzLoad(f *testing.F) {
	w := patch()
	w.hours, w.levels, w.step, w.rows, w.cols, w.surface = []int{0, 3}, []float64{50000, 1000}, 10, 3, 3, true
	f.Add(w.file(f, "sky").Data)
	f.Add([]byte("GRIB\x00\x00\x00\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file := File{"sky", data}
		want := at(40, -95, 1)
		want.Workers = 1
		if c, err := Load([]File{file}, want); err == nil {
			s := c.Sampler(0)
			s.At(40, -95, 12000, 3600)
			c.Column(want.Place, 3600, 0)
		}
		Inventory([]File{file}, func(Message) {})
	})
}
