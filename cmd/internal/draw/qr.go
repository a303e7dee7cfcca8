package draw

import (
	"fmt"
	"html"
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
	best := QR{Text: text, Version: int(version), Level: level.String()}
	least := -1
	for mask := range 8 {
		plan, err := planOf(version, level, coding.Mask(mask))
		if err != nil {
			return QR{}, err
		}
		code, err := plan.Encode(enc)
		if err != nil {
			return QR{}, err
		}
		grid, cells := make([][]bool, code.Size), make([]bool, code.Size*code.Size)
		for y := range grid {
			grid[y] = cells[y*code.Size : (y+1)*code.Size]
			for x := range grid[y] {
				grid[y][x] = code.Black(x, y)
			}
		}
		if p := penalty(grid); least < 0 || p < least {
			least, best.Mask, best.grid = p, mask, grid
		}
	}
	return best, nil
}

// plans are the codes of a version, a level and a mask without their text, by these: all
// addresses of a book need few, and making one takes longer than filling it in.
var plans sync.Map

func planOf(v coding.Version, l coding.Level, m coding.Mask) (*coding.Plan, error) {
	type kind struct {
		v coding.Version
		l coding.Level
		m coding.Mask
	}
	if p, ok := plans.Load(kind{v, l, m}); ok {
		return p.(*coding.Plan), nil
	}
	p, err := coding.NewPlan(v, l, m)
	if err == nil {
		plans.Store(kind{v, l, m}, p)
	}
	return p, err
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
	for y, row := range q.grid {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", from+QuietZone, y+QuietZone, x-from, x-from)
			}
		}
	}
	b.WriteString(`"/></svg>`)
	return b.String()
}

// penalty is how badly a code would read: ISO/IEC 18004:2015, 7.8.3.1, table 11.
func penalty(grid [][]bool) int {
	n, out, dark := len(grid), 0, 0
	line := make([]bool, n+behind) // what lies outside of the code is light
	for _, down := range []bool{false, true} {
		for k := range n {
			for i := range n {
				if down {
					line[i] = grid[i][k]
				} else {
					line[i] = grid[k][i]
				}
			}
			run, window := 0, 0
			for i, dark := range line {
				window = window << 1 & (1<<15 - 1)
				if dark {
					window |= 1
				}
				if likeFinder(window) {
					out += 40
				}
				if i >= n {
					continue
				}
				if i > 0 && dark == line[i-1] { // five of one color in a row, and each one more
					run++
				} else {
					run = 1
				}
				switch {
				case run == 5:
					out += 3
				case run > 5:
					out++
				}
			}
		}
	}
	for y := range n { // blocks of two by two
		for x := range n {
			if grid[y][x] {
				dark++
			}
			if x > 0 && y > 0 && grid[y][x] == grid[y][x-1] && grid[y][x] == grid[y-1][x] && grid[y][x] == grid[y-1][x-1] {
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

// behind is how many modules likeFinder looks at from the first of a pattern on.
const behind = 10

// likeFinder reports whether fifteen modules in a row, the last one in the lowest bit,
// have in their middle what looks like that of a finder pattern, with four light modules
// before or behind it.
func likeFinder(window int) bool {
	return window>>4&0b1111111 == 0b1011101 && (window>>11 == 0 || window&0b1111 == 0)
}
