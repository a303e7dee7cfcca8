package press

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
)

// A PDF as the browser writes it: objects with their offsets in one table at the end
// (ISO 32000-1, 7.5), dictionaries in plain text, streams with their length.
type document struct {
	pdf  []byte
	at   map[int]int // offset of an object by its number
	root int
}

// Unknown says that a PDF is not written as the browsers that this package knows
// write theirs: another version may do it otherwise.
type Unknown struct{ Why string }

func (e *Unknown) Error() string {
	return "press: the browser writes its PDF in a form that is not known here: " + e.Why
}

var (
	startXref = regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`)
	xrefHead  = regexp.MustCompile(`^xref\s+0 (\d+)\s+`)
	rootOf    = regexp.MustCompile(`/Root (\d+) 0 R`)
	length    = regexp.MustCompile(`/Length (\d+)\b`)
	streaming = regexp.MustCompile(`>>\s*stream\r?\n`)
)

func open(pdf []byte) (*document, error) {
	m := startXref.FindSubmatch(pdf[max(0, len(pdf)-100):])
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || m == nil {
		return nil, &Unknown{"it does not begin and end as a PDF does"}
	}
	table, _ := strconv.Atoi(string(m[1]))
	if table < 0 || table >= len(pdf) {
		return nil, &Unknown{"its table of objects is not where it says"}
	}
	head := xrefHead.FindSubmatch(pdf[table:])
	if head == nil {
		return nil, &Unknown{"it has no plain table of objects"}
	}
	n, _ := strconv.Atoi(string(head[1]))
	d := &document{pdf: pdf, at: map[int]int{}}
	row := table + len(head[0])
	for i := range n {
		if row+20 > len(pdf) {
			return nil, &Unknown{"its table of objects ends too soon"}
		}
		// Ten digits and no sign (7.5.4), which Atoi would take.
		offset, err := strconv.ParseUint(string(pdf[row:row+10]), 10, 63)
		if err != nil || offset >= uint64(len(pdf)) {
			return nil, &Unknown{fmt.Sprintf("object %d has no place", i)}
		}
		if pdf[row+17] == 'n' {
			d.at[i] = int(offset)
		}
		row += 20
	}
	r := rootOf.FindSubmatch(pdf[row:])
	if r == nil {
		return nil, &Unknown{"it has no root"}
	}
	d.root, _ = strconv.Atoi(string(r[1]))
	return d, nil
}

// span is what of an object is plain text: all of it, or what stands before its
// stream.
func (d *document) span(number int) (from, to int, err error) {
	from, ok := d.at[number]
	if !ok {
		return 0, 0, &Unknown{fmt.Sprintf("object %d is not there", number)}
	}
	end := bytes.Index(d.pdf[from:], []byte("endobj"))
	if end < 0 {
		return 0, 0, &Unknown{fmt.Sprintf("object %d has no end", number)}
	}
	if s := streaming.FindIndex(d.pdf[from : from+end]); s != nil && length.Match(d.pdf[from:from+s[0]]) {
		return from, from + s[0], nil
	}
	return from, from + end, nil
}

func (d *document) text(number int) ([]byte, error) {
	from, to, err := d.span(number)
	if err != nil {
		return nil, err
	}
	return d.pdf[from:to], nil
}

var (
	dateOf   = regexp.MustCompile(`/(?:CreationDate|ModDate) \(D:(\d{14}[+-]\d\d'\d\d')\)`)
	creator  = regexp.MustCompile(`/Creator \((?:[^()\\]|\\.)*\)`)
	nodeName = regexp.MustCompile(`\(node(\d{8})\)`)
)

// noDate takes the place of the day on which a PDF was made, digit for digit.
const noDate = "19700101000000+00'00'"

// undated is a PDF without what differs from one printing to the next: the dates,
// the names that the browser counts its elements with, and its own name and machine.
// Each is replaced by as many bytes, so that nothing moves.
func undated(pdf []byte) ([]byte, error) {
	out := bytes.Clone(pdf)
	d, err := open(out)
	if err != nil {
		return nil, err
	}
	type spot struct{ from, to int }
	var spots []spot
	for number := range d.at {
		from, to, err := d.span(number)
		if err != nil {
			return nil, err
		}
		spots = append(spots, spot{from, to})
	}
	slices.SortFunc(spots, func(a, b spot) int { return a.from - b.from })
	dates := 0
	seen := map[string]bool{}
	for _, s := range spots {
		part := out[s.from:s.to]
		for _, m := range dateOf.FindAllSubmatchIndex(part, -1) {
			copy(part[m[2]:m[3]], noDate)
			dates++
		}
		if m := creator.FindIndex(part); m != nil {
			with := []byte("/Creator (bottlecrop)")
			if room := m[1] - m[0] - len(with); room >= 0 {
				copy(part[m[0]:m[1]], append(with, bytes.Repeat([]byte(" "), room)...))
			}
		}
		for _, m := range nodeName.FindAllSubmatch(part, -1) {
			seen[string(m[1])] = true
		}
	}
	if dates != 2 {
		return nil, &Unknown{fmt.Sprintf("it has %d dates where two were to be", dates)}
	}
	// The names stand in a sorted tree, so they keep their order.
	names := make([]string, 0, len(seen))
	for n := range seen {
		names = append(names, n)
	}
	slices.Sort(names)
	number := make(map[string]string, len(names))
	for i, n := range names {
		number[n] = fmt.Sprintf("%08d", i+1)
	}
	for _, s := range spots {
		part := out[s.from:s.to]
		for _, m := range nodeName.FindAllSubmatchIndex(part, -1) {
			copy(part[m[2]:m[3]], number[string(part[m[2]:m[3]])])
		}
	}
	return out, nil
}

var (
	pagesOf = regexp.MustCompile(`/Pages (\d+) 0 R`)
	destsOf = regexp.MustCompile(`/Dests (\d+) 0 R`)
	kidsOf  = regexp.MustCompile(`/Kids \[([^\]]*)\]`)
	number  = regexp.MustCompile(`(\d+) 0 R`)
	place   = regexp.MustCompile(`/([^\s/\[\]<>()]+) \[(\d+) 0 R`)
	hexed   = regexp.MustCompile(`#([0-9A-Fa-f]{2})`)
)

// Places tells how many pages a PDF has, and on which, from 1, the elements stand
// that links of the document lead to, by their ids.
func Places(pdf []byte) (pages int, of map[string]int, err error) {
	d, err := open(pdf)
	if err != nil {
		return 0, nil, err
	}
	root, err := d.text(d.root)
	if err != nil {
		return 0, nil, err
	}
	top := pagesOf.FindSubmatch(root)
	if top == nil {
		return 0, nil, &Unknown{"it has no pages"}
	}
	order := map[int]int{} // page by its object
	if err := d.pages(atoi(top[1]), order, 0); err != nil {
		return 0, nil, err
	}
	of = map[string]int{}
	if m := destsOf.FindSubmatch(root); m != nil {
		text, err := d.text(atoi(m[1]))
		if err != nil {
			return 0, nil, err
		}
		for _, p := range place.FindAllSubmatch(text, -1) {
			name := hexed.ReplaceAllFunc(p[1], func(h []byte) []byte {
				b, _ := strconv.ParseUint(string(h[1:]), 16, 8) // two digits of hexadecimal
				return []byte{byte(b)}
			})
			page, ok := order[atoi(p[2])]
			if !ok {
				return 0, nil, &Unknown{fmt.Sprintf("%s stands on no page", name)}
			}
			of[string(name)] = page
		}
	}
	return len(order), of, nil
}

// deepest bounds the tree of pages: eight to a node, it has a million pages.
const deepest = 8

func (d *document) pages(at int, order map[int]int, depth int) error {
	text, err := d.text(at)
	if err != nil {
		return err
	}
	kids := kidsOf.FindSubmatch(text)
	if kids == nil {
		order[at] = len(order) + 1
		return nil
	}
	if depth == deepest {
		return &Unknown{"its pages stand too deep"}
	}
	for _, k := range number.FindAllSubmatch(kids[1], -1) {
		if err := d.pages(atoi(k[1]), order, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func atoi(digits []byte) int {
	n, _ := strconv.Atoi(string(digits)) // the patterns let digits alone through
	return n
}
