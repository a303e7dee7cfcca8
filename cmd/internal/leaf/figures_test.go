package leaf

import (
	"html"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

const letters = 13 // size of the drawings' letterings, units

// drawn calls a function for every protocol of the demo farm and for changes of
// one that draw something else, in both systems of units.
func drawn(t *testing.T, with func(t *testing.T, e Edition, p *process.Process)) {
	folder := DemoFarm()
	run := func(name string, in process.Input) {
		for _, system := range []unit.System{unit.Metric, unit.US} {
			t.Run(name+" "+system.String(), func(t *testing.T) {
				in.Units = system
				p, err := process.Plan(in)
				require.NoError(t, err)
				e := InEnglish(system)
				e.Farm, e.Version = in.Farm, ""
				with(t, e, p)
			})
		}
	}
	for _, pr := range folder.Protocols {
		in := process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: pr}
		run(pr.Name, in)
		if pr.Name != "enoki-850" {
			continue
		}
		in.Protocol.Bore = protocol.Bore{Made: protocol.BoreNone}
		in.Protocol.Collar = nil
		run("solid", in)
		in.Protocol.Sterilization.Hold = 10 * unit.Hour
		run("ten hours", in)
		in.Protocol.Sterilization.Hold = 5 * unit.Minute
		run("five minutes", in)
	}
}

// Every picture of the demo farm's protocols is whole: what it is and shows is
// said, no lettering is in the way of a line or of another, nothing lies outside.
func TestPicturesAreClean(t *testing.T) {
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		heating, err := e.heating(p)
		require.NoError(t, err)
		require.Len(t, heating, 2)
		pictures := append([]picture{e.vesselPicture(p)}, heating...)
		if bore := e.borePicture(p); p.Setting().Bored {
			require.NotNil(t, bore)
			assert.Len(t, bore.Drawings, 2)
			assert.NotContains(t, strings.ToLower(string(bore.Drawings[0]+bore.Drawings[1])), "f0")
			pictures = append(pictures, *bore)
			assert.Len(t, heating[1].Drawings, 2)
			assert.Len(t, heating[1].Tables, 2)
		} else {
			assert.Nil(t, bore)
			assert.Len(t, heating[1].Drawings, 1)
			assert.NotContains(t, heating[0].How, "bore")
		}
		for _, pic := range pictures {
			for _, svg := range pic.Drawings {
				assert.Empty(t, checks.Drawing(string(svg), letters))
			}
			assert.NotEmpty(t, pic.Notice)
			for _, table := range pic.Tables {
				assert.NotEmpty(t, table.Rows)
				for _, row := range table.Rows {
					assert.Len(t, row, len(table.Head))
				}
			}
			page, err := e.html("picture", pic)
			require.NoError(t, err)
			assert.Contains(t, string(page), `<figcaption><p class="to-notice">`+html.EscapeString(pic.Notice))
		}
	})
}

// What the drawings say are the process' own figures.
func TestPicturesSayWhatWasWorkedOut(t *testing.T) {
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		heating, err := e.heating(p)
		require.NoError(t, err)
		run, cut := heating[0], heating[1]
		least := e.show(f0(p.Value("f0_slow")))
		assert.Contains(t, string(run.Drawings[0]), ">"+least+"<")
		core := e.show(e.warm(p.Value("core_slow")))
		assert.Contains(t, string(run.Drawings[0]), ">"+core+"<")
		assert.Contains(t, string(cut.Drawings[0]), ">"+core+"<")
		if p.Setting().Bored {
			fallen := e.show(e.warm(p.Value("core_collapsed")))
			assert.Contains(t, string(cut.Drawings[1]), ">"+fallen+"<")
			assert.Contains(t, cut.Notice, fallen)
		}
		last := run.Tables[0].Rows[len(run.Tables[0].Rows)-1]
		whole := p.Value("come_up") + p.Value("vent") + p.Value("hold")
		assert.Equal(t, e.show(minutes(whole)), last[0], "the table ends with the hold")
		assert.Equal(t, core, last[2])
		assert.Greater(t, len(run.Tables[0].Rows), int(whole/(30*unit.Minute)))

		vessel := string(e.vesselPicture(p).Drawings[0])
		assert.Contains(t, vessel, ">"+e.show(e.ruler(p.Value("line_below_rim")))+"<")
		assert.Contains(t, vessel, ">"+e.show(weight(p.Value("fill_mass")))+"<")
		assert.Equal(t, p.Input.Protocol.Collar != nil, strings.Contains(vessel, `class="later"`))
	})
}

// A bag is drawn as a bag, and a long word of a farm's own does no harm.
func TestPictureOfABag(t *testing.T) {
	folder := DemoFarm()
	p := &process.Process{}
	for _, pr := range folder.Protocols {
		if pr.Name == "enoki-850" {
			pr.Collar = nil
			var err error
			p, err = process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: pr})
			require.NoError(t, err)
		}
	}
	for _, v := range folder.Library.Vessels {
		if v.Form == "bag" {
			p.Vessel = v
		}
	}
	require.Equal(t, "bag", p.Vessel.Form)
	p.Vessel.One = `bag & "box" <b>`
	e, err := Edition{Voice: words.English(unit.Metric)}.Ready()
	require.NoError(t, err)
	pic := e.vesselPicture(p)
	assert.Empty(t, checks.Drawing(string(pic.Drawings[0]), letters))
	assert.Contains(t, string(pic.Drawings[0]), `class="film"`)
	assert.NotContains(t, string(pic.Drawings[0]), "<b>")
}

// The table of a cut has the corners of the field, and says where the bore is.
func TestHeatTable(t *testing.T) {
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		cases, err := casesOf(p)
		require.NoError(t, err)
		table := e.heatTable("id", "caption", cases[1])
		f := cases[1].field
		top := table.Rows[0]
		assert.Equal(t, e.show(long(f.Y[len(f.Y)-1])), top[0])
		assert.Equal(t, e.show(e.warm(f.V[len(f.Y)-1][len(f.X)-1])), top[len(top)-1])
		assert.Equal(t, p.Setting().Bored, top[1] == e.say("book.figure.heat.table.bore"))
		assert.Equal(t, p.Setting().Bored, math.IsNaN(f.V[len(f.Y)-1][0]))
		assert.Equal(t, []int{0, 3, 6, 9}, picked(10, 4))
		assert.Equal(t, []int{0, 1}, picked(2, 4))
	})
}
