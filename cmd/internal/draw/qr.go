package draw

import (
	"fmt"
	"html"
	"strconv"
	"strings"
	"sync"

	"rsc.io/qr"
	"rsc.io/qr/coding"
)

// QuietZone is how many modules around a QR code stay white: ISO/IEC 18004:2015, 6.3.8.
const QuietZone = 4

// QR is a text as a QR code (ISO/IEC 18004) with error correction of level Q or H: a
// quarter of its codewords, or more, may be unreadable.
type QR struct {
	Text    string
	Version int // 1 to 40: it has 17 and 4 times as many modules on a side
	Level   string
	Mask    int
	grid    [][]bool // dark modules by row and column
}

// smallest is the smallest code that holds a text at level Q, at level H where that takes
// no larger one. The error is for a text that is too long for any.
func smallest(text string) (enc coding.Encoding, version coding.Version, level coding.Level, err error) {
	enc = coding.String(text)
	if alpha := coding.Alpha(text); alpha.Check() == nil {
		enc = alpha // capitals, digits and a few signs take less room
	}
	version, level = coding.Version(coding.MinVersion), coding.Level(qr.Q)
	holds := func(l coding.Level) bool { return enc.Bits(version) <= version.DataBytes(l)*8 }
	for !holds(level) {
		if version++; version > coding.MaxVersion {
			return nil, 0, 0, fmt.Errorf("draw: %d bytes are too many for a QR code", len(text))
		}
	}
	if holds(coding.Level(qr.H)) {
		level = coding.Level(qr.H)
	}
	return enc, version, level, nil
}

// QRModules is how many modules wide the code of a text is, the quiet zone on both sides
// with it: it is known without drawing the code under each mask.
func QRModules(text string) (int, error) {
	_, version, _, err := smallest(text)
	if err != nil {
		return 0, err
	}
	return 17 + 4*int(version) + 2*QuietZone, nil
}

// NewQR encodes a text in the smallest code that holds it, under the mask that reads
// best. The error is for a text that is too long for any.
func NewQR(text string) (QR, error) {
	enc, version, level, err := smallest(text)
	if err != nil {
		return QR{}, err
	}
	plan, err := planOf(version, level, 0)
	if err != nil {
		return QR{}, err
	}
	code, err := plan.Encode(enc)
	if err != nil {
		return QR{}, err
	}
	n := code.Size
	bits, cells := make([]uint16, n*n), make([]uint16, n*n)
	for y := range n {
		for x := range n {
			if code.Black(x, y) {
				bits[y*n+x] = 1
			}
			bits[y*n+x] ^= plan.dark[y*n+x] // under another mask the same text stands on another ground
		}
	}
	best := QR{Text: text, Version: int(version), Level: level.String()}
	least := -1
	for mask := range 8 {
		masked, err := planOf(version, level, coding.Mask(mask))
		if err != nil {
			return QR{}, err
		}
		for i, x := range bits {
			cells[i] = x ^ masked.dark[i]
		}
		if p := penalty(cells, n); least < 0 || p < least {
			least, best.Mask, best.grid = p, mask, gridOf(cells, n)
		}
	}
	return best, nil
}

func gridOf(cells []uint16, n int) [][]bool {
	grid, all := make([][]bool, n), make([]bool, n*n)
	for i, x := range cells {
		all[i] = x == 1
	}
	for y := range grid {
		grid[y] = all[y*n : (y+1)*n]
	}
	return grid
}

// ground is a code of a version, a level and a mask without its text.
type ground struct {
	*coding.Plan
	dark []uint16 // its modules by row, 1 for a dark one
}

// grounds are those that were needed, by version, level and mask: all addresses of a book
// need few, and making one takes longer than filling it in.
var grounds sync.Map

func planOf(v coding.Version, l coding.Level, m coding.Mask) (ground, error) {
	type kind struct {
		v coding.Version
		l coding.Level
		m coding.Mask
	}
	if g, ok := grounds.Load(kind{v, l, m}); ok {
		return g.(ground), nil
	}
	p, err := coding.NewPlan(v, l, m)
	if err != nil {
		return ground{}, err
	}
	g := ground{Plan: p}
	for _, row := range p.Pixel {
		for _, x := range row {
			dark := uint16(0)
			if x&coding.Black != 0 {
				dark = 1
			}
			g.dark = append(g.dark, dark)
		}
	}
	grounds.Store(kind{v, l, m}, g)
	return g, nil
}

// Modules is how many modules it is wide, the quiet zone on both sides with it.
func (q QR) Modules() int { return len(q.grid) + 2*QuietZone }

// SVG is the code as one path on white, in ink of its own so that it stays black on
// white on a dark page. A module is so many millimeters wide; what the code is for is
// told to who can't see it.
func (q QR) SVG(module float64, title string) string {
	n := q.Modules()
	size := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", float64(n)*module), "0"), ".")
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="qr" role="img" width="%[1]smm" height="%[1]smm" viewBox="0 0 %[2]d %[2]d" shape-rendering="crispEdges"><title>%[3]s</title><path fill="#fff" d="M0 0h%[2]dv%[2]dH0z"/><path fill="#000" d="`,
		size, n, html.EscapeString(title))
	var path []byte
	for y, row := range q.grid {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				path = append(path, 'M')
				path = strconv.AppendInt(path, int64(from+QuietZone), 10)
				path = append(path, ' ')
				path = strconv.AppendInt(path, int64(y+QuietZone), 10)
				path = append(path, 'h')
				path = strconv.AppendInt(path, int64(x-from), 10)
				path = append(path, "v1h-"...)
				path = strconv.AppendInt(path, int64(x-from), 10)
				path = append(path, 'z')
			}
		}
	}
	b.Write(path)
	b.WriteString(`"/></svg>`)
	return b.String()
}

// penalty is how badly a code would read: ISO/IEC 18004:2015, 7.8.3.1, table 11.
// Its cells are by row, 1 for a dark module, n in each.
func penalty(cells []uint16, n int) int {
	out, dark := 0, 0
	for _, x := range cells {
		dark += int(x)
	}
	table := linePenalties()
	for _, step := range [][2]int{{1, n}, {n, 1}} { // rows, and columns
		for k := range n {
			window := uint16(0) // what lies outside of the code is light
			for i, at := 0, k*step[1]; i < n; i, at = i+1, at+step[0] {
				window = (window<<1 | cells[at]) & (1<<seen - 1)
				switch {
				case i >= sameRow:
					out += int(table[window])
				case i == sameRow-1: // nothing of the code is before the first five
					out += int(table[window|(window>>(sameRow-1)&1^1)<<sameRow])
				}
			}
			for range behind {
				if window = window << 1 & (1<<seen - 1); likeFinder(window) {
					out += finderPenalty
				}
			}
		}
	}
	for y := 1; y < n; y++ { // blocks of two by two
		above, row := cells[(y-1)*n:y*n], cells[y*n:(y+1)*n]
		for x := 1; x < n; x++ {
			if sum := row[x] + row[x-1] + above[x] + above[x-1]; sum == 0 || sum == 4 {
				out += 3
			}
		}
	}
	off := 100*dark - 50*n*n // of half, in percent of n²
	if off < 0 {
		off = -off
	}
	return out + 10*(off/(5*n*n))
}

// seen is how many modules in a row are looked at for what looks like a finder pattern,
// behind how many of them from the first of a pattern on, and sameRow how many of one
// color count.
const (
	seen          = 15
	behind        = 10
	sameRow       = 5
	finderPenalty = 40
)

// linePenalties are what the last one of fifteen modules in a row, the lowest bit, adds to
// the penalty: five of one color in a row, each one more, and what looks like a finder.
var linePenalties = sync.OnceValue(func() *[1 << seen]uint8 {
	var out [1 << seen]uint8
	for window := range out {
		last := window & (1<<(sameRow+1) - 1)
		switch {
		case last == 0, last == 1<<(sameRow+1)-1:
			out[window] = 1
		case last&(1<<sameRow-1) == 0, last&(1<<sameRow-1) == 1<<sameRow-1:
			out[window] = 3
		}
		if likeFinder(uint16(window)) {
			out[window] += finderPenalty
		}
	}
	return &out
})

// likeFinder reports whether fifteen modules in a row, the last one in the lowest bit,
// have in their middle what looks like that of a finder pattern, with four light modules
// before or behind it.
func likeFinder(window uint16) bool {
	return window>>4&0b1111111 == 0b1011101 && (window>>11 == 0 || window&0b1111 == 0)
}
