package sanitation_test

import (
	"fmt"
	"io/fs"
	"os"
	"strings"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
)

// The demo farm's bottle of 500 mL of alcohol of 70 %, from 95 %: 500 · 70/95 = 368.4 mL,
// as its measure shows them; and its bucket of 10 L with 500 ppm of chlorine, from 6 %:
// 10,000 · 500/60,000 = 83.3 mL. The label of a product wins.
func ExampleNew() {
	folder, _ := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	p := sanitation.New(folder.Farm, nil)
	for _, name := range []string{"alcohol_measured", "bleach_surfaces_measured"} {
		fmt.Println(name, strings.ReplaceAll(p.Shown(name).Show(unit.Metric), unit.Space, " "))
	}
	// Output:
	// alcohol_measured 368 mL
	// bleach_surfaces_measured 83 mL
}
