package season

// Level is what Little's law says of a room beside what was counted in it day by day:
// L = λ W (Little 1961, Operations Research 9:383, from memory). Rate is λ, vessels
// that come in on a day; Stay is W, the days for which each stays; both over the days
// of the season, of which a stay that began before it has the rest alone. Counted is
// the mean of the count.
type Level struct{ Rate, Stay, Counted float64 }

// Little compares a room's count with what came in and how long it stayed. The two
// are worked out on different ways, so a stay that is counted twice, or on a day too
// many, shows. It has none for what is no room, nor for one that nothing stands in.
func (s *Season) Little(r Resource) (Level, bool) {
	if r.Kind != Places || len(r.Taken) == 0 {
		return Level{}, false
	}
	came, days := 0, 0
	for _, b := range s.Batches {
		for _, stay := range b.Stays {
			if from, to := max(stay.From, s.First), min(stay.To, s.Last+1); stay.Room == r.Of && from < to {
				came += stay.Vessels
				days += stay.Vessels * int(to-from)
			}
		}
	}
	if came == 0 {
		return Level{}, false
	}
	span := float64(len(r.Taken))
	l := Level{Rate: float64(came) / span, Stay: float64(days) / float64(came)}
	for _, v := range r.Taken {
		l.Counted += v / span
	}
	return l, true
}
