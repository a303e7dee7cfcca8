package probe_test

import (
	"fmt"

	"bottlecrop/cmd/internal/probe"
)

// A log with semicolons and decimal commas: both are found in it, and 121,1 °C is 394.25 K.
func ExampleRead() {
	text := "Time;Bottle (°C)\n2026-03-14 10:00:00;119,8\n2026-03-14 10:01:00;120,5\n2026-03-14 10:02:00;121,1\n"
	log, findings := probe.Read("run.csv", []byte(text), probe.Options{})
	c := log.Channels[0]
	last := c.Points[len(c.Points)-1]
	fmt.Printf("%d findings; %s in %v, every %.0f s: %.2f K after %.0f s\n", len(findings), c.Name, c.Unit, log.Interval, last.Kelvin, last.Seconds)
	// Output: 0 findings; Bottle (°C) in °C, every 60 s: 394.25 K after 120 s
}
