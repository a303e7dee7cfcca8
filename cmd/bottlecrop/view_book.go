package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/view"
	"bottlecrop/cmd/internal/words"
)

// viewer makes what is seen of a farm folder, and makes it anew when a file has changed.
type viewer struct {
	terminal *terminal
	settings *settings
	asked    viewAsked
	server   *view.Server

	memory *memory
	voice  *words.Voice
	module []byte // for sheets of any size
	looked bool   // for the module
	news   map[string]sided

	mu    sync.Mutex
	shown *preview // of the last good book; nil where there was none
	farm  *farm    // as it was read last
}

func newViewer(t *terminal, s *settings, asked viewAsked, port uint16) *viewer {
	x := &viewer{terminal: t, settings: s, asked: asked, memory: &memory{}, voice: words.English(unit.Metric), news: map[string]sided{}}
	if v := t.speaks(); v != nil {
		x.voice = v
	}
	say := func(id string) string { return x.voice.Say(words.Message(id)) }
	x.server = view.New(port, view.Said{
		Language: x.voice.Tag(), Title: say("view.title"), NoPage: say("view.no_page"), NoBook: say("view.no_book"),
		Home: say("view.home"), Refused: say("view.refused"), Panel: say("view.panel"),
	}, x.explain)
	return x
}

// follow reads the folder and shows what it says now. Errors in its files are shown over
// the last good book; the error is of something that no file can mend. Changed are the
// files that have changed, nil where that is not known.
func (x *viewer) follow(ctx context.Context, changed []string) error {
	if p := x.soon(changed); p != nil {
		x.show(p, nil)
	}
	f, in, err := x.open(ctx)
	if ctx.Err() != nil {
		return nil // ended meanwhile
	}
	var outside *failure
	switch v := x.speaks(); {
	case errors.As(err, &outside):
		// The folder is gone, or git has it no more: it may come back.
		x.show(nil, &view.Panel{Heading: v.Say(outside.what), Below: v.Say(outside.hint)})
		return nil
	case isEnvironment(err):
		x.show(nil, &view.Panel{Heading: v.Say(words.Message("command.failed", "error", err.Error())), Below: v.Say(words.Message("view.panel.below"))})
		return nil
	}
	if err != nil {
		return err
	}
	x.mu.Lock()
	x.farm = f
	x.voice = f.voice
	last := x.shown
	x.mu.Unlock()
	if f.verdict() != nil {
		x.show(nil, x.panel(f))
		return nil
	}
	p, err := newPreview(in, last)
	if err != nil && f.broken(err) {
		x.show(nil, x.panel(f))
		return nil
	}
	if err != nil {
		return err
	}
	x.show(p, nil)
	return nil
}

// speaks is the farm's voice.
func (x *viewer) speaks() *words.Voice {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.voice
}

// open reads the folder and works out what has changed.
func (x *viewer) open(ctx context.Context) (*farm, book.Input, error) {
	if err := x.settings.isFolder(); err != nil {
		return nil, book.Input{}, err
	}
	root, err := os.OpenRoot(x.settings.farm)
	if err != nil {
		return nil, book.Input{}, err
	}
	f, err := readAgain(x.settings, root.FS(), root.Close, x.memory)
	if err != nil {
		return nil, book.Input{}, err
	}
	defer f.close()
	f.open(nil)
	if x.asked.ownTemplates {
		f.use()
	}
	if f.verdict() != nil {
		return f, book.Input{}, nil
	}
	if err := x.recall(ctx, f); err != nil {
		return nil, book.Input{}, err
	}
	in, err := f.input(bookAsked{news: x.news})
	if err != nil || f.verdict() != nil {
		return f, in, err
	}
	if x.asked.rescale && len(in.Edition.Own) == 0 {
		if !x.looked {
			x.module, x.looked = moduleFile(x.terminal, f.voice), true
		}
		f.carry(x.module, &in)
	}
	return f, in, nil
}

// recall finds the protocols that have changed since their approval as they were
// approved. What git was found to have it goes on having.
func (x *viewer) recall(ctx context.Context, f *farm) error {
	found := map[string]sided{}
	for _, p := range f.folder.Protocols {
		if p.Standing(f.fingerprint(p.Name)) != protocol.ChangedSince {
			continue
		}
		then, known := x.news[p.Name]
		if !known || then.farm.folder.Fingerprint(then.protocol) != p.Approval.Fingerprint {
			var err error
			if then, known, err = f.approved(ctx, x.settings, headRevision, p); err != nil {
				return err
			}
		}
		if known {
			found[p.Name] = then
		}
	}
	x.news = found
	return nil
}

// show shows a book, or the last good one with a panel over it.
func (x *viewer) show(p *preview, panel *view.Panel) {
	x.mu.Lock()
	if p != nil {
		x.shown = p
	}
	shown := view.Shown{Look: leaf.StylePath, Panel: panel}
	if x.shown != nil {
		shown.Pages = x.shown
	} else if panel != nil {
		panel.Below = x.voice.Say(words.Message("view.panel.no_pages"))
	}
	x.mu.Unlock()
	x.server.Show(shown)
}

// report says at the terminal how it stands, as check and book do.
func (x *viewer) report() {
	x.mu.Lock()
	f := x.farm
	x.mu.Unlock()
	if f == nil {
		return
	}
	if f.verdict() != nil {
		x.terminal.findings(f.voice, protocol.Errors(f.findings), false)
		x.terminal.say(f.voice, "view.faulty", "n", f.count(protocol.Error))
		return
	}
	x.terminal.say(f.voice, "view.good", "pages", len(f.entries))
}

// panel is the findings that stand in the way of a book, as the terminal has them.
func (x *viewer) panel(f *farm) *view.Panel {
	v, all := f.voice, protocol.Errors(f.findings)
	out := &view.Panel{Heading: v.Say(words.Message("view.panel.heading", "n", len(all))), Below: v.Say(words.Message("view.panel.below"))}
	printed := map[string]int{}
	left := 0
	for _, y := range all {
		if printed[y.Place.File]++; printed[y.Place.File] > mostOfAFile {
			left++
			continue
		}
		out.Lines = append(out.Lines, x.line(v, y))
	}
	if left > 0 {
		out.More = v.Say(words.Message("view.panel.more", "n", left))
	}
	return out
}

func (x *viewer) line(v *words.Voice, y protocol.Finding) view.Line {
	out := view.Line{Place: where(x.terminal.fromHere(y.Place)), Severity: v.Say(severity(y)), What: v.Say(y.What)}
	if y.Place.Line > 0 && y.Place.Text != "" {
		number := fmt.Sprintf("%5d", y.Place.Line)
		out.Source = number + " | " + clip(y.Place)
		out.Caret = strings.Repeat(" ", len(number)) + " | " + caret(y.Place)
	}
	beside := func(label, text string) {
		out.Beside = append(out.Beside, view.Beside{Label: v.Say(words.Message("command.beside." + label)), Text: text})
	}
	if y.Why.ID != "" {
		beside("why", v.Say(y.Why))
	}
	if y.Hint.ID != "" {
		beside("hint", v.Say(y.Hint))
	}
	if y.Source != "" {
		source, _ := v.Source(y.Source)
		beside("from", source)
	}
	return out
}

// explain says on a panel why a page could not be set.
func (x *viewer) explain(_ string, err error) *view.Panel {
	x.mu.Lock()
	f := x.farm
	x.mu.Unlock()
	v := f.voice
	out := &view.Panel{Heading: v.Say(words.Message("view.panel.page")), Below: v.Say(words.Message("view.panel.below"))}
	var fault *leaf.Fault
	var twice *book.Twice
	switch {
	case errors.As(err, &fault):
		out.Lines = []view.Line{x.line(v, f.own.finding(fault))}
	case errors.As(err, &twice):
		out.Lines = []view.Line{{What: v.Say(words.Message("command.twice", "page", twice.Path)),
			Beside: []view.Beside{{Label: v.Say(words.Message("command.beside.hint")), Text: v.Say(words.Message("command.twice.hint"))}}}}
	default:
		out.Lines = []view.Line{{What: v.Say(words.Message("command.failed", "error", err.Error()))}}
	}
	return out
}
