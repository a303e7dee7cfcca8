package main

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"rsc.io/qr/coding"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// What printed pages lead to is read back from paper by two readers that know nothing
// of how it was drawn, zbarimg and gozxing, at 300 dots to the inch: as printed, at half
// the contrast, that blurred as by a film of water, and that with a drop over the corner
// that has no finder pattern, as large as error correction of the code bears. All codes
// of the page are found, on both papers and on large labels and small.
func TestCodesOnPaper(t *testing.T) {
	need(t, "pdftoppm")
	need(t, "zbarimg")
	ctx := browser(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	labels := map[string]*protocol.Labels{
		"plain paper": nil,
		"the smallest": {
			Cards:   &protocol.LabelSheet{Columns: 2, Rows: 4, Width: protocol.CardWidth, Height: protocol.CardHeight, Across: 0.09, Down: 0.06, Left: 0.01, Top: 0.012},
			Bottles: &protocol.LabelSheet{Columns: 3, Rows: 9, Width: 0.062, Height: 0.0275, Across: 0.064, Down: 0.029, Left: 0.008, Top: 0.009},
		},
		"larger ones": {
			Cards:   &protocol.LabelSheet{Columns: 2, Rows: 3, Width: 0.1016, Height: 0.0847, Across: 0.106, Left: 0.004, Top: 0.0127, First: 4},
			Bottles: &protocol.LabelSheet{Columns: 2, Rows: 6, Width: 0.09, Height: 0.04, Left: 0.015, Top: 0.015},
		},
	}
	page := loosePage(t)
	entry := f.entries[slices.IndexFunc(f.entries, func(e book.Entry) bool { return e.Method.Protocol == "enoki-850" })]
	b := entry.Batches[0]
	told := procedure.Build(b)
	kinds := slices.Sorted(maps.Keys(labels))
	if !checks.Whole() {
		kinds = []string{"plain paper"}
	}
	for i, paper := range papers {
		for _, of := range kinds {
			e := f.edition()
			e.Farm.Paper, e.Farm.Labels = paper, labels[of]
			documents := map[string]func() ([]byte, error){
				"cards": func() ([]byte, error) { return leaf.Cards(e, b, entry.Method) },
			}
			if labels[of] != nil {
				documents["bottle labels"] = func() ([]byte, error) { return leaf.BottleLabels(e, b, entry.Method) }
			} else {
				documents["sheet"] = func() ([]byte, error) { return leaf.Sheet(e, told, entry.Method) }
				documents["record"] = func() ([]byte, error) { return leaf.Record(e, told, entry.Method) }
				for _, at := range []work.Station{work.Receiving, work.Sterilizing} { // a large card, and a full one
					documents["card of "+string(at)] = func() ([]byte, error) { return leaf.WallCard(e, told, at, entry.Method) }
				}
			}
			if i == 1 && of != "the smallest" { // printed for one batch, in a larger code
				e.Batch = leaf.BatchOf{Code: "enoki-850-2026-12-01", Mixed: "2026-12-01"}
			}
			names := slices.Sorted(maps.Keys(documents))
			if !checks.Whole() {
				names = names[:1]
			}
			for _, name := range names {
				html, err := documents[name]()
				require.NoError(t, err)
				wanted := codesOf(t, html)
				require.NotEmpty(t, wanted, "%s, %s, %s: no code on it", name, paper, of)
				readFromPaper(t, ctx, page, html, wanted, strings.Join([]string{name, paper, of}, ", "))
			}
		}
	}
	// What is too small for a code has none, and check says so.
	e := f.edition()
	e.Farm.Labels = &protocol.Labels{
		Cards:   &protocol.LabelSheet{Columns: 2, Rows: 4, Width: protocol.CardWidth, Height: protocol.CardHeight},
		Bottles: &protocol.LabelSheet{Columns: 5, Rows: 12, Width: protocol.BottleWidth, Height: protocol.BottleHeight},
	}
	html, err := leaf.BottleLabels(e, b, entry.Method)
	require.NoError(t, err)
	assert.NotContains(t, string(html), `class="qr"`)
	assert.Equal(t, []string{"bottles"}, slices.Sorted(maps.Keys(e.TooSmall(b))))
	least := e.TooSmall(b)["bottles"]
	e.Farm.Labels.Bottles.Width, e.Farm.Labels.Bottles.Height = least[0], least[1]
	assert.Empty(t, e.TooSmall(b), "labels of the size that is asked for are large enough")
	e.Farm.Labels.Bottles.Height -= 0.0001
	assert.NotEmpty(t, e.TooSmall(b))
}

var codeTitle = regexp.MustCompile(`<svg class="qr"[^>]* width="([0-9.]+)mm"[^>]* viewBox="0 0 (\d+) \d+"[^>]*><title>[^<]*?(https?://[^<]*)</title>`)

// codesOf are the addresses of the codes on a page by how often each is there. None has
// modules of less than half a millimeter.
func codesOf(t *testing.T, html []byte) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, m := range codeTitle.FindAllStringSubmatch(string(html), -1) {
		wide, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		modules, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, wide/modules, 0.5-1e-9, "mm a module")
		out[m[3]]++
	}
	return out
}

// readFromPaper prints a page and reads all its codes.
func readFromPaper(t *testing.T, ctx context.Context, page string, html []byte, wanted map[string]int, name string) {
	t.Helper()
	require.NoError(t, os.WriteFile(page, html, 0o644))
	pdf, _ := onPaper(t, ctx, page, "-raw")
	dir := t.TempDir()
	file := filepath.Join(dir, "page.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o644))
	args := []string{"-r", "300", "-gray", "-png", file, filepath.Join(dir, "page")}
	if strings.Contains(name, "sheet") || strings.Contains(name, "record") {
		args = append([]string{"-l", "1"}, args...) // it stands on the first page
	}
	said, err := exec.Command("pdftoppm", args...).CombinedOutput()
	require.NoError(t, err, string(said))
	sheets, err := filepath.Glob(filepath.Join(dir, "page-*.png"))
	require.NoError(t, err)
	require.NotEmpty(t, sheets)
	worn := map[string]func(*image.Gray, []found) *image.Gray{
		"as printed":       func(g *image.Gray, _ []found) *image.Gray { return g },
		"at half contrast": func(g *image.Gray, _ []found) *image.Gray { return faded(g) },
		"faded and wet":    func(g *image.Gray, codes []found) *image.Gray { return blurred(faded(g), codes) },
		"with a drop":      func(g *image.Gray, codes []found) *image.Gray { return dropped(t, faded(g), codes) },
	}
	all := map[string]map[string]int{}
	for _, sheet := range sheets {
		plain := grayOf(t, sheet)
		codes := placesOf(t, plain)
		for _, how := range checks.Every(2, sorted(worn)) {
			if all[how] == nil {
				all[how] = map[string]int{}
			}
			g := worn[how](plain, codes)
			for _, text := range byZbar(t, g) {
				all[how][text]++
			}
			for _, c := range codes {
				if how == "with a drop" && c.large() {
					continue
				}
				assert.Equal(t, c.text, byZxing(t, g, c), "%s, %s: read by gozxing", name, how)
			}
		}
	}
	for how, read := range all {
		assert.Equal(t, wanted, read, "%s, %s: read by zbarimg", name, how)
	}
}

// found is a code that was found on a page, with what it lies in.
type found struct {
	text string
	box  image.Rectangle
}

// large reports whether gozxing can't read the code without its last alignment pattern:
// from version 7 on it takes another one for it, where zbarimg does not.
func (c found) large() bool {
	q, err := draw.NewQR(c.text)
	return err == nil && q.Version >= 7
}

func grayOf(t *testing.T, file string) *image.Gray {
	t.Helper()
	in, err := os.Open(file)
	require.NoError(t, err)
	defer in.Close()
	read, err := png.Decode(in)
	require.NoError(t, err)
	out := image.NewGray(read.Bounds())
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			out.Set(x, y, read.At(x, y))
		}
	}
	return out
}

// placesOf finds where the codes of a page are: gozxing tells the middles of their
// finder patterns, each three and a half modules from its corner.
func placesOf(t *testing.T, g *image.Gray) []found {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(g)
	require.NoError(t, err)
	all, err := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	require.NoError(t, err)
	var out []found
	for _, one := range all {
		q, err := draw.NewQR(one.GetText())
		require.NoError(t, err)
		at := one.GetResultPoints() // lower left, upper left, upper right
		n := float64(q.Modules() - 2*draw.QuietZone)
		module := (at[2].GetX() - at[1].GetX()) / (n - 7)
		left, top := at[1].GetX()-3.5*module, at[1].GetY()-3.5*module
		out = append(out, found{one.GetText(), image.Rect(int(left), int(top), int(left+n*module), int(top+n*module))})
	}
	return out
}

// byZbar reads all codes of a page with zbarimg.
func byZbar(t *testing.T, g *image.Gray) []string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.png")
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, g))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	out, err := exec.Command("zbarimg", "--quiet", "--nodbus", "--raw", "-Sdisable", "-Sqrcode.enable", file).Output()
	if exit, ok := err.(*exec.ExitError); ok && exit.ExitCode() == 4 {
		return nil // no code on it
	}
	require.NoError(t, err)
	return strings.Fields(string(out))
}

// byZxing reads the code at a place with gozxing; "" where it finds none.
func byZxing(t *testing.T, g *image.Gray, c found) string {
	t.Helper()
	q, err := draw.NewQR(c.text)
	require.NoError(t, err)
	quiet := c.box.Dx() * draw.QuietZone / q.Modules()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(g.SubImage(c.box.Inset(-quiet)))
	require.NoError(t, err)
	read, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		return err.Error()
	}
	return read.GetText()
}

// faded has half the contrast.
func faded(g *image.Gray) *image.Gray {
	out := image.NewGray(g.Rect)
	for i, v := range g.Pix {
		out.Pix[i] = 255 - (255-v)/2
	}
	return out
}

// blurred has each dot of the codes mixed with those beside it: a quarter of a
// millimeter, half a module.
func blurred(g *image.Gray, codes []found) *image.Gray {
	out := image.NewGray(g.Rect)
	copy(out.Pix, g.Pix)
	for _, c := range codes {
		for y := c.box.Min.Y - 1; y <= c.box.Max.Y; y++ {
			for x := c.box.Min.X - 1; x <= c.box.Max.X; x++ {
				sum := 0
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						sum += int(g.GrayAt(x+dx, y+dy).Y)
					}
				}
				out.SetGray(x, y, color.Gray{Y: uint8(sum / 9)})
			}
		}
	}
	return out
}

// dropped has a dark drop over the lower right corner of each code.
func dropped(t *testing.T, g *image.Gray, codes []found) *image.Gray {
	t.Helper()
	out := image.NewGray(g.Rect)
	copy(out.Pix, g.Pix)
	for _, c := range codes {
		q, err := draw.NewQR(c.text)
		require.NoError(t, err)
		module := float64(c.box.Dx()) / float64(q.Modules()-2*draw.QuietZone)
		r := (0.9*dropOf(t, q) - 0.5) * module // its place is known to half a module, and its edge blurs some more
		require.Greater(t, r, 4*module, "a drop that is worth the name")
		for y := c.box.Max.Y - int(r) - 1; y <= c.box.Max.Y; y++ {
			for x := c.box.Max.X - int(r) - 1; x <= c.box.Max.X; x++ {
				if math.Hypot(float64(x-c.box.Max.X), float64(y-c.box.Max.Y)) <= r {
					out.SetGray(x, y, color.Gray{Y: 150})
				}
			}
		}
	}
	return out
}

// dropOf is the radius, in modules, of the largest quarter of a circle about the lower
// right corner that leaves each block of a code no more wrong codewords than it can
// mend: half of its codewords of error correction (ISO/IEC 18004:2015, 7.5.1). Which
// codeword a module belongs to, the plan of the encoder says.
func dropOf(t *testing.T, q draw.QR) float64 {
	t.Helper()
	level := coding.Q
	if q.Level == coding.H.String() {
		level = coding.H
	}
	plan, err := coding.NewPlan(coding.Version(q.Version), level, coding.Mask(q.Mask))
	require.NoError(t, err)
	n := len(plan.Pixel)
	data, check := plan.DataBytes/plan.Blocks, plan.CheckBytes/plan.Blocks
	longer := plan.DataBytes % plan.Blocks // of the blocks, the last ones have a codeword more
	blockOf := func(codeword int) int {
		if codeword >= plan.DataBytes {
			return (codeword - plan.DataBytes) / check
		}
		if short := (plan.Blocks - longer) * data; codeword >= short {
			return plan.Blocks - longer + (codeword-short)/(data+1)
		}
		return codeword / data
	}
	for r := 1.0; ; r += 0.25 {
		hit := map[int]bool{}
		for y := range n {
			for x := range n {
				if math.Hypot(float64(n-x)-0.5, float64(n-y)-0.5) > r+0.5 {
					continue
				}
				if p := plan.Pixel[y][x]; p.Role() == coding.Data || p.Role() == coding.Check {
					hit[int(p.Offset())/8] = true
				}
			}
		}
		wrong := map[int]int{}
		for codeword := range hit {
			if wrong[blockOf(codeword)]++; wrong[blockOf(codeword)] > check/2 {
				return r - 0.25
			}
		}
	}
}
