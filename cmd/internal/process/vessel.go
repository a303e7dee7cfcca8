package process

import (
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// fill works out what goes into one vessel: the wet mass or, where the mass is
// given, the density that it is packed to.
func (p *Process) fill() {
	l, pr, v := p.Ledger, p.Input.Protocol, p.Vessel
	brim := p.vessel("vessel_brimful", unit.VolumeOf, float64(v.Brimful), "brimful")
	body := p.vessel("vessel_body", unit.LengthOf, float64(v.Body), "body_diameter")
	mouth := p.vessel("vessel_mouth", unit.LengthOf, float64(v.Mouth), "mouth_diameter")
	p.vessel("vessel_empty", unit.MassOf, float64(v.Empty), "empty_mass")
	p.vessel("vessel_lid", unit.MassOf, float64(v.LidMass), "lid_mass")
	height := p.vessel("vessel_height", unit.LengthOf, float64(v.Height), "inside_height")
	if p.Setting().Reusable { // a bag has no shape of its own
		l.Derive("vessel_fit", unit.ShareOf, vessel.OfCylinder,
			working.Bind("V_brim", brim), working.Bind("D", body), working.Bind("H", height))
	}
	head := p.given("headspace", unit.VolumeOf, float64(pr.Fill.Headspace), "fill.headspace")
	line := p.given("line_below_rim", unit.LengthOf, float64(pr.Fill.LineBelowRim), "fill.line_below_rim")
	p.given("fill_tolerance", unit.ShareOf, float64(pr.Fill.Tolerance), "fill.tolerance")

	area := l.Derive("mouth_area", unit.AreaOf, vessel.MouthArea, working.Bind("d", mouth))
	neck := l.Derive("headspace_least", unit.VolumeOf, vessel.NeckVolume, working.Bind("A", area), working.Bind("h", line))
	l.Derive("headspace_fit", unit.None, vessel.HeadspaceFit, working.Bind("V_head", head), working.Bind("V_neck", neck))
	volume := l.Derive("fill_volume", unit.VolumeOf, vessel.FillVolume, working.Bind("V_brim", brim), working.Bind("V_head", head))
	depth := l.Derive("fill_depth", unit.LengthOf, vessel.DepthToLine, working.Bind("H", height), working.Bind("h", line))
	bore := p.bore(depth)
	removed := pr.Bore.Made == protocol.BoreRemoved

	var mass, density *working.Quantity
	if pr.Fill.Mass != nil {
		mass = p.given("fill_mass", unit.MassOf, float64(*pr.Fill.Mass), "fill.mass")
		if removed {
			density = l.Derive("packed_density", unit.DensityOf, vessel.PackedDensityRemoved,
				working.Bind("M", mass), working.Bind("V_fill", volume), working.Bind("V_bore", bore))
		} else {
			density = l.Derive("packed_density", unit.DensityOf, vessel.PackedDensity,
				working.Bind("M", mass), working.Bind("V_fill", volume))
		}
	} else {
		density = p.given("packed_density", unit.DensityOf, float64(*pr.Fill.Density), "fill.density")
		if removed {
			l.Derive("fill_mass", unit.MassOf, vessel.FillMassRemoved,
				working.Bind("rho", density), working.Bind("V_fill", volume), working.Bind("V_bore", bore))
		} else {
			l.Derive("fill_mass", unit.MassOf, vessel.FillMassPressed,
				working.Bind("rho", density), working.Bind("V_fill", volume))
		}
	}
	moisture := p.given("moisture_target", unit.ShareOf, float64(pr.Substrate.Moisture), "substrate.moisture_wb")
	l.Derive("air_filled_porosity", unit.ShareOf, vessel.Porosity,
		working.Bind("rho", density), working.Bind("m", moisture))
}

// bore enters the hole's measures and returns its volume; without a bore the
// volume is a given zero, so that later laws need no second form.
func (p *Process) bore(depth *working.Quantity) *working.Quantity {
	b := p.Input.Protocol.Bore
	if b.Made == protocol.BoreNone {
		return p.given("bore_volume", unit.VolumeOf, 0, "bore.made")
	}
	top := p.given("bore_top", unit.LengthOf, float64(b.TopDiameter), "bore.top_diameter")
	bottom := p.given("bore_bottom", unit.LengthOf, float64(b.BottomDiameter), "bore.bottom_diameter")
	deep := p.given("bore_depth", unit.LengthOf, float64(b.Depth), "bore.depth")
	p.Ledger.Derive("bore_floor", unit.LengthOf, vessel.BoreFloor,
		working.Bind("fill", depth), working.Bind("h", deep))
	p.Ledger.Derive("bore_of_body", unit.ShareOf, vessel.BoreOfBody,
		working.Bind("d", top), working.Bind("D", p.Ledger.Get("vessel_body")))
	return p.Ledger.Derive("bore_volume", unit.VolumeOf, vessel.BoreVolume,
		working.Bind("h", deep), working.Bind("d1", top), working.Bind("d2", bottom))
}
