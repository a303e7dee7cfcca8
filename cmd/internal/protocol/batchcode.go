package protocol

import (
	"slices"
	"strconv"
	"strings"
)

// UsualBatchCode is the rule of a farm that says none.
const UsualBatchCode = "{protocol}-{mixed}"

// BatchCodeMost is the most characters that a code may have (design choice): two lines
// of the smallest label for a vessel, at 7.5 pt.
const BatchCodeMost = 32

// BatchCodeSigns are the signs that a code may have beside letters and digits. With
// capital letters, a label, a file name, and a QR code in alphanumeric mode (ISO/IEC
// 18004:2015, table 5) bear all of them.
const BatchCodeSigns = "-."

// CodeNames are the names that the rule of a batch code may have in braces.
var CodeNames = []string{"protocol", "document", "mixed", "mixed-short", "mixed-week", "letter", "count"}

// CodeRule is how a farm makes the code of a batch: texts, and names that stand for
// something of the batch.
type CodeRule struct{ parts []codePart }

// codePart is a text, or the name of what stands in its place.
type codePart struct{ text, name string }

// MixingDay is the first day of mixing as a code may have it.
type MixingDay struct {
	Date  string // 2026-03-14
	Short string // 260314
	Week  string // 2026W116: year, ISO week, and day of the week from Monday, 1
}

// CodeFault is why a text is no rule for batch codes.
type CodeFault struct {
	ID    string // "open", "name", "sign", "day", "protocol", "running"
	At    int    // characters before it
	Found string // what stands there
}

// ParseCodeRule reads a rule.
func ParseCodeRule(text string) (CodeRule, *CodeFault) {
	var r CodeRule
	for at := 0; at < len(text); {
		column := len([]rune(text[:at]))
		rest := text[at:]
		switch end := strings.IndexByte(rest, '}'); {
		case rest[0] == '{' && end < 0:
			return r, &CodeFault{"open", column, rest}
		case rest[0] == '{':
			name := rest[1:end]
			if !slices.Contains(CodeNames, name) {
				return r, &CodeFault{"name", column + 1, name}
			}
			r.parts = append(r.parts, codePart{name: name})
			at += end + 1
		default:
			for i, c := range rest {
				if c == '{' {
					rest = rest[:i]
					break
				}
				if !inCode(c) {
					return r, &CodeFault{"sign", len([]rune(text[:at+i])), string(c)}
				}
			}
			r.parts = append(r.parts, codePart{text: rest})
			at += len(rest)
		}
	}
	switch {
	case !r.has("mixed", "mixed-short", "mixed-week"):
		return r, &CodeFault{ID: "day"}
	case !r.has("protocol", "document"):
		return r, &CodeFault{ID: "protocol"}
	case r.has("letter") && r.has("count"):
		return r, &CodeFault{ID: "running"}
	}
	return r, nil
}

func inCode(c rune) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.ContainsRune(BatchCodeSigns, c)
}

// IsBatchCode reports whether a text has only what a code may have, and is not too long.
func IsBatchCode(text string) bool {
	return text != "" && len(text) <= BatchCodeMost && !strings.ContainsFunc(text, func(c rune) bool { return !inCode(c) })
}

// has reports whether one of the names is in the rule.
func (r CodeRule) has(names ...string) bool {
	return slices.ContainsFunc(r.parts, func(p codePart) bool { return p.name != "" && slices.Contains(names, p.name) })
}

// runs reports whether each code has a letter or a number that tells the batches of a
// protocol and a day apart. Without one the second has a "-2" behind it.
func (r CodeRule) runs() bool { return r.has("letter", "count") }

// NeedsNumber reports whether a protocol needs a number as a document.
func (r CodeRule) NeedsNumber() bool { return r.has("document") }

// CodeRule is the farm's rule. What a reader refuses is the usual one here.
func (f Farm) CodeRule() CodeRule {
	if f.BatchCode != "" {
		if r, fault := ParseCodeRule(f.BatchCode); fault == nil {
			return r
		}
	}
	r, _ := ParseCodeRule(UsualBatchCode)
	return r
}

// Code is the code of the nth batch, from 1, of those of a protocol that are mixed on
// a day. It is the one place where codes are made.
func (r CodeRule) Code(of Protocol, on MixingDay, nth int) string {
	var b strings.Builder
	for _, p := range r.parts {
		switch p.name {
		case "protocol":
			b.WriteString(of.Name)
		case "document":
			if of.Control != nil {
				b.WriteString(of.Control.Number)
			}
		case "mixed":
			b.WriteString(on.Date)
		case "mixed-short":
			b.WriteString(on.Short)
		case "mixed-week":
			b.WriteString(on.Week)
		case "letter":
			b.WriteString(letters(nth))
		case "count":
			b.WriteString(strconv.Itoa(nth))
		default:
			b.WriteString(p.text)
		}
	}
	if nth > 1 && !r.runs() {
		b.WriteString("-" + strconv.Itoa(nth))
	}
	return b.String()
}

// letters counts A to Z, then AA, AB.
func letters(n int) string {
	out := ""
	for ; n > 0; n = (n - 1) / 26 {
		out = string(rune('A'+(n-1)%26)) + out
	}
	return out
}

// CodeKey is what two codes have in common that nobody could tell apart: in a file
// name, and read aloud, capital letters are no difference.
func CodeKey(code string) string { return strings.ToUpper(code) }

// Told reports whether a code has the day in it, in one of the forms.
func (d MixingDay) Told(code string) bool {
	return strings.Contains(code, d.Date) || strings.Contains(code, d.Short) || strings.Contains(CodeKey(code), d.Week)
}
