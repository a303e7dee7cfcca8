package probe

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// number reads a decimal number with that decimal mark, with or without a unit
// of temperature behind it. Neither digit grouping nor hexadecimal is a number:
// each is read differently somewhere.
func number(s string, mark byte) (x float64, u Unit, ok bool) {
	body := s
	negative := false
	switch {
	case strings.HasPrefix(body, "-"):
		body, negative = body[1:], true
	case strings.HasPrefix(body, "−"):
		body, negative = body[len("−"):], true
	case strings.HasPrefix(body, "+"):
		body = body[1:]
	}
	var mantissa uint64
	digits, places, seen, i := 0, 0, false, 0
	for ; i < len(body); i++ {
		c := body[i]
		if c == mark && !seen {
			seen = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		digits++
		if seen {
			places++
		}
		if digits <= 18 {
			mantissa = mantissa*10 + uint64(c-'0')
		}
	}
	if digits == 0 {
		return 0, NoUnit, false
	}
	rest := body[i:]
	if digits <= 15 && (rest == "" || rest[0] != 'e' && rest[0] != 'E') {
		// Both parts are exact and so is their quotient's rounding.
		x = float64(mantissa) / powers[places]
	} else {
		if m := exponent.FindString(rest); m != "" {
			i += len(m)
			rest = body[i:]
		}
		text := body[:i]
		if mark == ',' {
			text = strings.Replace(text, ",", ".", 1)
		}
		var err error
		if x, err = strconv.ParseFloat(text, 64); err != nil || math.IsInf(x, 0) {
			return 0, NoUnit, false
		}
	}
	if negative {
		x = -x
	}
	if rest == "" {
		return x, NoUnit, true
	}
	u = unitWord(trim(rest))
	return x, u, u != NoUnit
}

var exponent = regexp.MustCompile(`^[eE][+-]?[0-9]{1,3}`)

var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// unitWord reads a text that is a unit of temperature and nothing else.
func unitWord(s string) Unit {
	switch strings.ToLower(strings.Trim(s, "()[] ")) {
	case "°c", "º c", "ºc", "° c", "℃", "c", "degc", "deg c", "deg. c", "celsius":
		return Celsius
	case "°f", "ºf", "º f", "° f", "℉", "f", "degf", "deg f", "deg. f", "fahrenheit":
		return Fahrenheit
	case "k", "kelvin":
		return Kelvin
	}
	return NoUnit
}

// A letter alone is a unit only where it cannot be a name: "Probe C" has none,
// and "T/C" is a thermocouple.
var unitPatterns = map[Unit]*regexp.Regexp{
	Celsius:    regexp.MustCompile(`(?i)[°º]\s*C\b|℃|\bcelsius\b|\bdeg\.?[\s_]?C\b|[(\[]\s*C\s*[)\]]|\b(?:temp|temperature)\.?[\s_,]+C$`),
	Fahrenheit: regexp.MustCompile(`(?i)[°º]\s*F\b|℉|\bfahrenheit\b|\bdeg\.?[\s_]?F\b|[(\[]\s*F\s*[)\]]|\b(?:temp|temperature)\.?[\s_,]+F$`),
	Kelvin:     regexp.MustCompile(`(?i)\bkelvin\b|[(\[]\s*K\s*[)\]]|\b(?:temp|temperature)\.?[\s_,]+K$`),
}

// unitIn finds the unit of temperature that a text names; none where it names
// two.
func unitIn(s string) Unit {
	if u := unitWord(s); u != NoUnit {
		return u
	}
	found := NoUnit
	for _, u := range []Unit{Celsius, Fahrenheit, Kelvin} {
		if unitPatterns[u].MatchString(s) {
			if found != NoUnit {
				return NoUnit
			}
			found = u
		}
	}
	return found
}

var (
	// A letter in brackets that names a column and is no unit, and any.
	nameLetter    = regexp.MustCompile(`(?i)[(\[]\s*[abdeg]\s*[)\]]`)
	bracketLetter = regexp.MustCompile(`(?i)[(\[]\s*[a-z]\s*[)\]]`)
)

// unitOfName is the unit of temperature in the name of a column. Beside
// "Probe (A)" and "Probe (B)", "Probe (C)" has none.
func (s *shape) unitOfName(column int) Unit {
	name := s.names[column]
	for _, n := range s.names {
		if nameLetter.MatchString(n) {
			name = bracketLetter.ReplaceAllString(name, " ")
			break
		}
	}
	return unitIn(trim(name))
}

// noReading are the words that loggers write where there is no temperature.
var noReading = map[string]bool{
	"": true, "-": true, "--": true, "---": true, "----": true, "nan": true, "n/a": true, "na": true, "#n/a": true,
	"null": true, "none": true, "err": true, "error": true, "open": true, "ol": true, "o.l.": true, "fault": true,
	"inf": true, "-inf": true, "+inf": true,
}

func isMissing(s string) bool {
	if s != "" && s[0] >= '0' && s[0] <= '9' {
		return false // as nearly all cells
	}
	return len(s) <= 5 && noReading[strings.ToLower(s)]
}
