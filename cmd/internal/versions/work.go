package versions

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"runtime"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/protocol"
)

// work is one reading of versions. Whatever is read is read once, by the ids of what
// git holds: commits that have a file alike have one of it here.
type work struct {
	ctx     context.Context
	reader  *Reader
	kept    *kept
	grounds map[string]*ground // by what they hold
	files   map[file]*source
	jobs    map[string]*job   // by key
	alone   map[standing]*job // those of files that are based on none: nearly all, and found faster
}

// standing is a file on a ground.
type standing struct {
	ground *ground
	file   file
}

// file is a protocol's file by what it holds; the name stands in what is found in it.
type file struct{ name, id string }

// ground is farm and library as several commits had them.
type ground struct {
	key    string // of what it holds
	commit history.Commit
	once   sync.Once
	read   *farmfile.Ground
	err    error
}

// source is a protocol's file.
type source struct {
	file
	link   bool // no plain file
	parent string
	*farmfile.Source
}

// job is the reading of one protocol on one ground.
type job struct {
	key    string
	ground *ground
	chain  []*source
	done   bool
	method farmfile.Method
}

// state is what one commit had.
type state struct {
	change history.Change
	ground *ground
	files  map[string]history.Item // of protocols, by name
	jobs   map[string]*job         // of protocols, by name; nil for one that is not there
}

func newWork(ctx context.Context, r *Reader) *work {
	return &work{ctx: ctx, reader: r, kept: load(r.Store), grounds: map[string]*ground{}, files: map[file]*source{}, jobs: map[string]*job{}, alone: map[standing]*job{}}
}

// states lists what each of some commits had.
func (w *work) states(list []history.Change) ([]*state, error) {
	var out []*state
	for _, c := range list {
		items, err := w.reader.Repository.List(w.ctx, c.Commit, protocol.Folder)
		if err != nil {
			return nil, err
		}
		s := &state{change: c, files: map[string]history.Item{}, jobs: map[string]*job{}}
		var on strings.Builder
		for _, i := range items {
			whole := protocol.Folder + "/" + i.Name
			name, isProtocol := protocol.NameOf(whole)
			switch {
			case i.Mode.IsDir() && (i.Name == libraryFolder || i.Name == evidenceFolder), whole == protocol.FarmDocument:
				on.WriteString(i.Mode.String() + i.ID)
			case isProtocol:
				s.files[name] = i
			default:
				continue
			}
			on.WriteString(i.Name + "\n") // the farm's file may name any protocol
		}
		sum := sha256.Sum256([]byte(on.String()))
		key := hex.EncodeToString(sum[:16])
		if w.grounds[key] == nil {
			w.grounds[key] = &ground{key: key, commit: c.Commit}
		}
		s.ground = w.grounds[key]
		out = append(out, s)
	}
	return out, nil
}

// step is a protocol in a state.
func (w *work) step(s *state, name string) (step, error) {
	j, known := s.jobs[name]
	if !known {
		var err error
		if j, err = w.job(s, name); err != nil {
			return step{}, err
		}
		s.jobs[name] = j
	}
	return step{commit: s.change.Commit, name: name, job: j}, nil
}

// job is the reading of a protocol of a state, nil where it is not there.
func (w *work) job(s *state, name string) (*job, error) {
	if i, there := s.files[name]; there {
		if j := w.alone[standing{s.ground, file{name, i.ID}}]; j != nil {
			return j, nil
		}
	}
	var chain []*source
	var key strings.Builder
	key.WriteString(s.ground.key)
	for at := name; at != "" && !slices.ContainsFunc(chain, func(x *source) bool { return x.name == at }); {
		i, there := s.files[at]
		if !there {
			break
		}
		x, err := w.source(at, i)
		if err != nil {
			return nil, err
		}
		chain = append(chain, x)
		key.WriteString("\n" + x.name + "\n" + x.id)
		at = x.parent
	}
	if len(chain) == 0 {
		return nil, nil
	}
	if chain[0].link {
		return &job{done: true, method: farmfile.Method{Faults: 1}}, nil
	}
	sum := sha256.Sum256([]byte(key.String()))
	id := hex.EncodeToString(sum[:16])
	if w.jobs[id] == nil {
		w.jobs[id] = &job{key: id, ground: s.ground, chain: chain}
	}
	if chain[0].parent == "" {
		w.alone[standing{s.ground, chain[0].file}] = w.jobs[id]
	}
	return w.jobs[id], nil
}

// source is a protocol's file, read where it is not known yet what it is based on.
func (w *work) source(name string, i history.Item) (*source, error) {
	at := file{name, i.ID}
	if x := w.files[at]; x != nil {
		return x, nil
	}
	x := &source{file: at, link: !i.Mode.IsRegular()}
	w.files[at] = x
	if x.link {
		return x, nil
	}
	if parent, known := w.kept.parent(i.ID); known {
		x.parent = parent
		return x, nil
	}
	if err := w.open(x); err != nil {
		return nil, err
	}
	x.parent = x.BasedOn()
	w.kept.setParent(i.ID, x.parent)
	return x, nil
}

// open reads a file.
func (w *work) open(x *source) error {
	if x.Source != nil {
		return nil
	}
	src, err := w.reader.Repository.Read(w.ctx, x.id)
	if err == nil {
		x.Source = farmfile.NewSource(x.name, src)
	}
	return err
}

// read does what is to be done and not kept of an earlier run. The jobs of one file
// follow each other, so that it need not stay in memory.
func (w *work) read() error {
	groups := map[*source][]*job{}
	for _, j := range w.jobs {
		if j.method, j.done = w.kept.method(j.key); !j.done {
			groups[j.chain[0]] = append(groups[j.chain[0]], j)
		}
	}
	var open []*source
	parents := map[*source]bool{}
	for x, jobs := range groups {
		open = append(open, x)
		for _, j := range jobs {
			for _, p := range j.chain[1:] {
				parents[p] = true
			}
		}
	}
	for p := range parents {
		if err := w.open(p); err != nil {
			return err
		}
	}
	slices.SortFunc(open, func(a, b *source) int { return strings.Compare(a.name+"\n"+a.id, b.name+"\n"+b.id) })
	several, ctx := errgroup.WithContext(w.ctx)
	several.SetLimit(runtime.GOMAXPROCS(0))
	for _, x := range open {
		several.Go(func() error {
			if err := ctx.Err(); err != nil { // another has failed, or somebody ends it
				return err
			}
			return w.group(x, groups[x], parents[x])
		})
	}
	if err := several.Wait(); err != nil {
		return err
	}
	for _, j := range w.jobs {
		w.kept.setMethod(j.key, j.method)
	}
	w.kept.save(w.reader.Store)
	return nil
}

// group does the jobs of one file, and lets go of what only they need.
func (w *work) group(x *source, jobs []*job, isParent bool) error {
	if !isParent {
		if err := w.open(x); err != nil {
			return err
		}
		defer func() { x.Source = nil }()
	}
	for _, j := range jobs {
		g, err := w.ground(j.ground)
		if err != nil {
			return err
		}
		var chain []*farmfile.Source
		for _, s := range j.chain {
			if s.Source != nil {
				chain = append(chain, s.Source)
			}
		}
		j.method, j.done = g.Method(chain...), true
	}
	return nil
}

// ground reads farm and library, once.
func (w *work) ground(g *ground) (*farmfile.Ground, error) {
	g.once.Do(func() {
		files, err := w.reader.Repository.At(w.ctx, g.commit)
		if err != nil {
			g.err = err
			return
		}
		seen := &watched{FS: files}
		g.read = farmfile.ReadGround(seen, w.reader.Base)
		g.err = seen.err()
	})
	return g.read, g.err
}

// watched notes what git could not read: a reader of farms takes it for a fault of the
// farm's.
type watched struct {
	fs.FS
	damaged *history.Damaged
}

func (w *watched) err() error {
	if w.damaged == nil {
		return nil
	}
	return w.damaged
}

// Open implements fs.FS.
func (w *watched) Open(name string) (fs.File, error) {
	f, err := w.FS.Open(name)
	if w.damaged == nil {
		errors.As(err, &w.damaged)
	}
	return f, err
}

// Stat implements fs.StatFS: a link is no file, and is not opened to see that.
func (w *watched) Stat(name string) (fs.FileInfo, error) { return fs.Stat(w.FS, name) }
