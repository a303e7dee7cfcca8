package farmfile_test

import (
	"fmt"
	"io/fs"
	"os"
	"testing"

	"bottlecrop/cmd/internal/farmfile"
)

// A farm folder is read over the library, all its faults come back in the
// order of files and lines, and each protocol has its fingerprint.
func ExampleRead() {
	base, builtIn := os.DirFS("testdata/base"), os.DirFS("testdata/base/protocols")
	folder, findings := farmfile.Read(base, builtIn)
	fmt.Println(len(findings), "findings")
	for _, p := range folder.Protocols {
		fmt.Printf("%s: %s, %d ingredients\n", p.Name, p.Title, len(p.Substrate.Ingredients))
	}
	// Output:
	// 0 findings
	// enoki: Enoki in the 850 mL bottle, 4 ingredients
}

// Set writes one value, and leaves remarks and everything else alone.
func ExampleSet() {
	src := "[fill]\ndensity = \"0.68 kg/L\"  # weigh, and correct\n\n# The bore.\n[bore]\nmade = \"pressed\"\n"
	out, err := farmfile.Set([]byte(src), "fill.density", "0.66 kg/L")
	if err == nil {
		out, err = farmfile.Set(out, "fill.tolerance", "3 %")
	}
	fmt.Print(string(out), err)
	// Output:
	// [fill]
	// density = "0.66 kg/L"  # weigh, and correct
	// tolerance = "3 %"
	//
	// # The bore.
	// [bore]
	// made = "pressed"
	// <nil>
}

func BenchmarkRead(b *testing.B) {
	base, builtIn := os.DirFS("testdata/base"), os.DirFS("testdata/base/protocols")
	for b.Loop() {
		folder, _ := farmfile.Read(base, builtIn)
		if !folder.Usable {
			b.Fatal("not read")
		}
	}
}

func BenchmarkSet(b *testing.B) {
	src, err := fs.ReadFile(os.DirFS("testdata/base"), "protocols/enoki.toml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := farmfile.Set(src, "substrate.ingredient[1].share_dm", "39.5 %"); err != nil {
			b.Fatal(err)
		}
	}
}
