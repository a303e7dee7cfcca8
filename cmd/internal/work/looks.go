package work

// When vessels are looked over, in days after the spawn: first on FirstLook, or on
// SecondLook where nobody is there, then on ThirdLook, and from there once in
// LookEvery days until they are opened. Common practice, no source.
const (
	FirstLook  = 4
	SecondLook = 5
	ThirdLook  = 10
	LookEvery  = 7
)

// Looks are the days of the looks before a vessel is opened on a day after the
// spawn, where somebody is there each day.
func Looks(opened int) []int {
	var out []int
	for day := FirstLook; day < opened; {
		out = append(out, day)
		if day < ThirdLook {
			day = ThirdLook
		} else {
			day += LookEvery
		}
	}
	return out
}
