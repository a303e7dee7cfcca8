package farmfile

import (
	"io/fs"

	"bottlecrop/cmd/internal/protocol"
)

// readOrders reads what the farm is to deliver.
func (f *Folder) readOrders(farm fs.FS) {
	b := readBeside(f, farm, protocol.OrdersDocument, &f.Orders)
	if b == nil {
		return
	}
	for i, o := range f.Orders.Orders {
		f.reference(b, protocol.OrderKey(i, "protocol"), false, "protocol", o.Protocol, true)
	}
}
