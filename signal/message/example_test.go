package message_test

import (
	"fmt"
	"time"

	"pappus/signal/message"
)

func ExampleFind() {
	text := "All is well!\nN 40 05.766 W 99 12.564\nAltitude: 12,000 ft\nTime: 13:05 UTC"
	for _, c := range message.Find(text, "messenger", message.Terms{Received: time.Date(2027, 4, 17, 13, 9, 0, 0, time.UTC)}) {
		fmt.Printf("%.4f %.4f %.1f m %s\n", c.Place.LatDeg, c.Place.LonDeg, c.Height.Metres, c.Time.Format(time.RFC3339))
		for _, a := range c.Assumed {
			fmt.Println(a)
		}
	}
	// Output:
	// 40.0961 -99.2094 3657.6 m 2027-04-17T13:05:00Z
	// the time names no date: the day that fits best was taken
}
