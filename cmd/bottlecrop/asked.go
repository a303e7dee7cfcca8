package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// speaks is the voice of what is said before a farm is read, or where none is: that of
// the farm folder that was named, English where it can't be read.
func (t *terminal) speaks() *words.Voice {
	if t.settings != nil {
		if f, err := readFarm(t.settings); err == nil {
			_ = f.close() // it was only read
			return f.voice
		}
	}
	return words.English(unit.Metric)
}

// misread says in our own words what the reader of flags could not make anything of.
func misread(c *cobra.Command, err error) error {
	var none *pflag.NotExistError
	var empty *pflag.ValueRequiredError
	var wrong *pflag.InvalidValueError
	var syntax *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &none):
		found := dashed(none.GetSpecifiedName(), none.GetSpecifiedShortnames())
		f := usage(words.Message("command.flag.none", "found", found)).(*failure)
		var known []string
		c.Flags().VisitAll(func(flag *pflag.Flag) { known = append(known, "--"+flag.Name) })
		if near := protocol.Nearest(found, known); near != "" {
			f.hint = words.Message("command.near", "near", near)
		}
		return f
	case errors.As(err, &empty):
		return usage(words.Message("command.flag.value", "flag", dashed(empty.GetSpecifiedName(), empty.GetSpecifiedShortnames())))
	case errors.As(err, &wrong):
		return usage(words.Message("command.flag.wrong", "flag", "--"+wrong.GetFlag().Name, "found", wrong.GetValue()))
	case errors.As(err, &syntax):
		return usage(words.Message("command.flag.syntax", "found", syntax.GetSpecifiedFlag()))
	}
	return usage(words.Message("command.failed", "error", err.Error()))
}

// dashed is a flag as it was written, by its name or by its letter.
func dashed(name, letters string) string {
	if letters != "" {
		return "-" + letters
	}
	return "--" + name
}

// noArguments refuses names behind a command that takes none. Behind the program alone
// they are meant for a command.
func noArguments(c *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return nil
	case c.HasParent():
		return usage(words.Message("command.no_arguments", "command", c.Name(), "found", strings.Join(args, " ")))
	}
	f := usage(words.Message("command.none", "found", args[0])).(*failure)
	var known []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			known = append(known, sub.Name())
		}
	}
	if near := protocol.Nearest(args[0], known); near != "" {
		f.hint = words.Message("command.near", "near", near)
	}
	return f
}

// atMostOne lets a command have one argument or none.
func atMostOne(c *cobra.Command, args []string) error {
	if len(args) > 1 {
		return usage(words.Message("command.one_at_most", "command", c.Name(), "n", len(args)))
	}
	return nil
}

// help prints what a command is for and how it is called: its heads and the exit codes
// in the language of the farm folder, if it is in one.
func (t *terminal) help(c *cobra.Command) string {
	v := t.speaks()
	say := func(id string, pairs ...any) string { return plain(v.Say(words.Message(id, pairs...))) }
	flags := func(set *pflag.FlagSet) string {
		if h := set.Lookup("help"); h != nil {
			h.Usage = say("command.help.flag", "command", c.Name())
		}
		return strings.TrimRight(set.FlagUsages(), " \n")
	}
	var b strings.Builder
	about := c.Long
	if about == "" {
		about = c.Short
	}
	if about = strings.TrimRight(about, " \n"); about != "" {
		b.WriteString(about + "\n\n")
	}
	b.WriteString(say("command.help.usage"))
	if c.Runnable() {
		b.WriteString("\n  " + c.UseLine())
	}
	if c.HasAvailableSubCommands() {
		b.WriteString("\n  " + say("command.help.one", "program", c.CommandPath()))
		b.WriteString("\n\n" + say("command.help.commands"))
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() || sub.Name() == "help" {
				b.WriteString("\n  " + sub.Name() + strings.Repeat(" ", max(0, sub.NamePadding()-len(sub.Name()))) + " " + sub.Short)
			}
		}
	}
	if c.HasAvailableLocalFlags() {
		b.WriteString("\n\n" + say("command.help.flags") + "\n" + flags(c.LocalFlags()))
	}
	if c.HasAvailableInheritedFlags() {
		b.WriteString("\n\n" + say("command.help.global") + "\n" + flags(c.InheritedFlags()))
	}
	if c.HasAvailableSubCommands() {
		b.WriteString("\n\n" + say("command.help.more", "program", c.CommandPath()))
	}
	b.WriteString("\n\n" + say("command.help.exit") + "\n")
	return b.String()
}
