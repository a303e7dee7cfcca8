// Package vessel knows bottles and jars as containers: how much substrate one
// holds, what the bore in the middle takes away, and how densely it is packed.
//
// Everything is SI: lengths in m, areas in m², volumes in m³, masses in kg,
// densities in kg/m³. Volumes of a real vessel are measured with water, never
// taken from its nominal size.
package vessel

import "bottlecrop/cmd/internal/working"

// MouthArea is the area in m² of a round opening of inside diameter d (m).
var MouthArea = working.NewLaw("pi * d^2 / 4", "area of a circle", nil)

// BoreVolume is the volume in m³ of a tapered bore of depth h (m) that is d1
// wide (m) at one end and d2 (m) at the other; equal diameters give the
// cylinder.
var BoreVolume = working.NewLaw("pi * h * (d1^2 + d1 * d2 + d2^2) / 12", "volume of a frustum of a cone", nil)

// NeckVolume is the volume in m³ that a straight neck of inside area A (m²)
// has from the rim down to a line h (m) below it. It is the least headspace
// above that line: a shoulder above the line only adds to it.
var NeckVolume = working.NewLaw("A * h", "volume of a cylinder", nil)

// FillVolume is the volume in m³ that substrate fills: V_brim (m³), the volume
// to the brim, less V_head (m³), the headspace left free.
var FillVolume = working.NewLaw("V_brim - V_head", "definition", nil)

// FillMassPressed is the wet substrate of a vessel in kg where the bore is
// pressed: the rod displaces substrate and no mass is lost. rho is the mean
// packed wet density in kg/m³, V_fill the fill volume in m³, the bore included.
var FillMassPressed = working.NewLaw("rho * V_fill", "definition of density", nil)

// FillMassRemoved is the wet substrate of a vessel in kg where the bore is
// drilled out, or filled around a rod. rho is the packed wet density in kg/m³,
// V_fill the fill volume and V_bore the bore's volume in m³.
var FillMassRemoved = working.NewLaw("rho * (V_fill - V_bore)", "definition of density", nil)

// PackedDensity is the packed wet density in kg/m³ of M (kg) of wet substrate
// in the fill volume V_fill (m³), where a bore was pressed or there is none.
var PackedDensity = working.NewLaw("M / V_fill", "definition of density", nil)

// PackedDensityRemoved is the packed wet density in kg/m³ of M (kg) of wet
// substrate in the fill volume V_fill less the removed bore V_bore (m³).
var PackedDensityRemoved = working.NewLaw("M / (V_fill - V_bore)", "definition of density", nil)

// Porosity is the share of a packed substrate's volume that is air: rho is its
// wet density in kg/m³, m its moisture as a share of the wet mass. Solids count
// 1,500 kg/m³ (wood substance, from memory) and water 1,000 kg/m³. Below zero
// the inputs cannot all be true.
var Porosity = working.NewLaw("1 - rho * ((1 - m) / 1500 + m / 1000)",
	"volume balance; 1,500 kg/m³ for wood substance, from memory", nil)
