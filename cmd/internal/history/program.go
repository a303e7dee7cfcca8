package history

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"
)

// patience is how long one run of git may take (design choice).
const patience = 2 * time.Minute

// shut are the settings by which git would run a program of the repository's
// choice, or reach out, each set to what it does without it. They go before what any
// file of the repository says, what it includes by include.path among that.
//
//   - hooks and the watcher of files (core.fsmonitor) are programs;
//   - a pager, an editor, an external diff, a text conversion (which need options
//     that are not given, too), a program that checks signatures;
//   - a remote that has promised objects is not asked for them: see also
//     GIT_ALLOW_PROTOCOL and GIT_NO_LAZY_FETCH below;
//   - replaced and grafted objects would show another history than the ids say.
var shut = [][2]string{
	{"core.hooksPath", os.DevNull},
	{"core.fsmonitor", "false"},
	{"core.untrackedCache", "false"},
	{"core.pager", "cat"},
	{"core.editor", "true"},
	{"core.askPass", ""},
	{"core.sshCommand", "false"},
	{"core.gitProxy", ""},
	{"core.alternateRefsCommand", "true"},
	{"credential.helper", ""},
	{"diff.external", ""},
	{"gpg.program", "false"},
	{"gpg.ssh.program", "false"},
	{"gpg.x509.program", "false"},
	{"gpg.ssh.defaultKeyCommand", ""},
	{"log.showSignature", "false"},
	{"log.mailmap", "false"},
	{"log.follow", "false"},
	{"log.diffMerges", "first-parent"},
	{"log.excludeDecoration", ""},
	{"diff.renames", "true"},
	{"diff.renameLimit", "1000"},
	{"diff.orderFile", os.DevNull},
	{"diff.ignoreSubmodules", "all"},
	{"diff.relative", "false"},
	{"status.submoduleSummary", "false"},
	{"submodule.recurse", "false"},
	{"fetch.recurseSubmodules", "false"},
	{"protocol.allow", "never"},
	{"maintenance.auto", "false"},
	{"gc.auto", "0"},
	{"core.quotePath", "false"},
	{"core.commitGraph", "true"},
	{"core.useReplaceRefs", "false"},
	{"color.ui", "false"},
	{"i18n.logOutputEncoding", "UTF-8"},
	{"advice.graftFileDeprecated", "false"},
}

// find looks for git, and makes the environment of its runs: nothing of what the
// user's shell or the repository says about git, but which directories the user
// takes for safe.
func (r *Repository) find(ctx context.Context) error {
	program, err := exec.LookPath("git")
	if err != nil {
		return &NoGit{err}
	}
	r.program = program
	r.env = []string{
		"LC_ALL=C", "TZ=UTC",
		"GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_SYSTEM=" + os.DevNull, "GIT_CONFIG_GLOBAL=" + os.DevNull, "GIT_ATTR_NOSYSTEM=1",
		"GIT_ALLOW_PROTOCOL=none", "GIT_NO_LAZY_FETCH=1", "GIT_TERMINAL_PROMPT=0", "GIT_ASKPASS=", "SSH_ASKPASS=",
		"GIT_OPTIONAL_LOCKS=0", "GIT_NO_REPLACE_OBJECTS=1", "GIT_GRAFT_FILE=" + os.DevNull, "GIT_PAGER=cat", "GIT_EDITOR=true", "GIT_LITERAL_PATHSPECS=1",
		"GIT_FLUSH=0",
	}
	for _, name := range []string{"PATH", "TMPDIR", "TEMP", "TMP"} {
		if v, ok := os.LookupEnv(name); ok {
			r.env = append(r.env, name+"="+v)
		}
	}
	if runtime.GOOS == "windows" {
		r.env = append(r.env, "SYSTEMROOT="+os.Getenv("SYSTEMROOT"))
	}
	r.env = append(r.env, settings(append(shut[:len(shut):len(shut)], r.safe(ctx)...))...)
	return nil
}

// settings hands settings over as the environment does, which programs that git
// itself starts inherit.
func settings(list [][2]string) []string {
	out := []string{fmt.Sprintf("GIT_CONFIG_COUNT=%d", len(list))}
	for i, s := range list {
		out = append(out, fmt.Sprintf("GIT_CONFIG_KEY_%d=%s", i, s[0]), fmt.Sprintf("GIT_CONFIG_VALUE_%d=%s", i, s[1]))
	}
	return out
}

// safe are the directories of other owners that the user, not the repository, has
// named safe. The question is asked where no repository is read.
func (r *Repository) safe(ctx context.Context) [][2]string {
	var out [][2]string
	for _, scope := range []string{"--system", "--global"} {
		c := exec.CommandContext(ctx, r.program, "config", scope, "--no-includes", "--null", "--get-all", "safe.directory")
		c.Dir = os.TempDir()
		c.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + os.Getenv("HOME"), "XDG_CONFIG_HOME=" + os.Getenv("XDG_CONFIG_HOME"), "USERPROFILE=" + os.Getenv("USERPROFILE"), "SYSTEMROOT=" + os.Getenv("SYSTEMROOT"), "LC_ALL=C", "GIT_CEILING_DIRECTORIES=" + os.TempDir()}
		text, err := c.Output()
		if err != nil {
			continue // nothing is named, or there is no such file
		}
		for v := range strings.SplitSeq(strings.TrimSuffix(string(text), "\x00"), "\x00") {
			out = append(out, [2]string{"safe.directory", v})
		}
	}
	return out
}

// failed is a run of git that ended with an error.
type failed struct {
	command string
	code    int
	says    string
}

func (e *failed) Error() string { return fmt.Sprintf("history: git %s: %s", e.command, e.line()) }

// line is what git said last: that is what went wrong.
func (e *failed) line() string {
	lines := strings.Split(strings.TrimSpace(e.says), "\n")
	text := strings.TrimPrefix(strings.TrimPrefix(lines[len(lines)-1], "fatal: "), "error: ")
	if text == "" {
		return fmt.Sprintf("ended with %d and said nothing", e.code)
	}
	return text
}

// mostOutput bounds what one run may print (design choice): 2,000 commits on 50
// files are some 3 MB.
const mostOutput = 256 << 20

// command is a run of git on the repository, not begun yet.
func (r *Repository) command(ctx context.Context, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, r.program, append([]string{"--no-pager", "--literal-pathspecs"}, args...)...)
	c.Dir, c.Env = r.dir, r.env
	c.WaitDelay = time.Second
	return c
}

// run is a run of git to its end, with what it printed.
func (r *Repository) run(ctx context.Context, args ...string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	c := r.command(ctx, args...)
	var out, says bounded
	out.most, says.most = mostOutput, 64<<10
	c.Stdout, c.Stderr = &out, &says
	err := c.Run()
	var exit *exec.ExitError
	switch {
	case ctx.Err() != nil:
		return nil, fmt.Errorf("history: git %s: %w", args[0], ctx.Err())
	case out.over:
		return nil, fmt.Errorf("history: git %s printed more than %d MB", args[0], mostOutput>>20)
	case errors.As(err, &exit):
		return nil, &failed{args[0], exit.ExitCode(), says.String()}
	case err != nil:
		return nil, fmt.Errorf("history: git %s: %w", args[0], err)
	}
	return out.Bytes(), nil
}

// bounded keeps so many bytes of what is written to it, and drops the rest.
type bounded struct {
	bytes.Buffer
	most int
	over bool
}

func (b *bounded) Write(p []byte) (int, error) {
	if room := b.most - b.Len(); len(p) > room {
		b.over = true
		b.Buffer.Write(p[:max(0, room)])
		return len(p), nil
	}
	return b.Buffer.Write(p)
}
