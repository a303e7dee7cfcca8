package calendar_test

import (
	"fmt"

	"bottlecrop/cmd/internal/calendar"
)

// The last day of 2026 is a Thursday of week 53, and Friday 2027-01-01 is in it too: the
// week belongs to the year that has its Thursday (ISO 8601). After a Thursday, with a
// holiday on the Friday and nobody there on weekends, work goes on on Monday.
func ExampleWorkdays() {
	days, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, []string{"2027-01-01"})
	if err != nil {
		fmt.Println(err)
		return
	}
	last, _ := calendar.On(2026, 12, 31)
	fmt.Println(last, last.WeekName(), days.Open(last))
	fmt.Println(last+1, (last + 1).WeekName(), days.Open(last+1))
	fmt.Println(days.Next(last+1), days.Next(last+1).WeekName())
	// Output:
	// 2026-12-31 2026-W53 true
	// 2027-01-01 2026-W53 false
	// 2027-01-04 2027-W01
}

// Two days at least, four as a rule and twelve at most are (2 + 4·4 + 12)/6 = 5 days on the
// average, give or take (12 - 2)/6 = 1.67.
func ExamplePERT() {
	mean, sd, err := calendar.PERT(2, 4, 12)
	fmt.Printf("%.2f ± %.2f %v\n", mean, sd, err)
	// Output: 5.00 ± 1.67 <nil>
}
