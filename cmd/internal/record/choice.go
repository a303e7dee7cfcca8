package record

import (
	"hash/fnv"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// answersMost and answersLeast are how many answers a question has to choose from
// (design choice). One with fewer figures to put beside the right one isn't asked.
const (
	answersMost  = 4
	answersLeast = 3
)

// choice is a question to choose at: the right answer and what stands beside it are
// figures of the sheet, so that no wrong answer is made up. Where a wrong figure could
// do harm, one of them errs to the safe side; a test has the list.
type choice struct {
	name   string
	step   work.StepID
	right  string   // a fact of the batch, or a row of the mix: "mix.water"
	beside []string // other facts of the same kind, the nearest first
}

// choices are in the order of the work. A fact that a protocol does not have is
// passed over.
var choices = []choice{
	{"counts", work.Weigh, "filled", []string{"vessels", "capacity", "controls"}},
	{"water", work.Weigh, "mix.water", []string{"mix.1", "mix.2", "mix.3", "mix.4"}},
	{"moisture", work.CheckMoisture, "moisture", []string{"incubation_humidity", "alcohol_low", "fruiting_humidity", "mouth_humidity"}},
	{"wait", work.MixSubstrate, "wait", []string{"wet_most", "rerun", "use_within", "stand"}},
	{"fill", work.FillVessels, "fill", []string{"full", "fill_high", "fill_low", "spawn"}},
	{"line", work.FillVessels, "line", []string{"collar_stem", "scrape_depth", "bore_top", "fleece_high", "lump"}},
	{"bore", work.BoreHoles, "bore_depth", []string{"collar_height", "line", "bore_top", "gap_high"}},
	{"load", work.LoadVessels, "capacity", []string{"vessels", "filled", "load_size"}},
	{"vent", work.Vent, "vent", []string{"remix", "alcohol_wet", "fan_low", "hold"}},
	{"gauge", work.Sterilize, "gauge_low", []string{"gauge_high", "gauge_zero", "gauge_tick", "rated"}},
	{"rated", work.Sterilize, "rated", []string{"gauge_high", "gauge_low", "gauge_tick"}},
	{"hold", work.Sterilize, "hold", []string{"oven_more", "wait", "vent", "use_within"}},
	{"crack", work.Unload, "crack", []string{"alcohol_wet", "fan_high", "hold", "ice_wait", "vent"}},
	{"core", work.Cool, "core_cool", []string{"bare_hand", "incubation_air", "cold", "wash_water"}},
	{"use_within", work.Cool, "use_within", []string{"cold_within", "wait", "rerun", "wait_warm"}},
	{"alcohol", work.WipeDown, "alcohol_wet", []string{"alcohol_dry", "lid_off", "fan_low", "ice_wait"}},
	{"spawn", work.Inoculate, "spawn", []string{"least_mass", "fill", "sample_dry", "sample_wet"}},
	{"lid", work.Inoculate, "lid_off", []string{"alcohol_dry", "alcohol_wet", "ice_wait"}},
	{"warm", work.Incubate, "incubation_air", []string{"core_most", "pinning_air", "fruiting_air", "probe_most", "wash_water"}},
	{"leave", work.Incubate, "co2_leave", []string{"incubation_co2", "fruiting_co2", "pinning_co2", "co2_never"}},
	{"look", work.Inspect, "look_first", []string{"pins_late", "look_third", "incubation_low", "open_on"}},
	{"bad", work.Inspect, "load_stop", []string{"colonies", "load_size", "samples", "one_in", "capacity"}},
	{"open", work.Open, "open_on", []string{"look_third", "incubation_low", "fruiting_usual", "pinning_usual"}},
	{"scrape", work.Scrape, "scrape_depth", []string{"scrape_give", "fleece_high", "line", "collar_stem"}},
	{"stand", work.Wet, "stand", []string{"wet_most", "wait", "cold_within", "use_within"}},
	{"pinning", work.Pin, "pinning_air", []string{"incubation_air", "fruiting_air", "cold", "core_cool"}},
	{"collar", work.FitCollar, "collar_stem", []string{"collar_height", "scrape_depth", "line", "fleece_high"}},
	{"fruiting", work.Fruit, "fruiting_humidity", []string{"incubation_humidity", "pinning_humidity", "moisture", "alcohol_high"}},
	{"cold", work.Chill, "cold", []string{"ice", "fruiting_air", "incubation_air", "core_cool", "store_low"}},
	{"cold_within", work.Chill, "cold_within", []string{"use_within", "rerun", "wet_most", "stand"}},
	{"empty", work.Empty, "empty_within", []string{"cold_within", "rerun", "oven_low", "wait_warm"}},
	{"wash", work.Wash, "wash_water", []string{"bare_hand", "core_cool", "incubation_air", "cold"}},
	{"uses", work.Retire, "vessel_uses", []string{"lid_uses", "washed_one_in", "one_in", "incubation_usual"}},
}

// choose makes the questions that a batch can be asked.
func choose(p procedure.Procedure) []Choice {
	facts := procedure.Facts(p.Batch)
	figures := map[string]protocol.Message{}
	for name, f := range facts {
		switch x := f.(type) {
		case unit.Amount:
			figures[name] = say("record.amount", "amount", x)
		case int:
			figures[name] = say("record.n", "n", x)
		}
	}
	for name, m := range mixRows(p.Batch) {
		figures[name] = m
	}
	numbers := map[work.StepID]int{}
	for _, s := range p.Steps {
		numbers[s.ID] = s.Number
	}
	voice := words.English(p.Batch.Process.Input.Units)
	var out []Choice
	for _, c := range choices {
		right, has := figures[c.right]
		if !has || numbers[c.step] == 0 {
			continue
		}
		said := map[string]bool{plain(voice.Say(right)): true}
		var wrong []protocol.Message
		for _, name := range c.beside {
			m, has := figures[name]
			if !has || len(wrong) == answersMost-1 || said[plain(voice.Say(m))] {
				continue
			}
			said[plain(voice.Say(m))] = true
			wrong = append(wrong, m)
		}
		if len(wrong) < answersLeast-1 {
			continue
		}
		out = append(out, c.asked(numbers[c.step], facts, right, wrong, p.Batch))
	}
	return out
}

// plain is a figure without the zeros that only say how fine it is: "35.0 g" and
// "35 g" are one answer.
func plain(figure string) string {
	number, of, _ := strings.Cut(figure, unit.Space)
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	return number + " " + of
}

// asked puts the right answer among the others, at a place that the batch and the
// question decide: nobody learns that it is always the second.
func (c choice) asked(step int, facts map[string]any, right protocol.Message, wrong []protocol.Message, b *batch.Batch) Choice {
	at := place(len(wrong)+1, b.Process.Input.Protocol.Name, b.Vessels, c.name)
	q := Choice{Name: c.name, Step: step, Right: at, Ask: asks("training.ask."+c.name, facts)}
	q.Answers = append(q.Answers, wrong[:at]...)
	q.Answers = append(q.Answers, right)
	q.Answers = append(q.Answers, wrong[at:]...)
	return q
}

// asks is a question with the facts that it names.
func asks(id string, facts map[string]any) protocol.Message {
	m := say(id)
	for _, a := range words.Arguments(id) {
		name, _, _ := strings.Cut(a, ":")
		if m.Args == nil {
			m.Args = map[string]any{}
		}
		m.Args[name] = facts[name]
	}
	return m
}

// place is a number below n that depends on nothing but what is asked of whom.
func place(n int, protocol string, vessels int, question string) int {
	h := fnv.New32a()
	h.Write([]byte(protocol))
	h.Write([]byte{0, byte(vessels), byte(vessels >> 8), byte(vessels >> 16)})
	h.Write([]byte(question))
	x := h.Sum32()
	x ^= x >> 15 // the low bits of this hash are its weak ones
	return int(x % uint32(n))
}

// mixRows are the masses of a mix by their place in it, and the water.
func mixRows(b *batch.Batch) map[string]protocol.Message {
	out := map[string]protocol.Message{}
	n := 0
	for _, r := range b.Mix.Rows {
		m := say("record.amount", "amount", r.Scale.Amount(r.Mass))
		if r.ID == batch.Water {
			out["mix.water"] = m
			continue
		}
		n++
		out["mix."+string(rune('0'+n))] = m
	}
	return out
}
