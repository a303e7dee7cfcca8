package crop

import "bottlecrop/cmd/internal/working"

const (
	massBalance  = "balance of masses"
	waterBalance = "balance of water"
)

// DryInCrop is the dry matter in kg that a fresh crop Y (kg) with the dry
// fraction d_f carries off.
var DryInCrop = working.NewLaw("Y * d_f", "definition of the dry fraction", nil)

// WaterIn is the water in kg of whatever weighs wet (kg), dry (kg) of it dry
// matter.
var WaterIn = working.NewLaw("wet - dry", waterBalance, nil)

// DryIn is the dry matter in kg of s (kg) of a wet material of moisture m_s
// (share of the wet mass).
var DryIn = working.NewLaw("s * (1 - m_s)", massBalance, nil)

// Respired is the dry matter in kg that the mycelium burns until the harvest:
// the share r of the dry substrate D (kg). A tenth to a third is burnt (from
// memory).
var Respired = working.NewLaw("r * D", "definition of the respired share", nil)

// Made is what burning D_resp (kg) of dry matter gives in kg, at k kg of it for
// each kg burnt: water, or carbon dioxide.
var Made = working.NewLaw("k * D_resp", "stoichiometry of burnt polysaccharide", nil)

// Evaporated is the water in kg that M (kg) of wet substrate loses to the air
// of the rooms, the share e of its wet mass.
var Evaporated = working.NewLaw("e * M", "definition", nil)

// DrySpent is the dry matter in kg that is left of the dry substrate D (kg)
// when D_crop (kg) went into the crop and D_resp (kg) was burnt; the spawn's is
// left out. Below zero the inputs cannot all be true.
var DrySpent = working.NewLaw("D - D_crop - D_resp", massBalance, nil)

// SpentWet is the wet mass in kg of spent substrate: M (kg) of wet substrate
// with s (kg) of wet spawn, less the dry matter D_resp (kg) that was burnt, the
// fresh crop Y (kg) and the evaporated water E (kg), and with the water W_resp
// (kg) that burning made. Oxygen comes in, carbon dioxide leaves.
var SpentWet = working.NewLaw("M + s - D_resp + W_resp - Y - E", massBalance, nil)

// SpentMoisture is the moisture (share of the wet mass) of M_spent (kg) of
// spent substrate with D_all (kg) of dry matter, the spawn's included.
var SpentMoisture = working.NewLaw("1 - D_all / M_spent", massBalance, nil)
