package procedure

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// step tells one step of the protocol: the book's with what the author wrote in
// place of it or beside it, or one of the farm's own.
func (t *teller) step(planned process.Step, d draft, told map[string]bool) Step {
	var s Step
	if !planned.Own {
		s = t.tell(d, told)
	}
	s.ID, s.Own, s.Station, s.Role = planned.ID, planned.Own, planned.Station, planned.Role
	s.Time = t.time(planned, d)
	if w := planned.Written; w != nil {
		t.write(&s, *w)
	}
	return s
}

// write puts an author's sentences in place of the book's. Cautions are added:
// those of the book stay, whatever is replaced.
func (t *teller) write(s *Step, w protocol.Step) {
	for _, p := range []struct {
		text string
		out  *protocol.Message
	}{
		{w.Title, &s.Title}, {w.When, &s.When}, {w.Limit, &s.Limit}, {w.Check, &s.Check}, {w.IfOff, &s.IfOff},
		{w.Why, &s.Why}, {w.Wrong, &s.Wrong}, {w.Ask, &s.Ask}, {w.Answer, &s.Answer},
	} {
		if p.text != "" {
			*p.out = words.Authored(p.text, t.facts)
		}
	}
	if w.Limit != "" { // on the first page would stand the limit that was replaced
		s.Front, s.FrontOf = protocol.Message{}, protocol.Message{}
	}
	if len(w.Do) > 0 {
		s.Do = nil
		for _, sentence := range w.Do {
			s.Do = append(s.Do, words.Authored(sentence, t.facts))
		}
	}
	if w.Prose != "" {
		s.Prose = words.AuthoredProse(w.Prose, t.facts)
	}
	s.Safety = worstFirst(append(s.Safety, t.cautions(w)...))
}

// cautions are those that an author adds to a step. Their order in the file says
// nothing.
func (t *teller) cautions(w protocol.Step) []Safety {
	list := slices.Clone(w.Cautions)
	slices.SortStableFunc(list, func(a, b protocol.Caution) int { return strings.Compare(a.Text, b.Text) })
	var out []Safety
	for _, c := range list {
		out = append(out, Safety{Signal(c.Signal), words.Authored(c.Text, t.facts)})
	}
	return out
}

// cautionsUpFront are the authors' cautions about people, of all steps, each once.
func (t *teller) cautionsUpFront() []Safety {
	seen := map[string]bool{}
	var out []Safety
	for _, s := range t.process.Steps() {
		if s.Written == nil {
			continue
		}
		for _, c := range t.cautions(*s.Written) {
			if text := words.Written(c.Text); c.Signal != Notice && !seen[text] {
				seen[text] = true
				out = append(out, c)
			}
		}
	}
	return out
}

// signals lists the signal words, the worst first.
var signals = []Signal{Danger, Warning, Caution, Notice}

func worstFirst(list []Safety) []Safety {
	slices.SortStableFunc(list, func(a, b Safety) int {
		return slices.Index(signals, a.Signal) - slices.Index(signals, b.Signal)
	})
	return list
}

// FactNames lists every fact that some protocol has, sorted. What each means is
// message fact.<name>.
func FactNames() []string { return slices.Clone(factNames()) }

var factNames = sync.OnceValue(func() []string {
	var out []string
	for _, id := range words.IDs() {
		if name, ok := strings.CutPrefix(id, "fact."); ok {
			out = append(out, name)
		}
	}
	return out
})

// lacking reports whether a protocol has no such fact, because it does nothing of
// the kind.
func lacking(p *process.Process, name string) bool {
	setting, pr := p.Setting(), p.Input.Protocol
	for _, x := range []struct {
		has   bool
		facts []string
	}{
		{setting.Bored, []string{"bore_top", "bore_bottom", "bore_depth"}},
		{setting.Ripened, []string{"ripening_air", "ripening_humidity", "ripening_co2", "ripening_low", "ripening_usual", "ripening_high"}},
		{setting.Scraped, []string{"scrape_depth"}},
		{setting.Wetted, []string{"water", "stand", "water_all"}},
		{setting.Reusable, []string{"vessel_uses", "lid_uses"}},
		{pr.Pinning.Light > 0, []string{"pinning_light", "pinning_light_for"}},
		{setting.Collared, []string{"collar_height", "collar_stem"}},
		{pr.Fruiting.Light > 0, []string{"fruiting_light", "fruiting_light_for"}},
		{p.Input.Farm.Altitude != nil, []string{"altitude"}},
		{p.Ledger.Get("lift_index") != nil, []string{"lift_index", "crate_full"}},
		{p.Ledger.Get("alcohol_most") != nil, []string{"alcohol_room"}},
	} {
		if !x.has && slices.Contains(x.facts, name) {
			return true
		}
	}
	return false
}

// unsaid is what an author's sentence on a sheet must not speak of: somebody
// would run the sterilizer by it.
var unsaid = regexp.MustCompile(`(?i)\bF[0₀]\b|lethalit\w*|log reduction|short(?:er|en) (?:the |this |a )?(?:hold|vent|run|time at pressure)|(?:hold|vent|sterilize) (?:for )?(?:less|shorter)`)

// Judge finds what is wrong with an author's sentences: facts that do not exist,
// or that this protocol does not have, braces that stand alone, and words that
// belong on no sheet. A protocol with an error among them can't be told.
func Judge(p *process.Process) []protocol.Finding {
	pr := p.Input.Protocol
	var out []protocol.Finding
	for i, s := range pr.Steps {
		if !slices.Contains(work.Steps(), work.StepID(s.ID)) || work.Present(work.StepID(s.ID), p.Setting()) {
			for _, l := range s.Lines() {
				at := working.Origin{Document: p.Input.Document(), Key: "step[" + strconv.Itoa(i) + "]." + l.Key}
				for _, f := range judge(p, l.Text) {
					f.Origin, f.Subject = at, pr.Name
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func judge(p *process.Process, text string) []protocol.Finding {
	var out []protocol.Finding
	found := func(severity protocol.Severity, rule string, what, hint protocol.Message) {
		out = append(out, protocol.Finding{Severity: severity, Rule: rule, What: what, Hint: hint})
	}
	names, err := words.Names(text)
	if alone, ok := err.(*words.Unmatched); ok {
		found(protocol.Error, "step.brace", words.Message("step.brace", "near", alone.Near), words.Message("step.brace.hint", "example", "{hold}"))
	}
	known := FactNames()
	seen := map[string]bool{}
	for _, name := range names {
		if seen[name] {
			continue
		}
		seen[name] = true
		shown := "{" + name + "}"
		hint := words.Message("step.name.hint", "protocol", p.Input.Protocol.Name)
		switch {
		case !slices.Contains(known, name):
			if near := protocol.Nearest(name, known); near != "" {
				hint = words.Message("step.name.near", "near", "{"+near+"}")
			}
			found(protocol.Error, "step.name", words.Message("step.name", "found", shown), hint)
		case lacking(p, name):
			found(protocol.Error, "step.name.absent", words.Message("step.name.absent", "found", shown), hint)
		}
	}
	if at := unsaid.FindString(text); at != "" {
		found(protocol.Warning, "step.sentence", words.Message("step.sentence", "what", at), words.Message("step.sentence.hint"))
		out[len(out)-1].Why = words.Message("step.sentence.why")
	}
	return out
}

// Facts are the facts of a batch that an author's sentence may name.
func Facts(b *batch.Batch) map[string]any { return newTeller(b).facts }
