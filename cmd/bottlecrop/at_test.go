package main

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/history"
)

// runIn runs the program in this process.
func runIn(args ...string) (code int, out, says string) {
	var stdout, stderr bytes.Buffer
	t := &terminal{out: &stdout, err: &stderr}
	c := command(t)
	c.SetArgs(args)
	return t.status(c.Execute()), stdout.String(), stderr.String()
}

func TestNoGitIsSaid(t *testing.T) {
	t.Setenv("PATH", "")
	code, out, says := runIn("check", "--farm", "../..", "--at", "HEAD")
	assert.Equal(t, environment, code)
	assert.Empty(t, out)
	assert.Equal(t, "bottlecrop: git is not on this machine, or not in the search path; earlier states of a farm are read with it\n"+
		"  hint: install git; all that needs no earlier state works without it\n", says)
}

// Each reason of package history is told in the program's words, with its exit code.
func TestNoHistory(t *testing.T) {
	for _, x := range []struct {
		err  error
		code int
		says string
	}{
		{&history.NoGit{Err: os.ErrNotExist}, environment, "git is not on this machine"},
		{&history.NoRepository{Dir: "farm"}, environment, "the folder farm is in no git repository"},
		{&history.Foreign{Dir: "farm"}, environment, "belongs to another user"},
		{&history.NoRevision{Name: "abc", Ambiguous: true}, misused, "abc is the beginning of several ids"},
		{&history.NoRevision{Name: "abc", Shallow: true}, misused, "is shallow"},
		{&history.NoRevision{Name: "a\x1b[31m"}, misused, "has no revision a�[31m"},
		{&history.Damaged{What: "the object is broken"}, environment, "damaged: the object is broken"},
	} {
		var says bytes.Buffer
		term := &terminal{err: &says}
		assert.Equal(t, x.code, term.status(noHistory(x.err, "farm")), "%v", x.err)
		assert.Contains(t, says.String(), x.says)
		assert.Contains(t, says.String(), "hint: ")
	}
	assert.Equal(t, os.ErrClosed, noHistory(os.ErrClosed, "farm"), "anything else stays what it is")
}
