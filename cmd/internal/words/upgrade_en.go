package words

// upgradeEnglish is what check --upgrade says.
var upgradeEnglish = map[string]string{
	"upgrade.none":      "looked at {files:count|file|files}: each is of format {format:count}, the newest, or says a format that check will tell of; none was changed",
	"upgrade.file":      "upgraded {file:text}",
	"upgrade.renamed":   "{file:text}: {was:text} is called {now:text} now",
	"upgrade.done":      "upgraded {files:count|file|files}; nothing else in them has changed. Now run bottlecrop check",
	"upgrade.form":      "{file:text} is not upgraded: {error:text}",
	"upgrade.form.hint": "mend the file, then try again; no file has been changed",
	"upgrade.alone":     "--upgrade is for the files as they are, by itself; {flag:text} goes with another run of check",
}
