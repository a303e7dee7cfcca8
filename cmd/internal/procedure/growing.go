package procedure

import "bottlecrop/cmd/internal/work"

var growing = []draft{
	{
		id:     work.Incubate,
		safety: []line{{"co2", nil}, {"lift", not(heavyCrate)}, {"crate", heavyCrate}, {"noise", loud(work.Incubation)}},
		more:   []line{{"crate.outside", both(heavyCrate, outOfScope)}, {"crate", both(heavyCrate, not(outOfScope))}},
		when:   []line{{"when.fixed", fixed("incubation")}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.7", nil}, {"do.6", controls},
		},
		looks: incubating,
	},
	{
		id:     work.Inspect,
		safety: []line{{"mold", nil}, {"co2", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.6", controls}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil},
		},
		looks: contaminated,
	},
	{
		id: work.Reject, critical: true,
		safety: []line{{"mold", nil}, {"hot-load", nil}, {"glass", glass}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil}, {"do.8", nil}, {"do.9", nil},
		},
	},
	{
		id:     work.Ripen,
		safety: []line{{"co2", nil}},
		do:     []line{{"do.0", nil}, {"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
		why:    []line{{"why.gray", opensGray}},
	},
}
