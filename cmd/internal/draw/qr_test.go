package draw

import (
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/encoder"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Each module is where another encoder has it that is told the level, and the mask is
// the one that it finds to read best.
func TestQRIsAsAnotherEncoderMakesIt(t *testing.T) {
	levels := map[string]decoder.ErrorCorrectionLevel{"Q": decoder.ErrorCorrectionLevel_Q, "H": decoder.ErrorCorrectionLevel_H}
	seen := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`https?://[a-z0-9.-]{3,40}/[a-z0-9/-]{0,60}(#[A-Za-z0-9.-]{1,32})?`).Draw(t, "text")
		q, err := NewQR(text)
		require.NoError(t, err)
		require.Contains(t, levels, q.Level)
		seen[q.Level] = true
		other, err := encoder.Encoder_encode(text, levels[q.Level], nil)
		require.NoError(t, err)
		require.Equal(t, other.GetVersion().GetVersionNumber(), q.Version)
		require.Equal(t, other.GetMaskPattern(), q.Mask)
		for y := range other.GetMatrix().GetHeight() {
			for x := range other.GetMatrix().GetWidth() {
				require.Equal(t, other.GetMatrix().Get(x, y) == 1, q.grid[y][x], "module %d, %d", x, y)
			}
		}
	})
	assert.Len(t, seen, 2, "both levels")
}

// Version 5 at level Q holds 60 bytes, version 6 holds 74: ISO/IEC 18004:2015, table
// 7 (from memory). What is a byte too long takes the next one, and nothing is lost of a
// text of capitals.
func TestQRTakesTheSmallest(t *testing.T) {
	for n, version := range map[int]int{11: 1, 12: 2, 20: 2, 21: 3, 32: 3, 46: 4, 47: 5, 60: 5, 61: 6, 74: 6, 75: 7} {
		q, err := NewQR(strings.Repeat("a", n))
		require.NoError(t, err)
		assert.Equal(t, version, q.Version, "%d bytes", n)
		assert.Equal(t, 17+4*version+8, q.Modules())
		wide, err := QRModules(q.Text)
		require.NoError(t, err)
		assert.Equal(t, q.Modules(), wide)
	}
	q, err := NewQR(strings.Repeat("A", 47))
	require.NoError(t, err)
	assert.Equal(t, 3, q.Version, "47 of the alphanumeric mode")
	_, err = NewQR(strings.Repeat("a", 1664))
	assert.Error(t, err, "1663 are the most")
}

// The picture has the modules of the code, a white zone of four around them, and is
// black on white whatever the page's ink is.
func TestQRPicture(t *testing.T) {
	const text = "https://example.org/enoki-850/sheet-48.html"
	q, err := NewQR(text)
	require.NoError(t, err)
	svg := q.SVG(0.5, `The sheet <&"`)
	var read struct {
		Width string `xml:"width,attr"`
		Title string `xml:"title"`
		Paths []struct {
			Fill string `xml:"fill,attr"`
			D    string `xml:"d,attr"`
		} `xml:"path"`
	}
	require.NoError(t, xml.Unmarshal([]byte(svg), &read))
	assert.Equal(t, `The sheet <&"`, read.Title)
	assert.Equal(t, fmt.Sprintf("%gmm", 0.5*float64(q.Modules())), read.Width)
	require.Len(t, read.Paths, 2)
	assert.Equal(t, "#fff", read.Paths[0].Fill)
	assert.Equal(t, "#000", read.Paths[1].Fill)
	assert.Equal(t, fmt.Sprintf("M0 0h%[1]dv%[1]dH0z", q.Modules()), read.Paths[0].D)
	const scale = 4
	page := image.NewGray(image.Rect(0, 0, q.Modules()*scale, q.Modules()*scale))
	for i := range page.Pix {
		page.Pix[i] = 255
	}
	for _, run := range strings.Split(strings.TrimSuffix(read.Paths[1].D, "z"), "z") {
		var x, y, n, back int
		_, err := fmt.Sscanf(run, "M%d %dh%dv1h-%d", &x, &y, &n, &back)
		require.NoError(t, err, run)
		require.Equal(t, n, back)
		require.GreaterOrEqual(t, min(x, y), QuietZone)
		require.LessOrEqual(t, max(x+n, y+1), q.Modules()-QuietZone)
		for px := x * scale; px < (x+n)*scale; px++ {
			for py := y * scale; py < (y+1)*scale; py++ {
				page.SetGray(px, py, color.Gray{})
			}
		}
	}
	bitmap, err := gozxing.NewBinaryBitmapFromImage(page)
	require.NoError(t, err)
	found, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
	require.NoError(t, err)
	assert.Equal(t, text, found.GetText())
}
