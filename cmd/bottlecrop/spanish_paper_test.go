package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/work"
)

// What hangs on a wall or is signed on one page is one page in Spanish too, whose words
// are longer, on both papers; and says at its head that nobody has looked it over.
func TestSpanishCardsOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	es, err := f.in("es")
	require.NoError(t, err)
	require.Len(t, es.entries, 7)
	for _, paper := range papers {
		e := es.edition()
		e.Farm.Paper = paper
		require.True(t, e.Unreviewed)
		one := func(what string, card []byte, err error, parts ...string) {
			t.Helper()
			require.NoError(t, err)
			name := strings.Join([]string{what, paper}, ", ")
			said := onePage(t, ctx, page, card, name)
			for _, part := range append(parts, "TRADUCCIÓN SIN REVISAR") {
				assert.Contains(t, said, part, name)
			}
		}
		for _, entry := range some(es.entries) {
			name := entry.Method.Protocol
			b := entry.Batches[len(entry.Batches)-1]
			told := procedure.Build(b)
			card, err := leaf.SterilizerCard(e, b, entry.Method)
			one(name+", sterilizer", card, err, "PELIGRO", "ADVERTENCIA", "Si no está en esta tarjeta", "Se abre la válvula de alivio")
			card, err = leaf.Release(e, told, entry.Method)
			one(name+", release", card, err, "Decisión", "Liberada.")
			for _, at := range checks.Every(5, work.Stations()) {
				card, err := leaf.WallCard(e, told, at, entry.Method)
				one(name+", "+string(at), card, err, "Cuándo parar el trabajo", "Emergencias")
			}
		}
		c := es.climate(nil)
		for _, r := range some(c.Rooms) {
			card, err := leaf.RoomCard(e, r, c.Processes)
			one(r.ID, card, err, "PELIGRO", "El ventilador está parado")
		}
	}
}
