package words

// spokenEnglish is what is said of the command line as it was typed, and of the
// languages that a document was asked for in.
var spokenEnglish = map[string]string{
	"command.flag.none":    "there is no flag {found:text} here",
	"command.flag.value":   "{flag:text} needs a value behind it",
	"command.flag.wrong":   "{flag:text} can't be {found:text}",
	"command.flag.syntax":  "{found:text} is no flag",
	"command.none":         "there is no command {found:text}",
	"command.near":         "did you mean {near:text}?",
	"command.no_arguments": "{command:text} takes no names, and was given {found:text}",
	"command.one_at_most":  "{command:text} takes one name at most, {n:count} were given",

	"command.beside.why":  "why:",
	"command.beside.hint": "hint:",
	"command.beside.from": "from:",
	"command.beside.rule": "rule:",

	"command.help.usage":    "Usage:",
	"command.help.one":      "{program:text} [command]",
	"command.help.commands": "Available Commands:",
	"command.help.flags":    "Flags:",
	"command.help.flag":     "help for {command:text}",
	"command.help.global":   "Global Flags:",
	"command.help.more":     `Use "{program:text} [command] --help" for more information about a command.`,
	"command.help.exit": `Exit codes:
  0    done
  1    the farm's files are at fault: read the findings
  2    the command was not understood
  3    something could not be read or written
  130  interrupted (Ctrl-C); nothing is left half-written
  143  ended by the system; nor is anything then`,

	"language.flag.none":          "--language {found:text}: no page can be printed in it",
	"language.flag.none.hint":     "there are {list:text}",
	"language.flag.tag":           "--language {found:text} is no tag of a language",
	"language.flag.tag.hint":      "take one that farm.toml lists: {list:text}",
	"language.flag.unlisted":      "--language {found:text}: the farm does not list it",
	"language.flag.unlisted.hint": "take one of {list:text}, or add it to languages in protocols/farm.toml",
	"language.flag.most":          "--language names {n:count|language|languages}; at most {most:count} can be had here",
}
