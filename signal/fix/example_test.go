package fix_test

import (
	"fmt"
	"time"

	"pappus/measure/geo"
	"pappus/measure/unit"
	"pappus/signal/fix"
)

// A receiver that throws one place across the map: it is marked, and the others stand.
func ExampleJudge() {
	noon := time.Date(2027, 4, 17, 12, 0, 0, 0, time.UTC)
	var reports []fix.Report
	for i, lon := range []float64{-99.21, -99.20, -95.00, -99.18} {
		reports = append(reports, fix.Report{
			Source: "radio", Raw: fmt.Sprint("line ", i), Time: noon.Add(time.Duration(i) * time.Minute), TimeKind: fix.Told,
			Place: geo.Point{LatDeg: 40.1, LonDeg: lon}, HasPlace: true, Expected: fix.Expected{Across: fix.AcrossUsual},
		})
	}
	for _, j := range fix.Judge(reports, fix.Terms{}, nil) {
		fmt.Println(j.Report.Raw, j.Use)
		for _, m := range j.Marks {
			fmt.Println("  ", m.Text(unit.Metric))
		}
	}
	// Output:
	// line 0 true
	// line 1 true
	// line 2 false
	//    It lies 357 km from a report 1 min away in time: no balloon, car or fall gets there.
	// line 3 true
}
