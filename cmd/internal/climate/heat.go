package climate

import (
	"strconv"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// dew works out whether vessels that are brought in drip: they are as cold as the
// stage that they come from.
func (r *Room) dew() {
	for _, s := range r.Standing {
		from := s.before()
		if from == nil {
			continue
		}
		r.Ledger.DeriveOf("brought_above_dew", s.Subject(), unit.TemperatureDifference, room.AboveDew,
			working.Bind("T_s", from), working.Bind("T_dew", r.Ledger.Get("room_dew_point")))
	}
}

// before is how warm vessels are that come from the stage before, nil where nothing
// is known of it.
func (s Standing) before() *working.Quantity {
	l := s.Process.Ledger
	switch s.Stage {
	case protocol.RoomIncubation:
		return l.Get("core_cool_to")
	case protocol.RoomPinning:
		return l.Get("stage_incubation_air")
	case protocol.RoomFruiting:
		return l.Get("stage_pinning_air")
	}
	return nil
}

// resistances of the air at a part of the shell.
var resistances = map[string]float64{
	protocol.FacesWall: room.AtWall, protocol.FacesCeiling: room.AtCeiling, protocol.FacesFloor: room.AtFloor,
}

// heat works out heat and water on both days.
func (r *Room) heat() {
	l := r.Ledger
	for j, w := range r.Walls {
		of := wallSubject(j)
		r.Names[of] = w.Name
		at := func(key string) working.Origin { return protocol.InFarm(protocol.WallKey(r.Index, j, key)) }
		l.GivenOf("wall_area", of, unit.AreaOf, float64(w.Area), at("area"), "")
		l.GivenOf("wall_u", of, unit.ConductanceOf, float64(w.Conductance), at("conductance"), "")
		l.GivenOf("wall_resistance", of, unit.SurfaceResistanceOf, resistances[w.Faces], working.Origin{}, "ISO 6946, from memory")
		if w.Beyond != nil {
			l.GivenOf("wall_beyond", of, unit.TemperatureOf, float64(*w.Beyond), at("beyond"), "")
		}
	}
	machines := r.given("machines", unit.PowerOf, float64(r.Machines), "machines")
	person := r.constant("person_heat", unit.PowerOf, room.PersonHeat, "common practice, no source")
	l.Derive("people_heat", unit.PowerOf, room.PeopleHeat, working.Bind("n", l.Get("room_people")), working.Bind("P", person))
	l.Sum("heat_inside", unit.PowerOf, machines, l.Get("people_heat"), l.Get("crop_heat"))

	transpires := r.constant("transpiration", unit.WaterLossOf, room.DefaultTranspiration, "Journal of Food Engineering 2017, doi 10.1016/j.jfoodeng.2017.05.026: 0.52 to 3.88 g/(kg·h); this one for a cold room: common practice, no source")
	l.Derive("crop_water", unit.WaterFlowOf, room.CropWater, working.Bind("k", transpires), working.Bind("m", l.Get("room_mushrooms")))
	r.constant("soaked_up", unit.WaterFlowOf, 0, "walls and floors that are wet already take up nothing")
	vapor := l.Derive("vapor_heat", unit.SpecificEnergyOf, room.VaporHeat, working.Bind("T", l.Get("room_air")))
	if r.Humidifier == steam {
		l.Derive("humidifier_heat_each", unit.SpecificEnergyOf, room.SteamHeat, working.Bind("T", l.Get("room_air")))
	} else {
		l.Derive("humidifier_heat_each", unit.SpecificEnergyOf, room.FogHeat, working.Bind("h", vapor))
	}
	r.coil()
	r.day(Summer)
	r.day(Winter)
	r.equipment()
}

// steam is a humidifier that boils; any other, and none, makes fog.
const steam = "steam"

func wallSubject(j int) string { return "wall-" + strconv.Itoa(j+1) }

// coil works out how much water a coil takes with heat.
func (r *Room) coil() {
	l := r.Ledger
	if r.Coil == nil {
		r.constant("coil_dries", unit.WaterOfHeatOf, 0, "a room without a coil, or without its temperature: it takes no water")
		return
	}
	t := r.given("coil", unit.TemperatureOf, float64(*r.Coil), "coil")
	vapor := l.Derive("coil_vapor", unit.AbsolutePressureOf, air.Saturation, working.Bind("T", t))
	full := l.Derive("coil_ratio", unit.HumidityRatioOf, air.HumidityRatio, working.Bind("p_v", vapor), working.Bind("p", l.Get("air_pressure")))
	l.Derive("coil_dries", unit.WaterOfHeatOf, room.CoilDries, working.Bind("W", l.Get("room_ratio")), working.Bind("W_coil", full),
		working.Bind("c_p", l.Get("room_heat_capacity")), working.Bind("T", l.Get("room_air")), working.Bind("T_coil", t))
}

// day works out the room on one of the two days.
func (r *Room) day(name string) {
	l := r.Ledger
	t, out := l.Get("room_air"), l.Get(name+"_air")
	flow, volume := l.Get("fresh_running"), l.Get("room_specific_volume")
	water := l.Derive(name+"_fresh_water", unit.WaterFlowOf, room.FreshWater, working.Bind("Q", flow), working.Bind("v", volume),
		working.Bind("W", l.Get("room_ratio")), working.Bind("W_out", l.Get(name+"_ratio")))
	fresh := l.Derive(name+"_fresh_heat", unit.PowerOf, room.FreshSensible, working.Bind("Q", flow), working.Bind("v", volume),
		working.Bind("c_p", l.Get(name+"_heat_capacity")), working.Bind("T_out", out), working.Bind("T", t))
	var shell []*working.Quantity
	for j := range r.Walls {
		of := wallSubject(j)
		beyond := l.Of("wall_beyond", of)
		if beyond == nil {
			beyond = out
		}
		shell = append(shell, l.DeriveOf(name+"_wall_heat", of, unit.PowerOf, room.Through,
			working.Bind("U", l.Of("wall_u", of)), working.Bind("A", l.Of("wall_area", of)), working.Bind("T_out", beyond), working.Bind("T", t)))
		surface := l.DeriveOf(name+"_wall_surface", of, unit.TemperatureOf, room.SurfaceTemperature,
			working.Bind("T", t), working.Bind("U", l.Of("wall_u", of)), working.Bind("R", l.Of("wall_resistance", of)), working.Bind("T_out", beyond))
		l.DeriveOf(name+"_wall_above_dew", of, unit.TemperatureDifference, room.AboveDew,
			working.Bind("T_s", surface), working.Bind("T_dew", l.Get("room_dew_point")))
	}
	walls := l.Sum(name+"_shell_heat", unit.PowerOf, shell...)
	before := l.Sum(name+"_heat_before", unit.PowerOf, fresh, walls, l.Get("heat_inside"))
	rest := l.Derive(name+"_rest_duty", unit.WaterFlowOf, room.RestDuty, working.Bind("m_fresh", water),
		working.Bind("m_soak", l.Get("soaked_up")), working.Bind("m_crop", l.Get("crop_water")))
	duty := l.Derive(name+"_duty", unit.WaterFlowOf, room.Duty, working.Bind("m_0", rest), working.Bind("k", l.Get("coil_dries")),
		working.Bind("S", before), working.Bind("b", l.Get("humidifier_heat_each")))
	fog := l.Derive(name+"_humidifier_heat", unit.PowerOf, room.HumidifierHeat, working.Bind("m", duty), working.Bind("b", l.Get("humidifier_heat_each")))
	sensible := l.Sum(name+"_sensible", unit.PowerOf, before, fog)
	cool := l.Derive(name+"_cooling", unit.PowerOf, room.ToCool, working.Bind("S", sensible))
	l.Derive(name+"_heating", unit.PowerOf, room.ToHeat, working.Bind("S", sensible))
	condensed := l.Derive(name+"_coil_water", unit.WaterFlowOf, room.CoilTakes, working.Bind("S", cool), working.Bind("k", l.Get("coil_dries")))
	l.Derive(name+"_latent", unit.PowerOf, room.Latent, working.Bind("m", condensed), working.Bind("h", l.Get("vapor_heat")))
}

// firstToDrip enters the surface that drips first, on either day.
func (r *Room) firstToDrip() {
	var first *working.Quantity
	for j := range r.Walls {
		for _, day := range []string{Summer, Winter} {
			if q := r.Ledger.Of(day+"_wall_above_dew", wallSubject(j)); first == nil || q.Value < first.Value {
				first = q
			}
		}
	}
	r.Ledger.Sum("surfaces_above_dew", unit.TemperatureDifference, first)
}

// equipment compares what there is with what it has to do on the harder day.
func (r *Room) equipment() {
	l := r.Ledger
	// least is the load of which the margin is told: that of the day that asks for
	// more. A load that is next to nothing has none.
	margin := func(name, load string, has *working.Quantity, least float64) {
		worst := l.Get(Summer + load)
		if w := l.Get(Winter + load); w.Value > worst.Value {
			worst = w
		}
		if worst.Value > least {
			l.Derive(name, unit.FactorOf, room.Margin, working.Bind("P", has), working.Bind("L", worst))
		}
	}
	r.firstToDrip()
	const aWatt, aDrop = 1.0, 1e-9
	if r.Cooling != nil {
		margin("cooling_margin", "_cooling", r.given("cooling", unit.PowerOf, float64(*r.Cooling), "cooling"), aWatt)
	}
	if r.Heating != nil {
		margin("heating_margin", "_heating", r.given("heating", unit.PowerOf, float64(*r.Heating), "heating"), aWatt)
	}
	if r.Brings != nil {
		margin("humidifier_margin", "_duty", r.given("humidifier_brings", unit.WaterFlowOf, float64(*r.Brings), "humidifier_brings"), aDrop)
	}
}
