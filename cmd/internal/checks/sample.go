package checks

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

// Whole reports whether tests look at everything that there is, as in CI. Elsewhere what
// takes long by its breadth looks at a part, so that `go test ./...` is run often.
func Whole() bool { return os.Getenv("CI") != "" }

// Every is all of a list in CI, and every nth elsewhere. Take a prime for n: what the
// list has by turns, such as languages or sizes, comes up by turns then.
func Every[T any](n int, list []T) []T {
	if Whole() {
		return list
	}
	var out []T
	for i := 0; i < len(list); i += n {
		out = append(out, list[i])
	}
	return out
}

// Rounds is how often something random is tried: often in CI, and less elsewhere.
func Rounds(few, often int) int {
	if Whole() {
		return often
	}
	return few
}

// Cases has rapid try so many cases of a costly property until the test has ended: in CI
// as many as by itself, and those that the command line asks for where it does.
func Cases(t testing.TB, few int) {
	t.Helper()
	const name = "rapid.checks"
	asked := Whole()
	flag.Visit(func(f *flag.Flag) { asked = asked || f.Name == name })
	if asked {
		return
	}
	was := flag.Lookup(name)
	if was == nil {
		t.Fatalf("no flag %s: this is no test of rapid's", name)
	}
	usual := was.Value.String()
	// Not by flag.Set, after which it would count as asked for.
	if err := was.Value.Set(fmt.Sprint(few)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := was.Value.Set(usual); err != nil {
			t.Error(err)
		}
	})
}
