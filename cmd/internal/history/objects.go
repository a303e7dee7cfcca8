package history

import (
	"bufio"
	"bytes"
	"context"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os/exec"
	"strconv"
	"strings"
)

// Item is one entry of a folder of a revision.
type Item struct {
	Name string
	ID   string // of what it holds; of a folder, that of all that is in it
	Mode fs.FileMode
}

// List is what a folder of the farm folder held at a commit, by its ids and without
// reading a file; nil where it was not there. It is far faster than At for one commit
// after another.
func (r *Repository) List(ctx context.Context, c Commit, folder string) ([]Item, error) {
	at := c.Tree
	for name := range strings.SplitSeq(r.prefix+folder, "/") {
		if name == "" || name == "." {
			continue
		}
		items, err := r.items(ctx, at)
		if err != nil {
			return nil, err
		}
		at = ""
		for _, i := range items {
			if i.Name == name && i.Mode.IsDir() {
				at = i.ID
			}
		}
		if at == "" {
			return nil, nil
		}
	}
	return r.items(ctx, at)
}

// items reads a folder's object.
func (r *Repository) items(ctx context.Context, id string) ([]Item, error) {
	data, err := r.object(ctx, "tree", id)
	if err != nil {
		return nil, err
	}
	out, ok := entries(data, len(id)/2)
	if !ok {
		return nil, &Damaged{fmt.Sprintf("the folder %s can't be read", id)}
	}
	return out, nil
}

// entries reads of each entry of a folder its mode in octal, a space, its name, a zero byte
// and its id as so many bytes. Git itself makes no name with a slash in it, none that is
// empty and no "." or ".."; an object that was made by hand may have them, and they name
// nothing that is in the folder.
func entries(data []byte, size int) (out []Item, ok bool) {
	out = []Item{}
	for len(data) > 0 {
		zero := bytes.IndexByte(data, 0)
		space := bytes.IndexByte(data[:max(zero, 0)], ' ')
		if space < 0 || len(data) < zero+1+size {
			return nil, false
		}
		i := Item{Name: string(data[space+1 : zero]), ID: hex.EncodeToString(data[zero+1 : zero+1+size]), Mode: fs.ModeIrregular}
		switch string(data[:space]) {
		case "40000":
			i.Mode = fs.ModeDir
		case "100644", "100755", "100664":
			i.Mode = 0
		case "120000":
			i.Mode = fs.ModeSymlink
		}
		if i.Name != "." && fs.ValidPath(i.Name) && !strings.Contains(i.Name, "/") {
			out = append(out, i)
		}
		data = data[zero+1+size:]
	}
	return out, true
}

// Read is what a file held, by its id.
func (r *Repository) Read(ctx context.Context, id string) ([]byte, error) {
	return r.object(ctx, "blob", id)
}

// objects is a git program that is asked for one object after another.
type objects struct {
	command *exec.Cmd
	ask     io.WriteCloser
	answers *bufio.Reader
	says    *bounded
}

// object reads an object of a kind, by its id.
func (r *Repository) object(ctx context.Context, kind, id string) ([]byte, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if r.objects == nil {
		o := &objects{command: r.command(context.WithoutCancel(ctx), "cat-file", "--batch"), says: &bounded{most: 64 << 10}}
		o.command.Stderr = o.says
		var err error
		if o.ask, err = o.command.StdinPipe(); err != nil {
			return nil, err
		}
		out, err := o.command.StdoutPipe()
		if err != nil {
			return nil, err
		}
		if err := o.command.Start(); err != nil {
			return nil, fmt.Errorf("history: git cat-file: %w", err)
		}
		o.answers = bufio.NewReaderSize(out, 1<<16)
		r.objects = o
	}
	data, err := r.objects.read(kind, id)
	if err != nil {
		// It may have ended, or stand in the middle of an answer: the next object
		// gets another.
		says := r.objects.says
		_ = r.objects.close()
		r.objects = nil
		if text := (&failed{says: says.String()}).line(); says.Len() > 0 {
			err = &Damaged{fmt.Sprintf("the object %s can't be read: %s", id, text)}
		}
	}
	return data, err
}

func (o *objects) read(kind, id string) ([]byte, error) {
	if _, err := io.WriteString(o.ask, id+"\n"); err != nil {
		return nil, &Damaged{fmt.Sprintf("the object %s can't be read: %v", id, err)}
	}
	line, err := o.answers.ReadString('\n')
	if err != nil {
		return nil, &Damaged{fmt.Sprintf("the object %s can't be read: %v", id, err)}
	}
	p := strings.Fields(line)
	if len(p) == 2 && p[1] == "missing" {
		return nil, &Damaged{fmt.Sprintf("the object %s is missing or broken", id)}
	}
	if len(p) != 3 || p[0] != id {
		return nil, &Damaged{"the object " + strings.TrimSpace(line)}
	}
	size, err := strconv.ParseInt(p[2], 10, 64)
	if err != nil || p[1] != kind || size < 0 || size > mostBytes {
		return nil, &Damaged{"the object is no " + kind + " that could be read: " + strings.TrimSpace(line)}
	}
	data := make([]byte, size+1) // a line break ends it
	if _, err := io.ReadFull(o.answers, data); err != nil {
		return nil, &Damaged{fmt.Sprintf("the object %s ends too soon: %v", id, err)}
	}
	return data[:size], nil
}

func (o *objects) close() error {
	_ = o.ask.Close()
	_, _ = io.Copy(io.Discard, o.answers)
	return o.command.Wait()
}
