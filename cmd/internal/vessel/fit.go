package vessel

import "bottlecrop/cmd/internal/working"

// HeadspaceFit compares the stated headspace with the least that a line so far
// below the rim can leave: 1 where the neck is straight down to the line, more
// where the line lies in the shoulder, below 1 where the two measures disagree.
// V_head is the headspace, V_neck the volume of NeckVolume, both in m³.
var HeadspaceFit = working.NewLaw("V_head / V_neck", "definition", nil)

// BoreFloor is the substrate left under a bore of depth h, in m, in a vessel
// filled to the depth fill, in m. Negative is a bore deeper than the substrate.
var BoreFloor = working.NewLaw("fill - h", "definition", nil)

// BoreOfBody is a bore's diameter d as a share of the vessel's inside diameter
// D, both in m.
var BoreOfBody = working.NewLaw("d / D", "definition", nil)

// DepthToLine is the depth of substrate in m in a vessel of inside height H
// that is filled to a line h below its rim.
var DepthToLine = working.NewLaw("H - h", "definition", nil)

// OfCylinder compares the volume to the brim V_brim (m³) with the cylinder of
// the body's inside diameter D and the inside height H, both in m. Shoulder and
// neck keep a bottle below 1; more cannot be.
var OfCylinder = working.NewLaw("V_brim / (pi * D^2 / 4 * H)", "volume of a cylinder", nil)

// CrateMass is the mass in kg of a crate m_c (kg) with n vessels of m_v (kg)
// each, their lids of m_l (kg) and their substrate of M (kg).
var CrateMass = working.NewLaw("n * (m_v + m_l + M) + m_c", "balance of masses", nil)

// CrateSpawned is the mass in kg of that crate, n, m_v, m_l, M and m_c as in CrateMass, on
// its way to the shelves: the substrate's mass has changed by the part lam of it in the
// sterilizer, and each vessel has S (kg) of spawn.
var CrateSpawned = working.NewLaw("n * (m_v + m_l + M * (1 + lam) + S) + m_c", "balance of masses", nil)

// Heavier is the heavier in kg of two states of a crate, m_1 and m_2 (kg).
var Heavier = working.NewLaw("max(m_1, m_2)", "definition", nil)
