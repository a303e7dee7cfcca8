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
