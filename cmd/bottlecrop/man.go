package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// manCommand prints the program's page for man, of all its commands: what --help says,
// set with the macros of man(7). A release carries it.
func manCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:    "man",
		Short:  "Print the page for man",
		Hidden: true,
		Args:   noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			fmt.Fprint(t, manPage(c.Root()))
			return nil
		},
	}
}

// manPage has no date, so that a program gives the same page on any day.
func manPage(root *cobra.Command) string {
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	line(`.TH %s 1 "" "%s %s"`, strings.ToUpper(root.Name()), root.Name(), version)
	line(".SH NAME")
	line(`%s \- %s`, roff(root.Name()), roff(root.Short))
	line(".SH SYNOPSIS")
	line(".B %s", roff(root.Name()))
	line(".I COMMAND")
	line("[flags]")
	line(".SH DESCRIPTION")
	b.WriteString(roffText(root.Long))
	line(".SH COMMANDS")
	for _, c := range root.Commands() {
		if !c.IsAvailableCommand() {
			continue
		}
		line(".SS %s", roff(strings.TrimSuffix(c.UseLine(), " [flags]")))
		about := c.Long
		if about == "" || c.HasSubCommands() { // of completion, each shell says more by itself
			about = c.Short
		}
		b.WriteString(roffText(about))
		b.WriteString(roffFlags(c.NonInheritedFlags()))
	}
	line(".SH OPTIONS")
	line("All commands have these.")
	b.WriteString(roffFlags(root.PersistentFlags()))
	line(".SH EXIT STATUS")
	_, codes, _ := strings.Cut(words.English(unit.Metric).Say(words.Message("command.help.exit")), "\n")
	b.WriteString(roffText(codes))
	return b.String()
}

// roff keeps a text from being read as anything but text.
func roff(text string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
}

// roffText sets a help text: paragraphs, and indented lines as they are.
func roffText(text string) string {
	var b strings.Builder
	as := false  // in lines that stay as they are
	gap := false // a paragraph has ended: what comes begins one, and the end of the text none
	for line := range strings.Lines(strings.TrimRight(text, " \n")) {
		line = strings.TrimRight(line, "\n")
		if line == "" {
			gap = b.Len() > 0
			continue
		}
		example := strings.HasPrefix(line, "  ")
		if as && !example {
			b.WriteString(".fi\n")
		}
		if gap {
			b.WriteString(".PP\n")
			gap = false
		}
		if example && !as {
			b.WriteString(".nf\n")
		}
		as = example
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			b.WriteString(`\&`)
		}
		b.WriteString(roff(line) + "\n")
	}
	if as {
		b.WriteString(".fi\n")
	}
	return b.String()
}

// roffFlags lists flags as --help does, each with its word.
func roffFlags(set *pflag.FlagSet) string {
	var b strings.Builder
	set.VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		word, about := pflag.UnquoteUsage(f)
		fmt.Fprintf(&b, ".TP\n.B %s", roff("--"+f.Name))
		if word != "" {
			fmt.Fprintf(&b, ` \fI%s\fR`, roff(word))
		}
		fmt.Fprintf(&b, "\n%s\n", roff(about))
	})
	return b.String()
}
