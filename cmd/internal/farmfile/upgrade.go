package farmfile

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
)

// Format is the format of files that this program reads.
const Format = 1

// Renamed is a key of one kind of file that a format calls otherwise than the one before.
type Renamed struct {
	In   string // document, protocol.FarmDocument; protocol.Document("*") is any protocol
	Path string // of the key as it was, without the numbers of items: "room.wall.area"
	Now  string // its last name since
}

// upgrades lists, for each format but the last, what the next renames: the first entry
// leads from format 1 to 2. There has been format 1 alone, and in its history no key was
// renamed, so the list is empty. What an upgrade needs besides names, such as another
// unit, is to be added when a format does it.
var upgrades [][]Renamed

// Upgrade brings the text of a file to the present format, and changes no byte but those
// of its format and of renamed keys: comments, order and blanks stay. It gives the text as
// it is, and nothing renamed, where there is nothing to do. Like Set it reads the result
// again, and gives an error if anything else than that were to change.
func Upgrade(document string, src []byte) (out []byte, renamed []Renamed, err error) {
	return upgrade(document, src, upgrades)
}

func upgrade(document string, src []byte, steps [][]Renamed) (out []byte, renamed []Renamed, err error) {
	tree, _, err := readable(src)
	if err != nil {
		return nil, nil, fmt.Errorf("farmfile: the file to upgrade: %w", err)
	}
	now, ok := tree["format"].(int64)
	last := int64(len(steps) + 1)
	if !ok || now < 1 || now > last {
		return src, nil, nil // check tells what is wrong with that
	}
	for ; now < last; now++ {
		for _, r := range steps[now-1] {
			_, isProtocol := protocol.NameOf(document)
			if r.In != document && (r.In != protocol.Document("*") || !isProtocol) {
				continue
			}
			next, there, err := rename(src, r)
			if err != nil {
				return nil, nil, fmt.Errorf("farmfile: %s of %s: %w", r.Path, document, err)
			}
			if src = next; there {
				renamed = append(renamed, r)
			}
		}
		if src, err = Set(src, "format", int(now+1)); err != nil {
			return nil, nil, err
		}
	}
	return src, renamed, nil
}

// Documents lists the files of a farm folder that are read as TOML, sorted.
func Documents(farm fs.FS) ([]string, error) {
	var out []string
	for _, pattern := range []string{protocol.Document("*"), protocol.LibraryFolder + "/*.toml", protocol.TextsDocument("*"), protocol.LibraryFolder + "/" + protocol.LanguagesFolder + "/*.toml"} {
		files, err := fs.Glob(farm, pattern)
		if err != nil {
			return nil, err
		}
		out = append(out, files...)
	}
	// Editors keep copies under names that begin with a point.
	out = slices.DeleteFunc(out, func(file string) bool { return path.Base(file)[0] == '.' })
	slices.Sort(out)
	return out, nil
}

// rename gives a key its new name wherever it stands: before an equals sign, in the
// middle of a dotted key, in headers.
func rename(src []byte, r Renamed) (out []byte, there bool, err error) {
	before, _, err := readable(src)
	if err != nil {
		return nil, false, err
	}
	var at []span
	if _, slips := scanNaming(src, func(key string, p part) {
		if plain(key) == r.Path {
			at = append(at, p.span)
		}
	}); len(slips) > 0 {
		return nil, false, errors.New(slips[0].rule)
	}
	if len(at) == 0 {
		return src, false, nil
	}
	slices.SortFunc(at, func(a, b span) int { return b.start - a.start })
	out = src
	for _, s := range at {
		out = slices.Concat(out[:s.start], []byte(keyName(r.Now)), out[s.end:])
	}
	after, _, err := readable(out)
	if err != nil {
		return nil, false, fmt.Errorf("the file would not be readable: %w", err)
	}
	names, ok := parsePath(r.Path)
	if !ok {
		return nil, false, errors.New("is no path of a key")
	}
	if !renameIn(before, names, r.Now) || !same(before, after) {
		return nil, false, errors.New("more than that would change, or there is a " + strconv.Quote(r.Now) + " beside it")
	}
	return out, true, nil
}

// renameIn renames a key in a decoded tree. It is false where the new name is taken.
func renameIn(v any, names []step, now string) bool {
	if items, ok := listOf(v); ok {
		for _, x := range items {
			if !renameIn(x, names, now) {
				return false
			}
		}
		return true
	}
	tree, ok := v.(map[string]any)
	if !ok {
		return true
	}
	name := names[0].name
	below, there := tree[name]
	if !there {
		return true
	}
	if len(names) > 1 {
		return renameIn(below, names[1:], now)
	}
	if _, taken := tree[now]; taken {
		return false
	}
	delete(tree, name)
	tree[now] = below
	return true
}
