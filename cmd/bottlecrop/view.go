package main

import (
	"context"
	"errors"
	"math"
	"net"
	"os"
	"strconv"
	"syscall"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/view"
	"bottlecrop/cmd/internal/words"
)

func viewCommand(t *terminal, s *settings) *cobra.Command {
	var port string
	var rescale rescaleFlag
	var ownTemplates bool
	c := &cobra.Command{
		Use:   "view",
		Short: "Show the book on this machine, and follow your files",
		Long: `view shows the book of the farm folder in a browser on this machine while you write it.
It prints the address to open. When you save a file, the page that is open shows it by
itself, where it was scrolled to. With an error in your files it says what and where, above
the pages as they were before.

Nothing is written into the folder, and no other machine can open it. For a book that
others read, use bottlecrop book.

With --own-templates, the templates and the stylesheet in the farm's folder templates
take the place of the program's, as in book, and are followed too.

Press Ctrl-C to end it.`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			at, err := strconv.Atoi(port)
			if err != nil || at < 0 || at > math.MaxUint16 {
				return usage(words.Message("view.port", "found", strconv.Quote(port)))
			}
			anySize, err := rescale.read()
			if err != nil {
				return err
			}
			return t.view(c.Context(), s, uint16(at), viewAsked{ownTemplates: ownTemplates, rescale: anySize})
		},
	}
	c.Flags().StringVar(&port, "port", "0", "the `port` to listen on; 0 is any that is free")
	rescale.of(c)
	c.Flags().BoolVar(&ownTemplates, "own-templates", false, "use the farm's own templates and stylesheet, from its folder templates")
	return c
}

// viewAsked is what a view is asked to have.
type viewAsked struct{ ownTemplates, rescale bool }

// watched are the parts of a farm folder that pages are made of.
var watched = []string{protocol.Folder, "site", ownFolder}

// view serves the book until it is ended.
func (t *terminal) view(ctx context.Context, s *settings, port uint16, asked viewAsked) error {
	if err := s.isFolder(); err != nil {
		return err
	}
	// Watched before it is read, so that no change falls between the two.
	w, err := view.Watch(s.farm, watched...)
	if err != nil {
		return err
	}
	defer w.Close()
	listeners, got, err := view.Listen(ctx, port)
	if err != nil {
		return notOpened(port, err)
	}
	x := newViewer(t, s, asked, got)
	if err := x.follow(ctx, nil); err != nil {
		for _, l := range listeners {
			_ = l.Close() // nothing was served
		}
		return err
	}
	t.say(x.speaks(), "view.begun", "address", "http://"+net.JoinHostPort("127.0.0.1", strconv.Itoa(int(got)))+"/")
	x.report()
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	go func() {
		for {
			changed, err := w.Next(ctx)
			if err != nil {
				return // it has ended
			}
			if err := x.follow(ctx, changed); err != nil {
				stop(err)
				return
			}
			x.report()
		}
	}()
	defer filing.Begin()()
	err = x.server.Serve(ctx, listeners)
	if cause := context.Cause(ctx); cause != nil && !errors.Is(cause, context.Canceled) {
		err = cause
	}
	if err != nil {
		return err
	}
	t.say(x.speaks(), "view.ended")
	return nil
}

// notOpened says why a port could not be opened.
func notOpened(port uint16, err error) error {
	at := strconv.Itoa(int(port))
	if errors.Is(err, syscall.EADDRINUSE) {
		return &failure{environment, words.Message("view.port_taken", "port", at), words.Message("view.port_taken.hint")}
	}
	var call *os.SyscallError
	why := err.Error()
	if errors.As(err, &call) {
		why = call.Err.Error()
	}
	return &failure{environment, words.Message("view.port_refused", "port", at, "error", why), words.Message("view.port_refused.hint")}
}
