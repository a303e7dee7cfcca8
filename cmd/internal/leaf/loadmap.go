package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
)

// loadMapPath shows how each load of a batch is put in.
func loadMapPath(name string, vessels int) string {
	return ofSize(name, "load-map", vessels)
}

// loadMapPage has one page for each kind of load: those that hold as many are
// loaded alike.
type loadMapPage struct {
	batchFrame
	Sterilizer string
	Documents  []link
	Loads      []mappedLoad
}

// mapTall is how many times as high as wide a map may be: what the page leaves of
// letter paper, with the texts above and below in a longer language.
const mapTall = 0.95

type mappedLoad struct {
	ID, Name string
	Holds    string // "50 bottles"
	Map      picture
}

// mapped is true where a load can be drawn.
func mapped(_ Edition, b *batch.Batch) bool {
	return b.Process.Loading(b.Process.Holds, b.Process.Input.Farm.Controls.UninoculatedPerLoad).Layers != nil
}

// LoadMap sets the maps of a batch's loads, for the door of the sterilizer.
func LoadMap(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	path := loadMapPath(b.Process.Input.Protocol.Name, b.Vessels)
	page := loadMapPage{
		batchFrame: e.frameOfBatch(b, path, "load-map", "load_map", method),
		Sterilizer: b.Process.Sterilizer.Name,
		Documents:  e.documents(b, path),
	}
	first := 0
	for i, l := range b.Loads {
		if next := i + 1; next < len(b.Loads) && b.Loads[next].Vessels == l.Vessels && b.Loads[next].Controls == l.Controls {
			continue
		}
		x := mappedLoad{ID: "load-" + strconv.Itoa(first+1), Name: e.say("record.load", "load", l.Number), Holds: e.counted(b, l.Vessels),
			Map: picture{Notice: e.say("book.loading.map.notice"), How: e.say("book.loading.map.how")}}
		if first < i {
			x.Name = e.say("book.load_map.loads", "first", b.Loads[first].Number, "last", l.Number)
		}
		loading := b.Process.Loading(l.Vessels, l.Controls)
		if l.Vessels < b.Process.Holds {
			x.Map.How += " " + e.say("book.loading.map.part", "n", l.Vessels, "vessels", b.Process.Vessel.Many)
		}
		if loading.Sketch {
			x.Map.How += " " + e.say("book.loading.map.sketch", "vessels", b.Process.Vessel.Many)
		}
		e.addLoad(&x.Map, b.Process, loading, l.Vessels, "cap-"+x.ID, mapTall)
		page.Loads = append(page.Loads, x)
		first = i + 1
	}
	return e.html("load-map", page)
}
