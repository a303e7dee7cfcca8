package run

import (
	"errors"

	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/working"
)

// Heat, water and time of a run, of its parts. Everything is in SI units: J, W,
// kg, s. Heat capacities are taken as constant between room and hold, which is
// good to 3 % for water and metals (from memory).
var (
	// Heated is the heat in J that brings a mass m (kg) of a specific heat c
	// from the temperature T_0 to T.
	Heated = working.NewLaw("m * c * (T - T_0)", "definition of heat capacity", nil)
	// HeatedEach is the same for n vessels with m_s kg of substrate of the specific
	// heat c_s in m_v kg of vessel and lid of c_v, from T_0 to T. Heat that has not got
	// to the middle of the substrate by the end of the hold is counted, so it is an
	// upper bound.
	HeatedEach = working.NewLaw("n * (m_s * c_s + m_v * c_v) * (T - T_0)", "definition of heat capacity", nil)
	// Surface is the outside of a chamber of the volume V (m³), taken as a
	// cylinder as high as it is wide. A long one has up to a fifth more.
	Surface = working.NewLaw("6 * pi^(1/3) * V^(2/3) / 4^(1/3)", "surface of a cylinder as high as it is wide", nil)
	// Lost is the heat in W that a surface A with the conductance h loses at the
	// temperature T to a room of T_room.
	Lost = working.NewLaw("h * A * (T - T_room)", "Newton's law of cooling", nil)
	// UpLeast is the come-up in s without a load and without losses: the chamber takes
	// Q_metal and its charge Q_water (J), and P (W) goes in.
	UpLeast = working.NewLaw("(Q_metal + Q_water) / above_zero(P)", "balance of heat, lower bound", aboveZero)
	// UpMost is the come-up in s with a load that is hot all through at the end, having
	// taken Q_load (J) beside Q_metal and Q_water, with P (W) at the losses L (W) of
	// the end.
	UpMost = working.NewLaw("(Q_metal + Q_water + Q_load) / above_zero(P - L)", "balance of heat, upper bound", aboveZero)
	// Strength is the heater's power P as a multiple of the losses, of which L
	// goes through the wall and S leaves as steam. At 1 it can just keep the
	// pressure and never reaches it.
	Strength = working.NewLaw("P / above_zero(L + S)", "balance of heat", aboveZero)
	// Metered is what a meter reads, J, when Q gets into the water and the share
	// e of what is metered does.
	Metered = working.NewLaw("Q / above_zero(e)", "definition", aboveZero)
)

// Water of a run. Its density of 998 kg/m³ is that at 20 °C, at which it is
// filled in.
var (
	// Condensed is the steam in kg of the temperature T that gives off Q.
	Condensed = working.NewLaw("Q / latent_heat(T)", "balance of heat; latent heat: IAPWS R7-97(2012)", latent)
	// Vented is the steam in kg that blows off at the boiling point T while a
	// heater of P (W) is on for t (s) at a loss L through the wall. The load, which
	// takes some of it, is left out: it is an upper bound.
	Vented = working.NewLaw("max(0, P - L) * t / latent_heat(T)", "balance of heat, upper bound; latent heat: IAPWS R7-97(2012)", latent)
	// Leaked is the steam in kg that leaves at T in a hold of t (s) with the power S.
	Leaked = working.NewLaw("S * t / latent_heat(T)", "balance of heat; latent heat: IAPWS R7-97(2012)", latent)
	// HeldUp is the water in kg that stays on the load when M condenses there:
	// on lids, in trays, as drops.
	HeldUp = working.NewLaw("0.1 * M", "a tenth: design choice, no source", nil)
	// Gone is the water as a volume in m³ that is not in the bottom at the end: vented
	// (m_vent), leaked (m_leak), or on the load (m_load), kg.
	Gone = working.NewLaw("(m_vent + m_leak + m_load) / 998", "balance of water", nil)
	// RunsDry is the charge in m³ below which the bottom is barer than w (m³) at the
	// end of a run in which V (m³) is gone.
	RunsDry = working.NewLaw("w + V", "balance of water", nil)
	// LeastCharge is the charge in m³ that leaves w (m³) with half of what blows off,
	// m_vent and m_leak (kg), to spare; m_load (kg) stays on the load.
	LeastCharge = working.NewLaw("w + (1.5 * (m_vent + m_leak) + m_load) / 998", "half of the steam again to spare: design choice, no source", nil)
	// MadeUp is the water in m³ that a boiler of its own has to replace in a run:
	// there the condensate M (kg) is lost beside m_vent and m_leak (kg).
	MadeUp = working.NewLaw("(m_vent + m_leak + M) / 998", "balance of water", nil)
	// ChargeMass is the mass in kg of a charge V (m³).
	ChargeMass = working.NewLaw("998 * V", "density of water at 20 °C", nil)
)

// Cooling with the heat off. It is an upper bound: steam that leaks out and a
// load that is cooler inside make it faster.
var (
	// Slackens is the time in s in which what holds the heat Q at T (J above T_0), in
	// a surface A (m²) with the conductance h (W/(m²·K)), comes to 1/e of the way to
	// the room's temperature.
	Slackens = working.NewLaw("Q / (T - T_0) / (h * A)", "Newton's law of cooling, as one body", nil)
	// FallsTo is the time in s from T down to T_1 in a room of T_room (K), tau (s) being
	// that of Slackens.
	FallsTo = working.NewLaw("tau * ln((T - T_room) / (T_1 - T_room))", "Newton's law of cooling, as one body", nil)
)

// Planned is the come-up in s that a day is planned with: that of a full load, t_full, in
// whole minutes, but no less than the fastest that somebody saw, t_fast (both s).
var Planned = working.NewLaw("max(t_fast, 60 * ceil(t_full / 60))", "the longer of the two; up to a whole minute", nil)

// OfComputed is a metered energy E (J) as a multiple of the computed one, E_calc (J).
var OfComputed = working.NewLaw("E / above_zero(E_calc)", "definition", aboveZero)

var latent = map[string]working.Function{"latent_heat": func(a ...float64) (float64, error) {
	if len(a) != 1 {
		return 0, errors.New("takes one temperature")
	}
	return steam.LatentHeat(a[0])
}}

var aboveZero = map[string]working.Function{"above_zero": func(a ...float64) (float64, error) {
	switch {
	case len(a) != 1:
		return 0, errors.New("takes one value")
	case !(a[0] > 0):
		return 0, errors.New("nothing is left to heat with, or to divide by: the value must be above zero")
	}
	return a[0], nil
}}

// HeatOfWater is the specific heat of water in J/(kg·K), from memory.
const HeatOfWater = 4190.0

// Efficiency is the share of what an electric heater's meter reads that gets into
// the water, where nothing is said: 90 to 100 % (common practice, no source).
const Efficiency = 0.95

// HeatOfMetal is the specific heat of a chamber's metal: aluminum 900, steel 500
// J/(kg·K), from memory. What is not named counts as steel.
func HeatOfMetal(name string) float64 {
	if name == "aluminum" {
		return 900
	}
	return 500
}

// HeatOfVessel is the specific heat of a vessel's material in J/(kg·K), from
// memory: polypropylene 1900, glass 840, polyethylene 2300, PET 1200. 0 for a
// material that is not known.
func HeatOfVessel(material string) float64 {
	switch material {
	case "polypropylene":
		return 1900
	case "glass":
		return 840
	case "polyethylene":
		return 2300
	case "PET":
		return 1200
	}
	return 0
}

// Conductances from a chamber's outside to the room, W/(m²·K), engineering
// assumptions without a source: bare metal by air and radiation, and a jacket of
// insulation with a bare door and pipes.
const (
	BareWall      = 10.0
	InsulatedWall = 5.0
)
