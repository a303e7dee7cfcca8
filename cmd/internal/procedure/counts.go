package procedure

import (
	"math"

	"bottlecrop/cmd/internal/unit"
)

// counts are facts of a batch from the incubation on: how many bad ones stop
// the work, on which day what is due, and how much crop to expect.
func (t *teller) counts() {
	b := t.batch
	t.quantity("probe_most", "probe_most")

	// The first whole number above a share of so many.
	above := func(share string, n int) int {
		return int(unit.Down(t.facts[share].(unit.Amount).Value*float64(n))) + 1
	}
	largest := int(b.Value("largest_load"))
	t.facts["load_size"] = largest
	t.facts["load_stop"] = above("bad_most", largest)
	t.facts["early_stop"] = above("bad_usual", b.Vessels)

	// One in so many, and one at least.
	every := func(n int, one string) int {
		of := t.facts[one].(int)
		return (n + of - 1) / of
	}
	t.facts["to_look_into"] = every(b.Filled, "washed_one_in")

	ripening := 0
	if ripened(t) {
		ripening = t.facts["ripening_usual"].(int)
	}
	t.facts["open_on"] = t.facts["incubation_usual"].(int) + ripening
	t.facts["pins_overdue"] = t.facts["pinning_high"].(int) + t.facts["pins_late"].(int)

	t.quantity("trimmed", "trim_share")
	for _, name := range []string{"yield_usual", "sold_usual"} {
		t.facts[name] = unit.Amount{Kind: unit.MassOf, Value: b.Value(name), Digits: 2}
	}
	t.facts["store_low"] = t.read(unit.TemperatureOf, math.Min(float64(storeColdest), float64(t.protocol.Harvest.CoolTo)))
	if wetted(t) {
		t.facts["water_all"] = unit.Amount{Kind: unit.VolumeOf, Value: b.Value("wetting_water") * float64(b.Vessels), Digits: 2}
	}
	if reusable(t) {
		t.facts["vessel_uses"] = int(b.Value("vessel_uses_most"))
		t.facts["lid_uses"] = int(b.Value("lid_uses_most"))
	}
}

// storeColdest is the coldest that mushrooms are kept, K: they keep best at 0 °C
// and freeze at -0.9 °C (USDA Agriculture Handbook 66, from memory).
const storeColdest unit.Temperature = 273.15
