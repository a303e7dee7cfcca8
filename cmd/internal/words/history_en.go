package words

// historyEnglish is what the program says of a farm's repository and of its
// protocols' versions.
var historyEnglish = map[string]string{
	"history.at":   "{folder:text} as it was at commit {commit:text} of {date:text}: {subject:text}",
	"approve.past": "check --approve writes into the files as they are: it can't be had with --at",

	"calculation.version": "calculation {n:text}",
	"calculation.changed": "{n:text}: {what:text}",
	"calculation.of":      "{version:text}, calculation {n:text}",
	"calculation.1":       "the first that is counted; before it, numbers changed without being counted",

	"history.no_git":             "git is not on this machine, or not in the search path; earlier states of a farm are read with it",
	"history.no_git.hint":        "install git; all that needs no earlier state works without it",
	"history.no_repository":      "the folder {folder:text} is in no git repository, so no earlier state of it is known",
	"history.no_repository.hint": "to keep one from now on: git init, git add --all, git commit",
	"history.foreign":            "the repository of {folder:text} belongs to another user of this machine, and git reads none such",
	"history.foreign.hint":       "where you trust it, say so to git: git config --global --add safe.directory PATH-OF-THE-REPOSITORY",
	"history.unborn":             "the repository of {folder:text} has no commit yet",
	"history.unborn.hint":        "make the first: git add --all, git commit",
	"history.no_revision":        "the repository of {folder:text} has no revision {found:text}",
	"history.no_revision.hint":   "a branch, a tag, an id of a commit or its beginning, or HEAD~3 is possible; git log --oneline lists commits",
	"history.ambiguous":          "{found:text} is the beginning of several ids",
	"history.ambiguous.hint":     "write more of the id; git log lists them whole",
	"history.shallow":            "the repository of {folder:text} has no revision {found:text}; it is shallow, so that its older commits are not here",
	"history.shallow.hint":       "fetch them: git fetch --unshallow",
	"history.damaged":            "the repository of {folder:text} is damaged: {error:text}",
	"history.damaged.hint":       "git fsck says what is broken; take a sound copy of the repository. Nothing was fetched to mend it",
}
