package history

import (
	"context"
	"strconv"
	"strings"
)

// Change is a commit with the files of the folder that it changed against its first
// parent.
type Change struct {
	Commit
	Files []File
}

// File is one file that a commit changed. Its path is that in the folder.
type File struct {
	Path    string
	Was     string // path before, where it was renamed or copied; else Path
	Kind    FileKind
	Before  string // id of what it held, "" where it was not there
	After   string // id of what it holds, "" where it is gone
	Outside bool   // it came from, or went to, another folder of the repository
}

// FileKind is what became of a file.
type FileKind byte

// The kinds of change; the letters are those of git's raw format.
const (
	Added    FileKind = 'A'
	Modified FileKind = 'M'
	Deleted  FileKind = 'D'
	Renamed  FileKind = 'R'
	Copied   FileKind = 'C'
	Retyped  FileKind = 'T' // a link became a file, or a file a link
)

// Log lists the commits that a revision rests on and that changed one of the paths
// in the folder, the newest first; without paths, any. A merge is listed with what
// it brought against its first parent, besides the commits that it brought. Commits
// of a shallow clone end where its history does.
func (r *Repository) Log(ctx context.Context, from Commit, paths ...string) ([]Change, error) {
	return r.log(ctx, "--full-history", from, paths)
}

// Line is Log along first parents alone: what the branch had, one state after
// another. What other branches did is listed with the merges that brought it.
func (r *Repository) Line(ctx context.Context, from Commit, paths ...string) ([]Change, error) {
	return r.log(ctx, "--first-parent", from, paths)
}

func (r *Repository) log(ctx context.Context, which string, from Commit, paths []string) ([]Change, error) {
	args := []string{"--topo-order", which, "--diff-merges=first-parent", "--raw", "--no-abbrev", "-M",
		"--end-of-options", from.ID, "--"}
	if len(paths) == 0 && r.prefix != "" {
		paths = []string{"."}
	}
	return r.commits(ctx, append(args, paths...)...)
}

const (
	headMark = "\x01" // begins what is said of a commit
	between  = "\x02" // stands between its parts
)

// commits runs log, and reads what it prints. What people wrote, the author's name and the
// subject, may have any sign in it but a zero byte, so each is a part of its own.
func (r *Repository) commits(ctx context.Context, args ...string) ([]Change, error) {
	format := "--format=" + headMark + strings.Join([]string{"%H", "%T", "%P", "%ct", "%cs"}, between) + "%x00%an%x00%s"
	out, err := r.run(ctx, append([]string{"log", "-z", "--no-color", "--no-decorate", "--no-show-signature", "--no-notes", "--no-ext-diff", "--no-textconv", "--no-mailmap", format}, args...)...)
	if err != nil {
		if f, ok := err.(*failed); ok {
			return nil, &Damaged{f.line()}
		}
		return nil, err
	}
	return r.read(string(out))
}

// read takes apart what log printed: parts that end with a zero byte. After a
// commit's head come its author, its subject and its files, each as what changed, its path and, where it was
// renamed, its new path. A file's name may look like anything, so where a part
// stands, and not how it looks, tells what it is.
func (r *Repository) read(text string) ([]Change, error) {
	var out []Change
	parts := strings.Split(text, "\x00")
	strange := func(part string) error { return &Damaged{"git printed what it should not: " + strconv.Quote(part)} }
	for i := 0; i < len(parts); i++ {
		part := strings.TrimPrefix(parts[i], "\n")
		switch {
		case part == "":
		case strings.HasPrefix(part, headMark):
			c, ok := head(strings.TrimPrefix(part, headMark))
			if !ok || i+2 >= len(parts) {
				return nil, strange(part)
			}
			c.Author, c.Subject = parts[i+1], parts[i+2]
			i += 2
			out = append(out, Change{Commit: c})
		case strings.HasPrefix(part, ":") && len(out) > 0:
			f, names, ok := raw(part)
			if !ok || i+names >= len(parts) {
				return nil, strange(part)
			}
			was, is := parts[i+1], parts[i+names]
			i += names
			in := func(p string) (string, bool) { return strings.CutPrefix(p, r.prefix) }
			var wasIn, isIn bool
			f.Was, wasIn = in(was)
			f.Path, isIn = in(is)
			switch {
			case !wasIn && !isIn:
				continue // another folder's
			case !isIn:
				f.Path, f.After, f.Kind, f.Outside = f.Was, "", Deleted, true
			case !wasIn:
				f.Was, f.Before, f.Kind, f.Outside = f.Path, "", Added, true
			}
			out[len(out)-1].Files = append(out[len(out)-1].Files, f)
		default:
			return nil, strange(part)
		}
	}
	return out, nil
}

func head(text string) (Commit, bool) {
	p := strings.Split(text, between)
	if len(p) != 5 {
		return Commit{}, false
	}
	at, err := strconv.ParseInt(p[3], 10, 64)
	return Commit{ID: p[0], Tree: p[1], Parents: strings.Fields(p[2]), Time: at, Date: p[4]}, err == nil
}

// raw reads ":100644 100644 ID ID R100": modes, ids, what happened. Names is how
// many paths follow.
func raw(text string) (f File, names int, ok bool) {
	p := strings.Fields(strings.TrimPrefix(text, ":"))
	if len(p) != 5 || p[4] == "" {
		return f, 0, false
	}
	id := func(s string) string {
		if strings.Trim(s, "0") == "" {
			return ""
		}
		return s
	}
	f = File{Kind: FileKind(p[4][0]), Before: id(p[2]), After: id(p[3])}
	if f.Kind == Renamed || f.Kind == Copied {
		return f, 2, true
	}
	return f, 1, true
}
