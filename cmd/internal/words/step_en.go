package words

import "maps"

// stepEnglish are the sentences of the procedure: stations and roles, hazards
// with their full texts, and the steps. A step's sentences are step.<id>.title,
// when, do.N, limit, check, off and why, with variants behind them.
//
// They are written for people at work: short, one action a sentence, every
// number with its unit and its tolerance. Tests measure the reading grade.
var stepEnglish = together(stepPlaces, hazardEnglish, stepReceiving, stepMaking, stepSterilizing, stepGrowing, stepOpening, stepFinishing)

func together(parts ...map[string]string) map[string]string {
	all := map[string]string{}
	n := 0
	for _, p := range parts {
		maps.Copy(all, p)
		n += len(p)
	}
	if len(all) != n {
		panic("words: a message of the steps stands twice")
	}
	return all
}

var stepPlaces = map[string]string{
	"station.receiving":   "Dry store",
	"station.starting":    "Start of the shift",
	"station.mixing":      "Mixing",
	"station.filling":     "Filling",
	"station.sterilizing": "Sterilizer",
	"station.bench":       "Clean bench",
	"station.incubation":  "Incubation room",
	"station.fruiting":    "Fruiting room",
	"station.packing":     "Picking and packing",
	"station.washing":     "Washing",

	"role.substrate-maker":     "Substrate maker",
	"role.sterilizer-operator": "Sterilizer operator",
	"role.inoculator":          "Inoculator",
	"role.grower":              "Grower",
	"role.picker":              "Picker",
	"role.washer":              "Washer",
}

// hazardEnglish has each hazard twice: hazard.<name> in one line for up front,
// safety.<name> in full for the step. The full text names the hazard, what it
// does and how to avoid it (ANSI Z535.6). Cautions come from the sterilization
// reference and its sources: HSE PM73, Cornell EHS, Iowa State biosafety
// manual, PNW 421, AIChE Process Safety Beacon, NIOSH and OSHA. That airtight
// packs can grow the botulinum toxin: Health Canada, Guidance concerning the
// Packaging of Fresh Mushrooms.
var hazardEnglish = map[string]string{
	"hazard.vessel":        "A pressure vessel that fails can kill. Use a sound, marked one only.",
	"hazard.pressure":      "Too much pressure can burst the sterilizer. Never go above {rated:amount}.",
	"hazard.opening":       "A door opened under pressure can kill. Open at zero only, by gauge and open vent.",
	"hazard.machine":       "A machine can tear off a hand. Lock it out before you reach in.",
	"hazard.hot-load":      "A hot load can erupt and scald. Wait, then wear full cover.",
	"hazard.steam":         "Steam burns at once. Keep hands and face out of the jet.",
	"hazard.dry-run":       "A sterilizer that runs dry can burst. Check the water before each run.",
	"hazard.unattended":    "Heat left alone can start a fire, and a burner's gas can kill. Stay with it.",
	"hazard.sealed":        "A sealed {one:text} can burst. Use lids with a working filter only.",
	"hazard.wet-electrics": "Power in wet places can kill. Keep plugs, switches and hands dry.",
	"hazard.alcohol":       "Alcohol vapor burns with a flame that is hard to see. No flame, no heat, no spark.",
	"hazard.lime":          "Lime can blind you. Wear gloves and goggles.",
	"hazard.alkali":        "Cleaner burns skin and eyes. Wear gloves and goggles, and never mix cleaners.",
	"hazard.airtight":      "An airtight pack can grow a deadly poison. Use packs with holes.",
	"hazard.drill":         "A drill can catch sleeves and hair. Tie them back.",
	"hazard.co2":           "Stale air in a growing room can make you pass out. Read the meter before you go in.",
	"hazard.spores":        "Mushroom spores can harm your lungs for life. Wear a mask that fits.",
	"hazard.mold":          "Mold dust can make you ill. Keep bad ones closed.",
	"hazard.soy":           "The mix holds soy. Stay away from it if soy makes you ill.",
	"hazard.soy-wheat":     "The mix holds soy and wheat. Stay away from it if one of them makes you ill.",
	"hazard.soy-gluten":    "The mix holds soy and gluten. Stay away from it if one of them makes you ill.",
	"hazard.wheat":         "The mix holds wheat. Stay away from it if wheat makes you ill.",
	"hazard.gluten":        "The mix holds gluten. Stay away from it if gluten makes you ill.",
	"hazard.dust":          "Dry dust hurts lungs and eyes. Wear a dust mask and eye cover.",
	"hazard.lift":          "Heavy loads hurt your back. Lift {lift:amount} at most, and use a cart.",
	"hazard.glass":         "Glass that is chipped, or chilled while hot, can burst and cut you.",
	"hazard.scald":         "Wash water can scald. Wear long gloves.",
	"hazard.knife":         "Knives cut. Cut away from your hand.",
	"hazard.manual":        "The maker's manual, local codes and a licensed inspector come before this sheet.",
	"hazard.food":          "A warm crop can make people ill. Keep it cold.",

	"safety.vessel":        "A pressure vessel that fails can kill. Use only one that is marked to a known code, such as ASME. Its relief valve, gauge and door lock must work. Never use a home-made drum. Never weight, plug or lift the relief valve. Have the gauge checked once a year.",
	"safety.pressure":      "Too much pressure can burst the sterilizer and kill. Never go above {rated:amount}, its rated pressure. Never raise it to make up for height above the sea. Leave the relief valve free.",
	"safety.opening":       "A door that opens under pressure can kill. Open it only when the gauge is at zero and no steam comes from the open vent. Then wait as long as its maker says. Never trust the gauge alone. Crack the lid away from your face and arms, and let the steam go.",
	"safety.machine":       "A machine can crush or tear off a hand. Keep the guard shut while it runs. Before you reach in or clean it, switch it off, lock it out and keep the key.",
	"safety.hot-load":      "The load can be hotter than boiling. It can erupt when it is jolted, and scald you. Never vent it fast. Wait {crack:amount} with the lid cracked before you unload. Wear heat gloves, eye and face cover, closed shoes and long sleeves. Never carry a hot load in your arms.",
	"safety.steam":         "Steam burns deep and at once. Keep hands and face out of the jet. Air the room.",
	"safety.dry-run":       "A sterilizer that runs dry can warp or burst. Check the water before each run. If it may be gone, cut the heat and let it cool fully. Do not open it. Do not add water. Have it looked at before you use it again.",
	"safety.unattended":    "A hot sterilizer left alone can start a fire or burst. Stay with it. Use a grounded outlet with a leakage breaker. Run a burner only where its fumes go outside: its gas can kill.",
	"safety.sealed":        "A sealed {one:text} can burst in the heat and cut or scald you. Use only lids with a working filter. Never tape or plug a filter.",
	"safety.wet-electrics": "Power in wet places can kill. Use an outlet with a leakage breaker. Touch plugs and switches with dry hands only. Pull the plug before you wash a machine.",
	"safety.alcohol":       "Alcohol vapor catches fire at room heat, and its flame is hard to see. It can burn you badly. Use no flame, hot tool, heater or spark while it is wet. Do not spray near one. Keep it in small closed bottles with a label, {alcohol_bottle:amount} at most. Never put it in the sterilizer. Ask the fire code before you store more.",
	"safety.lime":          "Lime burns skin and can blind you. Wear gloves and goggles. Know where the eyewash is. If it gets in an eye, flush with water for {flush:amount} and get help.",
	"safety.alkali":        "Cleaner burns skin and eyes. Wear long gloves and goggles. Add cleaner to water, never water to cleaner. Never mix cleaners: bleach with acid makes a gas that can kill. If it gets in an eye, flush with water for {flush:amount} at the eyewash and get help.",
	"safety.airtight":      "An airtight pack can grow a poison that kills, and nobody can see or smell it. Never seal the crop airtight. Use crates, or packs with holes.",
	"safety.law":           "The food law of your place comes before this sheet. Ask which one holds for your farm, and what it wants on a pack.",
	"safety.drill":         "A drill can catch sleeves, hair and gloves and break your arm. Tie hair and sleeves back. Wear no gloves. Clamp the {one:text}.",
	"safety.co2":           "Growing uses up the air, and the gas that it makes can make you pass out. Read the meter before you go in. Leave at {co2_leave:amount}. Never go in at {co2_never:amount}. Run the fan until the air is good.",
	"safety.spores":        "Spores can harm your lungs for life. Pick before the caps flatten or spores drop. Wear a mask that fits, N95 or better. Have its fit tested before you start. If you get fever, cough or short breath hours after work, stop and see a doctor.",
	"safety.mold":          "Mold dust can make you ill. Never open or sniff a bad one. Take it out closed. Sterilize it closed before you empty it.",
	"safety.soy-wheat":     "This mix holds soy and wheat, with its gluten. It can make people with an allergy to one of them very ill. If that is you, do not touch it.",
	"safety.soy-gluten":    "This mix holds soy and gluten. It can make people with an allergy to one of them very ill. If that is you, do not touch it.",
	"safety.soy":           "This mix holds soy. It can make people with a soy allergy very ill. If that is you, do not touch it.",
	"safety.wheat":         "This mix holds wheat, with its gluten. It can make people with a wheat allergy very ill. If that is you, do not touch it.",
	"safety.gluten":        "This mix holds gluten. It can make some people very ill. If that is you, do not touch it.",
	"safety.dust":          "Dry dust can hurt your lungs and eyes. Wear a dust mask and eye cover. Pour low and slow.",
	"safety.lift":          "Heavy loads can hurt your back. Lift {lift:amount} at most by hand. One full {one:text} is about {full:amount}, and one full load about {load_mass:amount}. Split the load, or use a cart.",
	"safety.glass":         "Chipped glass can burst, and cut you. Throw out each chipped or cracked {one:text}. Keep hot glass off cold things, cold water and drafts. Never lift closed glass over {closed_glass:amount} by hand. If glass breaks, stop, clear the spot and throw out all that stand open near it.",
	"safety.scald":         "Water at {wash_water:amount} can scald you. Wear long gloves. Do not reach to the bottom.",
	"safety.knife":         "A sharp knife can cut you badly. Cut away from your hand. Put the knife down when you talk.",
	"safety.manual":        "The maker's manual, local codes and a licensed inspector come before this sheet. Where they say other things, do what they say. Some places inspect a sterilizer above a size. This one holds {chamber_volume:amount}: ask.",
	"safety.altitude":      "This sheet was worked out for {altitude:amount} above the sea. At another height the same gauge mark means another heat. Do not use it there.",
	"safety.barometer":     "This sheet was worked out for an air pressure of {air_pressure:amount} at the sterilizer. In thinner air the same gauge mark means less heat. Do not use it there.",
	"safety.air":           "Air that is left in keeps the load cooler than the gauge can show. The crop is lost weeks later. Vent for the full {vent:amount}, each time.",
	"safety.run":           "A dip in the gauge, or a lost record, spoils the run. This sheet is a plan and no proof. Test your own runs with a probe or a spore strip.",
	"safety.hole":          "Where the hole fell in, the middle may not be sterile. Mold then spoils the {one:text} and its neighbors. Put no spawn in it.",
	"safety.food":          "A warm or dirty crop can make people ill. Keep it cold from here to the buyer. Tell buyers to cook it well. Ask which food law holds for your farm.",
}
