package farmfile

import (
	"io/fs"
	"reflect"

	"bottlecrop/cmd/internal/protocol"
)

// readStock reads what the farm has in store. The file may be left out.
func (f *Folder) readStock(farm fs.FS) {
	d := read(farm, protocol.StockDocument, protocol.StockDocument, "", &f.out)
	if d == nil {
		return
	}
	f.documents[d.name] = layers{d}
	if d.tree == nil {
		return
	}
	b := newBinder(layers{d}, reflect.TypeFor[protocol.Stock](), "", &f.out)
	b.run(d.tree, reflect.ValueOf(&f.Stock).Elem())
	for i, l := range f.Stock.Lots {
		f.reference(b, protocol.LotKey(i, "ingredient"), false, "ingredient", l.Ingredient, true)
		if l.Price != nil {
			f.inCurrency(b, protocol.LotKey(i, "price"), l.Price.Currency)
		}
		if l.Moisture != nil && *l.Moisture >= 1 {
			b.refuse(protocol.LotKey(i, "moisture_wb"), "stock.all_water", nil, "stock_all_water", nil)
		}
	}
}
