package calendar

import (
	"fmt"
	"regexp"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
)

var weekName = regexp.MustCompile(`^([0-9]{4})-W([0-9]{2})$`)

// ParseWeek reads a week as "2026-W50" (ISO 8601) and gives its Monday.
func ParseWeek(text string) (Date, error) {
	m := weekName.FindStringSubmatch(text)
	if m == nil {
		return 0, fmt.Errorf("calendar: %q is no week such as 2026-W50", text)
	}
	year, _ := strconv.Atoi(m[1])
	week, _ := strconv.Atoi(m[2])
	fourth, err := On(year, 1, 4) // it is always in the first week
	if err != nil {
		return 0, err
	}
	monday := fourth - Date(fourth.Weekday()) + Date(7*(week-1))
	if y, w := monday.Week(); y != year || w != week || monday < First || monday+6 > Last {
		return 0, fmt.Errorf("calendar: %d has no week %d, or not all of it can be planned", year, week)
	}
	return monday, nil
}

// WeekName is the week of a day as "2026-W50" (ISO 8601).
func (d Date) WeekName() string {
	year, week := d.Week()
	return fmt.Sprintf("%d-W%02d", year, week)
}

// Mixing is the day as the code of a batch has it that is mixed on it: its week date
// as ISO 8601 writes it without hyphens.
func (d Date) Mixing() protocol.MixingDay {
	year, month, day := d.Civil()
	ofWeek, week := d.Week()
	return protocol.MixingDay{Date: d.String(), Short: fmt.Sprintf("%02d%02d%02d", year%100, month, day),
		Week: fmt.Sprintf("%dW%02d%d", ofWeek, week, int(d.Weekday())+1)}
}
