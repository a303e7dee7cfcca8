package farmfile

import "bottlecrop/cmd/internal/protocol"

// rooms checks the rooms in the farm's file and its tests in a closed box.
func (f *Folder) rooms(b *binder) {
	for i, r := range f.Farm.Rooms {
		low, high := protocol.RoomKey(i, "shelf_lowest"), protocol.RoomKey(i, "shelf_highest")
		if r.ShelfHighest > 0 && r.ShelfLowest > r.ShelfHighest && !b.refused[low] && !b.refused[high] {
			b.refuse(low, "room.shelves", nil, "room_shelves", nil)
		}
	}
	for i, t := range f.Farm.ClosedBoxes {
		f.reference(b, protocol.ClosedBoxKey(i, "species"), false, "species", t.Species, true)
		f.reference(b, protocol.ClosedBoxKey(i, "vessel"), false, "vessel", t.Vessel, true)
	}
}
