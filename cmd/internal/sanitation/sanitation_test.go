package sanitation_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
)

// demo is the demo farm's own file.
func demo(t *testing.T) protocol.Farm {
	t.Helper()
	folder, findings := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	require.NotNil(t, folder.Farm.Hygiene)
	return folder.Farm
}

// changed is a farm whose hygiene is changed without the first one's.
func changed(f protocol.Farm, change func(*protocol.Hygiene)) protocol.Farm {
	h := *f.Hygiene
	if h.Alcohol != nil {
		a := *h.Alcohol
		h.Alcohol = &a
	}
	if h.Bleach != nil {
		b := *h.Bleach
		h.Bleach = &b
	}
	change(&h)
	f.Hygiene = &h
	return f
}

func rules(list []protocol.Finding) string {
	var out []string
	for _, f := range list {
		out = append(out, f.Severity.String()+" "+f.Rule)
	}
	return strings.Join(out, ", ")
}

// By hand: 500 mL of 70 % from 95 % take 500 x 70 / 95 = 368.4 mL; 10 L of 500 ppm
// from 6 % take 10,000 x 500 / 60,000 = 83.3 mL, of 100 ppm 16.7 mL.
func TestDemo(t *testing.T) {
	p := sanitation.New(demo(t), nil)
	require.NoError(t, p.Ledger.Err())
	assert.Empty(t, rules(p.Findings))
	assert.InDelta(t, 368.42e-6, p.Ledger.Value("alcohol_exact"), 1e-8)
	for name, want := range map[string]string{
		"alcohol_measured": "368 mL", "alcohol_bottle": "500 mL", "bleach_bucket": "10 L", "bleach_surfaces_measured": "83 mL", "bleach_surfaces_water": "9917 mL",
		"bleach_food_measured": "17 mL", "bleach_food_water": "9983 mL",
	} {
		assert.Equal(t, want, strings.ReplaceAll(p.Shown(name).Show(unit.Metric), unit.Space, " "), name)
		assert.Equal(t, want, strings.ReplaceAll(p.Shown(name).Show(unit.US), unit.Space, " "), "a bucket has one kind of marks")
	}
	f := demo(t)
	f.Hygiene.Reads = unit.Step{Size: 0.5 * unit.SizeOf(unit.VolumeOf, "fl oz"), Unit: "fl oz"}
	f.Hygiene.Bleach.Bucket = unit.Volume(unit.SizeOf(unit.VolumeOf, "gal"))
	us := sanitation.New(f, nil)
	assert.Equal(t, "1 gal", strings.ReplaceAll(us.Shown("bleach_bucket").Show(unit.Metric), unit.Space, " "))
	assert.Equal(t, "1.0 fl oz", strings.ReplaceAll(us.Shown("bleach_surfaces_measured").Show(unit.Metric), unit.Space, " "))
	assert.InDelta(t, 102e-6, p.Ledger.Value("bleach_food_made"), 1e-9)
	// Nine points, their mean by hand: 4.04 / 9.
	assert.InDelta(t, 4.04/9, p.Ledger.Value("bench_speed"), 1e-12)
	assert.InDelta(t, 4.04/9*1.22*0.61, p.Ledger.Value("bench_flow"), 1e-12)
	assert.Equal(t, "hygiene.bleach.surfaces", p.Ledger.Get("bleach_surfaces").Origin.Key)
}

// A farm that says nothing is judged in nothing.
func TestNothingWrittenDown(t *testing.T) {
	f := demo(t)
	f.Hygiene = nil
	assert.Nil(t, sanitation.New(f, nil))
	assert.Empty(t, sanitation.Findings(f, nil))
	f = changed(demo(t), func(h *protocol.Hygiene) { *h = protocol.Hygiene{Reads: h.Reads} })
	assert.Empty(t, sanitation.Findings(f, nil))
}

// What a label is of makes it more or less.
func TestBasis(t *testing.T) {
	density := unit.Density(1160)
	f := changed(demo(t), func(h *protocol.Hygiene) {
		h.Bleach.Stock, h.Bleach.Basis, h.Bleach.Density = 0.10, protocol.ByMass, &density
	})
	p := sanitation.New(f, nil)
	assert.InDelta(t, 0.116, p.Ledger.Value("bleach_stock"), 1e-12)
	assert.Empty(t, rules(p.Findings))
	for _, basis := range []string{protocol.ByVolume, protocol.AvailableOfLabel} {
		p = sanitation.New(changed(f, func(h *protocol.Hygiene) { h.Bleach.Basis = basis }), nil)
		assert.InDelta(t, 0.10, p.Ledger.Value("bleach_stock"), 1e-12)
	}
	p = sanitation.New(changed(f, func(h *protocol.Hygiene) { h.Bleach.Density = nil }), nil)
	assert.Equal(t, "error bleach.liter", rules(p.Findings))
	assert.Equal(t, "hygiene.bleach.basis", p.Findings[0].Origin.Key)
}

// Of isopropanol there is no table of densities here; it is filled up all the same.
func TestOtherAlcohol(t *testing.T) {
	f := demo(t)
	f.Bench = &protocol.Bench{Alcohol: "isopropanol"}
	p := sanitation.New(f, nil)
	assert.Nil(t, p.Ledger.Get("alcohol_water"))
	assert.InDelta(t, 368.42e-6, p.Ledger.Value("alcohol_exact"), 1e-8)
}

// Stock that is as strong as it is wanted is used as it is.
func TestStockAsItIs(t *testing.T) {
	p := sanitation.New(changed(demo(t), func(h *protocol.Hygiene) { h.Alcohol.Stock, h.Alcohol.Wanted = 0.70, 0.70 }), nil)
	assert.Empty(t, rules(p.Findings))
	require.NoError(t, p.Ledger.Err())
	assert.InDelta(t, 500e-6, p.Ledger.Value("alcohol_measured"), 1e-9)
	assert.Nil(t, p.Ledger.Get("alcohol_water"))
}

// Where Listeria likes the crop, each place that it lives in has its day.
func TestListeriaHasItsDays(t *testing.T) {
	enoki, oyster := protocol.Species{ID: "enoki", Listeria: "cold and wet"}, protocol.Species{ID: "oyster"}
	f := demo(t)
	p := sanitation.New(f, []protocol.Species{oyster, enoki, enoki})
	assert.Empty(t, rules(p.Findings))
	assert.Len(t, p.Cold, 1)
	f = changed(f, func(h *protocol.Hygiene) { h.Weekly = h.Weekly[:2] })
	p = sanitation.New(f, []protocol.Species{enoki})
	assert.Equal(t, strings.Repeat("warning listeria.weekly, ", 3)+"warning listeria.weekly", rules(p.Findings))
	assert.Empty(t, rules(sanitation.Findings(f, []protocol.Species{oyster})))
}
