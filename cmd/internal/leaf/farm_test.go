package leaf

import (
	"os"
	"sync"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

// DemoFarm is the demo farm, which is this repository: read once, and a copy for each who
// asks, to be changed.
func DemoFarm() *farmfile.Folder {
	own := *readFarm()
	own.Farm, own.Library, own.Protocols = checks.Copy(own.Farm), checks.Copy(own.Library), checks.Copy(own.Protocols)
	own.Orders, own.Results = checks.Copy(own.Orders), checks.Copy(own.Results)
	return &own
}

var readFarm = sync.OnceValue(func() *farmfile.Folder {
	folder, _ := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	return folder
})

// InEnglish is an edition whose templates are ready, made ready once.
func InEnglish(sys unit.System) Edition { return readied[sys]() }

var readied = map[unit.System]func() Edition{
	unit.Metric: sync.OnceValue(func() Edition { return readyIn(unit.Metric) }),
	unit.US:     sync.OnceValue(func() Edition { return readyIn(unit.US) }),
}

func readyIn(sys unit.System) Edition {
	e, err := Edition{Voice: words.English(sys), Version: "1.2.3"}.Ready()
	if err != nil {
		panic(err)
	}
	return e
}
