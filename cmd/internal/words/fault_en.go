package words

// faultEnglish is the card that hangs at the sterilizer: what can go wrong in a
// run, what to do at once, what becomes of the load and who decides. Which
// fault has which answer, package procedure decides.
var faultEnglish = map[string]string{
	"book.fault.kind":    "Card for the sterilizer",
	"book.fault.title":   "{title:text}, card for the sterilizer",
	"book.fault.id":      "{document:text}, sterilizer card",
	"book.fault.lead":    "Hang it at {sterilizer:text}. Find what you see. Do what stands beside it, at once. People come first: a load is only a load.",
	"book.fault.run":     "This run",
	"book.fault.do":      "At once",
	"book.fault.then":    "The load",
	"book.fault.decides": "Decides",
	"book.fault.means":   "What becomes of the load",
	"book.fault.else":    "Not on this card: cut the heat, leave it closed, and ask the person in charge.",
	"book.fault.heating": "Heating and venting",
	"book.fault.holding": "In the hold",
	"book.fault.after":   "After the run",
	"book.fault.more":    "When it goes wrong",
	"book.fault.find":    "When a run goes wrong",

	"fault.decides.operator":  "Operator",
	"fault.decides.charge":    "Person in charge",
	"fault.decides.inspector": "Licensed inspector",

	// The figures of the run.
	"fault.figure.gauge":           "{gauge_low:amount} to {gauge_high:amount}",
	"fault.figure.gauge.of":        "Gauge",
	"fault.figure.hold":            "{hold:amount}",
	"fault.figure.hold.of":         "Hold",
	"fault.figure.vent":            "{vent:amount}",
	"fault.figure.vent.of":         "Vent",
	"fault.figure.rated":           "{rated:amount}",
	"fault.figure.rated.of":        "Rated pressure: never above",
	"fault.figure.rerun":           "within {rerun:amount}",
	"fault.figure.rerun.of":        "Run again",
	"fault.figure.altitude":        "{altitude:amount} above the sea",
	"fault.figure.altitude.of":     "Only for",
	"fault.figure.air-pressure":    "air of {air_pressure:amount}",
	"fault.figure.air-pressure.of": "Only for",

	// What becomes of the load, in a few words and in full.
	"fault.answer.stay":        "The hold runs on",
	"fault.answer.stay.means":  "The clock runs on. The end stays where it was.",
	"fault.answer.hold":        "Hold again from zero: {hold:amount}",
	"fault.answer.hold.means":  "Bring the gauge back to {gauge_low:amount}. Start the clock then. What was held before does not count.",
	"fault.answer.vent":        "Vent again from zero: {vent:amount}",
	"fault.answer.vent.means":  "Let a full, steady jet blow for {vent:amount}. Then hold for {hold:amount}.",
	"fault.answer.rerun":       "Cool it unopened. Run it again within {rerun:amount}",
	"fault.answer.rerun.means": "A whole new run in a sound sterilizer: water, vent, hold. Count from when you see the fault. Past {rerun:amount}, scrap it.",
	"fault.answer.scrap":       "Scrap it",
	"fault.answer.scrap.means": "Put no spawn in it. Mark it. Sterilize it closed, in a sound sterilizer. Then empty it.",

	// The faults. See is what the operator sees, do is done at once.
	"fault.no-steam.title": "No steam, or a weak jet, at the vent",
	"fault.no-steam.see":   "The jet fades, spits or does not come.",
	"fault.no-steam.do":    "Leave the vent open. Keep clear of the jet. If no steam comes, cut the heat: the water may be gone.",

	"fault.water.title": "Water low, or it may have run dry",
	"fault.water.see":   "Heat on, no steam or water. A smell of hot metal.",
	"fault.water.do":    "Cut the heat. Do not open it. Do not add water. Let it cool fully. Have it looked at.",

	"fault.lid-leak.title": "Steam leaks at the lid or door",
	"fault.lid-leak.see":   "A hiss or a drip at the seal.",
	"fault.lid-leak.do":    "Step back. Cut the heat. Tighten nothing under pressure. Let it cool fully.",

	"fault.dip.title": "The pressure dipped",
	"fault.dip.see":   "The gauge was below {gauge_low:amount}, for any time at all.",
	"fault.dip.do":    "Turn the heat up with care. Stay with the gauge. Write down the time.",

	"fault.heat-out.title": "Power or heat out",
	"fault.heat-out.see":   "The heater or the flame is off, and the gauge falls.",
	"fault.heat-out.do":    "Turn the switch off, or close the gas. Smell of gas: get out, get help. Leave lid and vent shut. Note the time.",

	"fault.above.title": "Gauge above its band",
	"fault.above.see":   "The gauge reads more than {gauge_high:amount}.",
	"fault.above.do":    "Turn the heat down. Near {rated:amount}: cut it, and stay off the lid. Never open the vent fast.",

	// Where the band ends at the rated pressure, above it is no time to turn a knob.
	"fault.above.do.tight": "Cut the heat: {rated:amount} is all that it may bear. Keep away from the lid. Never open the vent fast.",

	"fault.relief.title": "The relief valve lifts",
	"fault.relief.see":   "Steam roars out of the valve.",
	"fault.relief.do":    "Cut the heat. Keep away from the jet. Never touch, weight or plug the valve. Let it cool fully.",

	"fault.disagree.title": "Gauge and thermometer disagree",
	"fault.disagree.see":   "Gauge in its band, but steam not near {chamber:amount}. Or a test strip says: not done.",
	"fault.disagree.do":    "Believe the cooler one. Cut the heat. Air is left in, or the gauge is off: have it checked.",

	"fault.record.title": "Record or time lost",
	"fault.record.see":   "A time or a reading is missing. No one saw the gauge.",
	"fault.record.do":    "Do not guess. Do not fill it in later. Cut the heat. Let the pressure fall by itself.",

	"fault.damage.title": "Crack, bulge, or a lock that slips",
	"fault.damage.see":   "The lid, the wall or a clamp moves or looks bent.",
	"fault.damage.do":    "Everyone out. Cut the heat from a safe place. Get help. Do not go back in until it is cold.",

	"fault.gauge-stuck.title": "Gauge sticks, or stays off zero",
	"fault.gauge-stuck.see":   "It does not move, or shows pressure when cold.",
	"fault.gauge-stuck.do":    "Take it to be full of pressure. Do not open it. Let it get cold. Fit a good gauge before the next run.",

	"fault.opened-early.title": "Somebody opened it early",
	"fault.opened-early.see":   "Lid or vent was opened before the hold was over.",
	"fault.opened-early.do":    "Stand back: the load can erupt. Cut the heat. Cool burns with running water for {burn:amount}. Get help.",

	"fault.broken.title": "A {one:text} burst, cracked or leaks",
	"fault.broken.see":   "Mix in the tray, a crack, or a lid that came off.",
	"fault.broken.do":    "Let all get cold. Wear cut-proof gloves. Scrap each bad one and what it made wet. The rest goes on.",

	"fault.overnight.title": "Not done, and sat overnight",
	"fault.overnight.see":   "No full hold, never opened, {rerun:amount} at most since it stopped.",
	"fault.overnight.do":    "Keep it closed. Check water and seal. Start the new run now: it may not wait longer.",

	"fault.too-late.title": "Not done, and too old or opened",
	"fault.too-late.see":   "Over {rerun:amount} since it stopped, or opened, or no one knows.",
	"fault.too-late.do":    "Do not open or sniff one. Keep them away from the clean bench.",
}
