package farmfile

import (
	"io/fs"
	"reflect"

	"bottlecrop/cmd/internal/protocol"
)

// readBeside reads a file that a farm may leave out into a value. It is nil where
// there is nothing to check any further.
func readBeside[T any](f *Folder, farm fs.FS, name string, into *T) *binder {
	d := read(farm, name, name, "", &f.out)
	if d == nil {
		return nil
	}
	f.documents[d.name] = layers{d}
	if d.tree == nil {
		return nil
	}
	b := newBinder(layers{d}, reflect.TypeFor[T](), "", &f.out)
	b.run(d.tree, reflect.ValueOf(into).Elem())
	return b
}

// readStock reads what the farm has in store.
func (f *Folder) readStock(farm fs.FS) {
	b := readBeside(f, farm, protocol.StockDocument, &f.Stock)
	if b == nil {
		return
	}
	for i, l := range f.Stock.Lots {
		if key := protocol.LotKey(i, "came"); l.Came > 0 && l.Came < l.Mass && !b.refused[key] {
			b.refuse(key, "stock.grown", nil, "stock_grown", nil)
		}
		f.reference(b, protocol.LotKey(i, "ingredient"), false, "ingredient", l.Ingredient, true)
		if l.Price != nil {
			f.inCurrency(b, protocol.LotKey(i, "price"), l.Price.Currency)
		}
		if l.Moisture != nil && *l.Moisture >= 1 {
			b.refuse(protocol.LotKey(i, "moisture_wb"), "stock.all_water", nil, "stock_all_water", nil)
		}
	}
}
