package filing

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"time"
)

// settled is how old a folder has to be that is cleared though its maker can't be asked:
// it may just be made, and not yet locked (design choice).
const settled = 10 * time.Second

// Scratch makes a folder for what is used and thrown away, in the system's folder for
// such things, and clears away those of the same kind that killed runs left there. first
// is called for each of those before it goes; it may be nil. done takes the new one away.
func Scratch(kind string, first func(folder string)) (folder string, done func() error, err error) {
	within, err := os.OpenRoot(os.TempDir())
	if err != nil {
		return "", nil, err
	}
	defer within.Close()
	clearScratch(within, kind, first)
	end := Begin()
	folder, err = os.MkdirTemp("", "bottlecrop-"+kind+"-")
	if err != nil {
		end()
		return "", nil, err
	}
	lock, err := within.Open(filepath.Base(folder))
	if err == nil {
		_, _ = tryLock(lock) // without it the folder is kept by its age
	}
	return folder, func() error {
		defer end()
		if lock != nil {
			lock.Close()
		}
		return os.RemoveAll(folder)
	}, nil
}

// clearScratch clears away the folders of a kind that killed runs left.
func clearScratch(within *os.Root, kind string, first func(folder string)) {
	entries, err := fs.ReadDir(within.FS(), ".")
	if err != nil {
		return
	}
	left := regexp.MustCompile(`^bottlecrop-` + regexp.QuoteMeta(kind) + `-[0-9]+$`)
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.IsDir() || !mine(info) || !left.MatchString(e.Name()) || time.Since(info.ModTime()) < settled || !Abandoned(within, e.Name()) {
			continue
		}
		if first != nil {
			first(filepath.Join(os.TempDir(), e.Name()))
		}
		_ = within.RemoveAll(e.Name()) // or the next run does
	}
}
