// Package review lists the texts of a book that keep people from harm, each beside its
// translation, so that somebody whose first language it is can look them over; and gives
// the list a fingerprint, by which a farm says which texts were looked over.
package review

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// Text is one safety text. A text that nobody translated has itself as its translation:
// a page shows it so.
type Text struct {
	ID             string // of the message; or the file and the key that an author wrote it at
	Written        string // the language of the original
	Original, Told string
}

// Page is a guide with safety messages. It is looked over where it stands, as a whole.
type Page struct {
	Name           string // "pressure-vessels"
	Original, Told []byte
}

// Set is what a native reader of one language looks over.
type Set struct {
	Texts []Text // by id
	Pages []Page // by name
}

// New sorts what there is to look over.
func New(texts []Text, pages []Page) Set {
	s := Set{slices.Clone(texts), slices.Clone(pages)}
	slices.SortFunc(s.Texts, func(a, b Text) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Original, b.Original)) })
	slices.SortFunc(s.Pages, func(a, b Page) int { return cmp.Compare(a.Name, b.Name) })
	return s
}

// Empty reports whether there is nothing to look over.
func (s Set) Empty() bool { return len(s.Texts)+len(s.Pages) == 0 }

// Fingerprint stands for the set: eight hexadecimal digits of its SHA-256, as those of a
// method are written. It changes with any text, original or translation; that two sets
// differ and have the same is one chance in four thousand million.
func (s Set) Fingerprint() string {
	h := sha256.New()
	for _, t := range s.Texts {
		fmt.Fprintf(h, "%q %q %q\n", t.ID, t.Original, t.Told)
	}
	for _, p := range s.Pages {
		fmt.Fprintf(h, "%q %q %q\n", p.Name, p.Original, p.Told)
	}
	sum := hex.EncodeToString(h.Sum(nil))
	return sum[:4] + "-" + sum[4:8]
}

// messages are the beginnings of the ids of safety messages, but for those of limits.
var messages = []string{
	"book.fault.", "fault.", // a run that goes wrong
	"book.hygiene.alcohol.do.", "book.hygiene.bleach.do.", "book.hygiene.listeria.", "book.hygiene.safety.", "book.hygiene.swab.",
	"book.library.caustic", "book.library.dusty", "book.library.no_filter", "book.library.plate",
	"book.loading.stop",
	"book.roomcard.",
	"book.signal.",
	"book.standing.", "book.not_in_force",
	"book.wall.emergency", "book.wall.stops",
	"hazard.", "safety.",
	"step.pressure-off.", "step.unload.", // the door
}

// ids are the messages that keep people from harm.
var ids = sync.OnceValue(func() []string {
	begins := slices.Clone(messages)
	for _, row := range limit.All() {
		if row.Safety {
			begins = append(begins, "limit."+row.ID+".")
		}
	}
	var out []string
	for _, id := range words.IDs() {
		if slices.ContainsFunc(begins, func(b string) bool { return strings.HasPrefix(id, b) }) {
			out = append(out, id)
		}
	}
	return out
})

// Messages are the safety messages of the program in two voices.
func Messages(original, told *words.Voice) []Text {
	var out []Text
	for _, id := range ids() {
		out = append(out, Text{id, words.Original, original.Template(id), told.Template(id)})
	}
	return out
}

// Authored are the safety texts of a value that an author wrote, such as a farm, a
// protocol or an entry of the library. The card of a trouble that begins with a caution
// is looked over whole.
func Authored(document, prefix, written string, v any, say func(text string) string) []Text {
	var out []Text
	add := func(key, text string) {
		if prefix != "" {
			key = prefix + "." + key
		}
		out = append(out, Text{document + ": " + key, written, text, say(text)})
	}
	if t, ok := v.(protocol.Trouble); ok && t.Safety != "" {
		protocol.Prose(v, func(key, text string, _ bool) { add(key, text) })
		return out
	}
	protocol.Cautions(v, add)
	return out
}

// message finds a safety message in Markdown, of whatever language: a quote that begins
// with a word in bold capitals.
var message = regexp.MustCompile(`(?m)^> \*\*\p{Lu}+\*\*`)

// IsSafety reports whether a guide has safety messages.
func IsSafety(markdown []byte) bool {
	return message.Match(bytes.ReplaceAll(markdown, []byte("\r\n"), []byte("\n")))
}
