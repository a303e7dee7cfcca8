package farmfile

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestDemo(t *testing.T) {
	fs := os.DirFS("../../..")
	f, list := Read(fs, fs)
	for _, x := range list {
		fmt.Println(x.Place.File, x.Place.Line, x.Place.Column, x.Place.EndColumn, x.Rule, x.What.Args, x.Hint)
	}
	require.Empty(t, list)
	fmt.Println(len(f.Protocols), f.Usable)
	fmt.Println(string(f.Canonical("enoki-quart")), f.ShortFingerprint("enoki-quart"))
}
