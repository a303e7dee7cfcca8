package climate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// drawn is a random room with random vessels of the demo farm's protocols in it, at a
// random pressure and in random weather.
func drawn(t *rapid.T, farm protocol.Farm, lib protocol.Library, processes []*process.Process) *climate.Room {
	draw := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	setpoint := draw("setpoint", 4, 25)
	r := protocol.Room{
		ID: "drawn", Name: "Drawn", For: []string{protocol.RoomFruiting}, Places: 1,
		Volume: unit.Volume(draw("volume", 5, 500)), Air: celsius(setpoint), Humidity: ptr(unit.Share(draw("rh", 0.5, 0.97))),
		CO2Most: ptr(unit.Concentration(draw("most", 6e-4, 9e-3))), Leakage: ptr(unit.AirChanges(draw("leakage", 0, 1) / hour)),
		Fan: ptr(unit.AirFlow(draw("fan", 0, 0.3))), Coil: celsius(setpoint - draw("coil", 1, 12)),
		Humidifier: rapid.SampledFrom([]string{"fog", "steam"}).Draw(t, "humidifier"), Machines: unit.Power(draw("machines", 0, 2000)),
		People: rapid.IntRange(1, 3).Draw(t, "people"), Stay: unit.Duration(draw("stay", 600, people.Shift)),
	}
	if rapid.Bool().Draw(t, "purges") {
		r.PurgeFan = ptr(unit.AirFlow(draw("purge fan", 0.01, 0.3)))
	}
	for _, faces := range []string{protocol.FacesWall, protocol.FacesCeiling} {
		r.Walls = append(r.Walls, protocol.Wall{Name: faces, Area: unit.Area(draw(faces, 5, 200)), Conductance: unit.Conductance(draw(faces+" U", 0.15, 3)), Faces: faces})
	}
	farm.Altitude, farm.StationPressure = nil, ptr(unit.Absolute(draw("p", 60e3, 104e3)))
	farm.Outdoor = &protocol.Outdoor{
		Summer: protocol.Weather{Air: *celsius(draw("summer", 15, 38)), Humidity: unit.Share(draw("summer rh", 0.2, 1))},
		Winter: protocol.Weather{Air: *celsius(draw("winter", -15, 15)), Humidity: unit.Share(draw("winter rh", 0.2, 1))},
	}
	farm.Rooms = []protocol.Room{r}
	var standing []climate.Standing
	for i, p := range processes {
		if rapid.Bool().Draw(t, "stands") {
			standing = append(standing, climate.Standing{Process: p, Stage: []string{protocol.RoomPinning, protocol.RoomFruiting}[i%2], Vessels: rapid.IntRange(1, 300).Draw(t, "vessels")})
		}
	}
	return climate.Work(climate.NewSite(farm, lib), 0, standing)
}

// Over a room at its setpoint nothing is lost or made: water that comes in goes out,
// and so does heat.
func TestBalancesClose(t *testing.T) {
	folder, processes := demo(t)
	rapid.Check(t, func(t *rapid.T) {
		r := drawn(t, folder.Farm, folder.Library, processes)
		l := r.Ledger
		v := func(name string) float64 {
			q := l.Get(name)
			require.NotNil(t, q, name)
			require.False(t, math.IsNaN(q.Value), "%s: %v", name, l.Err())
			return q.Value
		}
		if l.Value("room_free") <= 0 {
			return // a limit refuses it
		}
		for _, day := range []string{climate.Summer, climate.Winter} {
			// Water: what comes in is what the coil, dry walls and fresh air take, but for
			// what is in excess where the humidifier rests, or outdoor air is damper.
			excess := v(day+"_duty") + v("crop_water") - v("soaked_up") - v(day+"_coil_water") - v(day+"_fresh_water")
			assert.GreaterOrEqual(t, excess, -1e-9)
			if v(day+"_duty") > 0 && v(day+"_fresh_water") >= 0 {
				assert.InDelta(t, 0, excess, 1e-9)
			}
			// Heat: sensible and latent of fresh air are its whole, from the enthalpies of
			// air that package air works out by itself.
			inside, err := air.At(float64(*r.Air), float64(*r.Humidity), l.Value("air_pressure"))
			require.NoError(t, err)
			outside, err := air.At(l.Value(day+"_air"), l.Value(day+"_humidity"), l.Value("air_pressure"))
			require.NoError(t, err)
			total := checks.Eval(t, room.FreshTotal, map[string]float64{"Q": v("fresh_running"), "v": inside.Volume, "h_out": outside.Enthalpy, "h": inside.Enthalpy})
			latent := -v(day+"_fresh_water") * (2501000 + 1860*(inside.Temperature-273.15))
			assert.InDelta(t, total, v(day+"_fresh_heat")+latent, 1e-6*math.Max(1, math.Abs(total)))
			assert.InDelta(t, v(day+"_sensible"), v(day+"_cooling")-v(day+"_heating"), 1e-9)
			if r.Humidifier == "fog" {
				assert.InDelta(t, -v(day+"_duty")*v("vapor_heat"), v(day+"_humidifier_heat"), 1e-6)
			} else {
				assert.GreaterOrEqual(t, v(day+"_humidifier_heat"), 0.0)
			}
			// A wall drips just where it is thinner than the dew point lets it be.
			for j, w := range r.Walls {
				subject := []string{"wall-1", "wall-2"}[j]
				out := l.Value(day + "_air")
				if out >= inside.Temperature-0.1 {
					continue
				}
				most := checks.Eval(t, room.MostConductance, map[string]float64{"T": inside.Temperature, "T_dew": inside.DewPoint,
					"R": l.ValueOf("wall_resistance", subject), "T_out": out})
				if above := l.ValueOf(day+"_wall_above_dew", subject); math.Abs(above) > 1e-9 {
					assert.Equal(t, float64(w.Conductance) > most, above < 0)
				}
			}
		}
	})
}

// Carbon dioxide: with the air that is needed the room is at its setpoint; marched
// from the setpoint in the sealed room, the limit is passed at its time; and a stay of
// the longest length keeps the limit of the shift.
func TestCarbonHoldsTogether(t *testing.T) {
	folder, processes := demo(t)
	rapid.Check(t, func(t *rapid.T) {
		r := drawn(t, folder.Farm, folder.Library, processes)
		l := r.Ledger
		if l.Value("room_free") <= 0 {
			return
		}
		set, out, flow := l.Value("room_co2"), l.Value("outdoor_co2"), l.Value("co2_flow")
		if flow > 0 {
			assert.InEpsilon(t, set, checks.Eval(t, air.Steady, map[string]float64{"C_out": out, "G": flow, "Q": l.Value("fresh_needed")}), 1e-9)
			if end := l.Value("sealed_time"); end > 0 {
				assert.InEpsilon(t, people.PermissibleCO2, checks.Eval(t, air.After, map[string]float64{"C_0": set, "Q": 0, "t": end, "V": l.Value("room_free"), "C_out": out, "G": flow}), 1e-9)
			} else {
				assert.GreaterOrEqual(t, set, people.PermissibleCO2)
			}
		}
		stay := l.Get("stay_most")
		if stay == nil {
			assert.GreaterOrEqual(t, l.Value("co2_at_entry"), people.ShortTermCO2)
			return
		}
		if float64(r.Stay) <= stay.Value && stay.Value > 0 {
			assert.LessOrEqual(t, l.Value("shift_mean"), people.PermissibleCO2*(1+1e-9))
		}
		if q := l.Get("purge_needed"); q != nil {
			// Blown for so long, the room is fit to enter.
			assert.InEpsilon(t, people.WarnCO2, checks.Eval(t, air.After, map[string]float64{"C_0": purgedFrom(l), "Q": l.Value("purge_flow"), "t": q.Value, "V": l.Value("room_free"), "C_out": out, "G": flow}), 1e-9)
			assert.Equal(t, people.WarnCO2, l.Value("co2_at_entry"))
		}
	})
}

func purgedFrom(l *working.Ledger) float64 {
	if q := l.Get("co2_before_entry"); q != nil {
		return q.Value
	}
	return l.Value("room_co2")
}
