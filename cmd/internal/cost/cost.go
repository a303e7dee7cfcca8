// Package cost knows what a batch costs and what a reusable vessel saves
// against bags that are used once.
//
// Money is in the farm's currency, prices are for SI units: currency per kg, s,
// J and m³. Masses are in kg, volumes in m³.
package cost

import "bottlecrop/cmd/internal/working"

const definition = "definition"

// Wear is what one use of a thing costs that was bought for P and makes U uses
// on the average.
var Wear = working.NewLaw("P / U", "price spread evenly over the expected uses", nil)

// OfVessels is what n vessels cost at c each.
var OfVessels = working.NewLaw("n * c", definition, nil)

// OfSpawn is what S (kg) of spawn costs at p (currency per kg).
var OfSpawn = working.NewLaw("S * p", definition, nil)

// OfLots is the price (currency per kg) of an ingredient that is taken from
// several lots, which cost V together for Q (kg) as received.
var OfLots = working.NewLaw("V / Q", definition, nil)

// OfWaste is the part of the cost C of a mix that goes to residue, spillage and
// samples, when the share w was mixed on top for them.
var OfWaste = working.NewLaw("C * w / (1 + w)", "balance of masses", nil)

// OfEnergy is what loads runs of the sterilizer cost that take E (J) each, at
// p (currency per J).
var OfEnergy = working.NewLaw("loads * E * p", definition, nil)

// OfLabor is what the time t (s) costs at a wage (currency per s).
var OfLabor = working.NewLaw("t * wage", definition, nil)

// OfWater is what water costs at p (currency per m³): V_mix (m³) in each of the
// mixes, and V_wash (m³) to wash each of n vessels.
var OfWater = working.NewLaw("(V_mix * mixes + V_wash * n) * p", definition, nil)

// Each is the part of a batch's cost C that falls on one of the n vessels that
// are grown: they pay for the controls too.
var Each = working.NewLaw("C / n", definition, nil)

// OfSold is what a kg of the crop costs, when the batch costs C and S (kg) of
// it is sold: what is lost or cut off is paid by the rest.
var OfSold = working.NewLaw("C / S", definition, nil)

// BagFill is the wet substrate in kg in one bag of the usual size, for the
// comparison with bags.
const BagFill = 2.5

// BagFillSource says where BagFill is from.
const BagFillSource = "2.5 kg in a bag of 35 g, common practice, no source"

// BagShare is the mass in kg of bags that would hold the substrate of one
// vessel, M (kg): a bag of m_bag (kg) holds M_bag (kg).
var BagShare = working.NewLaw("m_bag * M / M_bag", "masses in proportion to the substrate held", nil)

// BagCost is what bags cost that would hold the substrate of one vessel, M
// (kg): a bag for P_bag with its closure for P_clip holds M_bag (kg).
var BagCost = working.NewLaw("(P_bag + P_clip) * M / M_bag", "cost in proportion to the substrate held", nil)

// WasteAvoided is the mass in kg of waste that one use of a vessel avoids
// against bags: b (kg) of bags, less the vessel's own mass m_v (kg) spread over
// its U uses and its lid's, m_l (kg), spread over U_l. Negative is more waste
// than with bags.
var WasteAvoided = working.NewLaw("b - m_v / U - m_l / U_l", "balance of masses", nil)

// BreakEven is the number of uses after which a vessel of m_v (kg) is no more
// waste than the bags, b (kg) for each use. It holds for b above zero.
var BreakEven = working.NewLaw("ceil(m_v / b)", definition, nil)

// BreakEvenWithLid is BreakEven, of the same m_v (kg) and b (kg), with the lid's wear in
// the account: m_l (kg) spread over its U_l uses. It holds where a lid's wear alone,
// m_l / U_l, is less than b; else no number of uses will do.
var BreakEvenWithLid = working.NewLaw("ceil(m_v / (b - m_l / U_l))", definition, nil)
