// Package calendar puts a batch on days: forwards from its first mix, backwards
// from a delivery, each task on a day on which somebody works, and the whole as
// text for calendar programs.
//
// A day is a civil date without a time zone. Adding days never meets a clock, so
// no hour is lost or found where clocks are changed; the package reads none.
package calendar

import (
	"fmt"
	"slices"
)

// Date is a day, as the number of days after 1970-01-01.
type Date int

// The first and the last day that a plan may touch.
const (
	First = Date(-25567) // 1900-01-01
	Last  = Date(84005)  // 2199-12-31
)

// On is the date of a year, month and day of the Gregorian calendar. The error is
// for one that there is not, such as February 29 of 2027, and for one outside 1900 to
// 2199.
func On(year, month, day int) (Date, error) {
	if month < 1 || month > 12 || day < 1 || day > daysIn(year, month) {
		return 0, fmt.Errorf("calendar: there is no day %04d-%02d-%02d", year, month, day)
	}
	if year < 1900 || year > 2199 {
		return 0, fmt.Errorf("calendar: %04d-%02d-%02d; %v to %v are possible", year, month, day, First, Last)
	}
	return fromCivil(year, month, day), nil
}

// fromCivil is days_from_civil of H. Hinnant, "chrono-Compatible Low-Level Date
// Algorithms" (howardhinnant.github.io/date_algorithms.html), for years above 0: years
// begin in March, so that a leap day ends one.
func fromCivil(year, month, day int) Date {
	y, m := year, month-3
	if month < 3 {
		y, m = year-1, month+9
	}
	era := y / 400
	ofEra := y - era*400
	ofYear := (153*m+2)/5 + day - 1
	return Date(era*146097 + ofEra*365 + ofEra/4 - ofEra/100 + ofYear - 719468)
}

// Civil is the year, month and day of a date: civil_from_days of the same source.
func (d Date) Civil() (year, month, day int) {
	z := int(d) + 719468 // above 0 from the year 1 on
	era := z / 146097
	ofEra := z - era*146097
	y := (ofEra - ofEra/1460 + ofEra/36524 - ofEra/146096) / 365
	ofYear := ofEra - (365*y + y/4 - y/100)
	m := (5*ofYear + 2) / 153
	day = ofYear - (153*m+2)/5 + 1
	year, month = y+era*400, m+3
	if month > 12 {
		year, month = year+1, month-12
	}
	return year, month, day
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// Parse reads "2026-12-25".
func Parse(text string) (Date, error) {
	var n [3]int
	if len(text) != len("2026-12-25") || text[4] != '-' || text[7] != '-' {
		return 0, notADate(text)
	}
	for i, span := range []string{text[:4], text[5:7], text[8:]} {
		for _, c := range []byte(span) {
			if c < '0' || c > '9' {
				return 0, notADate(text)
			}
			n[i] = n[i]*10 + int(c-'0')
		}
	}
	return On(n[0], n[1], n[2])
}

func notADate(text string) error {
	return fmt.Errorf("calendar: %q is no date; write year, month and day, such as 2026-12-25", text)
}

// String is the date as "2026-12-25" (ISO 8601).
func (d Date) String() string {
	y, m, day := d.Civil()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, day)
}

// Weekday is a day of the week, from Monday on (ISO 8601).
type Weekday int

// The days of the week.
const (
	Monday Weekday = iota
	Tuesday
	Wednesday
	Thursday
	Friday
	Saturday
	Sunday
)

var weekdays = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// String is the name that a farm's file has for it: "mon".
func (w Weekday) String() string { return weekdays[w] }

func parseWeekday(name string) (Weekday, bool) {
	i := slices.Index(weekdays, name)
	return Weekday(i), i >= 0
}

// Weekday is the day's place in its week. 1970-01-01 was a Thursday.
func (d Date) Weekday() Weekday { return Weekday(((int(d)+3)%7 + 7) % 7) }

// Week is the number of the day's week and the year that it belongs to: week 1
// has the year's first Thursday (ISO 8601).
func (d Date) Week() (year, week int) {
	thursday := d + Date(Thursday) - Date(d.Weekday())
	year, _, _ = thursday.Civil()
	return year, int(thursday-fromCivil(year, 1, 1))/7 + 1
}
