package rescale

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Asked is what a sheet is to be worked out for. All in it is as it stands in the
// address: of two that ask for the same the texts are the same.
type Asked struct {
	Vessels, Good int               // one of them, or neither where something is short
	From, Day     string            // leaf.FromStart or leaf.FromDelivery, and the day; "" for none
	Moisture      map[string]string // percent by ingredient: "14.2"
	Short, Have   string            // an ingredient, and what there is of it: "12.4kg"
	Air           string            // "96.4kPa" or "850m"
	Page          string            // of the documents of that size: "record"; "" for the sheet
}

// longestText bounds a form's fields and an address, in characters: nothing that
// somebody means is longer.
const longestText = 2000

// longestPage bounds the name of a document of a batch, in characters.
const longestPage = 40

// refusal is why something can't be worked out.
type refusal struct{ what, hint protocol.Message }

func refuse(id string, pairs ...any) *refusal { return &refusal{what: words.Message(id, pairs...)} }

// read reads the fields of a sheet's form. A field that is empty asks for nothing.
func (c *Carried) read(fields url.Values) (Asked, *refusal) {
	a := Asked{Moisture: map[string]string{}}
	text := func(name string) string { return strings.TrimSpace(fields.Get(name)) }
	for name := range fields {
		if len(fields.Get(name)) > longestText || !c.hasField(name) {
			return a, refuse("rescale.other", "found", beginning(name), "protocol", c.Protocol.Name)
		}
	}
	if have := text(leaf.FieldHave); text(leaf.FieldShort) != "" && have != "" {
		kg, err := unit.Parse(unit.MassOf, have)
		if err != nil || !(kg > 0) || kg > mostMass {
			return a, refuse("rescale.mass", "found", beginning(have))
		}
		a.Short, a.Have = text(leaf.FieldShort), tidy(have)
	} else {
		n, ok := wholeUpTo(text(leaf.FieldVessels), protocol.MostVessels)
		good := text(leaf.FieldGood) != ""
		switch {
		case !ok:
			return a, refuse("rescale.number", "found", beginning(text(leaf.FieldVessels)), "most", protocol.MostVessels)
		case good:
			a.Good = n
		default:
			a.Vessels = n
		}
	}
	if day := text(leaf.FieldDay); day != "" {
		a.From, a.Day = leaf.FromStart, day
		if text(leaf.FieldFrom) == leaf.FromDelivery {
			a.From = leaf.FromDelivery
		}
		if _, err := calendar.Parse(day); err != nil {
			return a, refuse("rescale.date", "found", beginning(day), "first", calendar.First.String(), "last", calendar.Last.String())
		}
	}
	for name := range fields {
		id, of := strings.CutPrefix(name, leaf.FieldMoisture)
		if !of || text(name) == "" {
			continue
		}
		m, wrong := MoistureOfDay(id, percent(text(name)))
		if wrong.ID != "" {
			return a, refuse("rescale.share", "found", beginning(text(name)), "ingredient", id)
		}
		// To a hundredth of a percent, and below 100, as it has to be when the address is read.
		a.Moisture[id] = strconv.FormatFloat(min(math.Round(float64(m)*1e4)/1e2, 99.99), 'f', -1, 64)
	}
	if air := text(leaf.FieldAir); air != "" {
		if _, _, ok := airOf(air); !ok {
			return a, refuse("rescale.pressure", "found", beginning(air))
		}
		a.Air = tidy(air)
	}
	return a, nil
}

// mostMass is more than anybody has of an ingredient, kg: a thousand tonnes.
const mostMass = 1e6

// hasField reports whether the form of the protocol's sheets has a field.
func (c *Carried) hasField(name string) bool {
	if id, of := strings.CutPrefix(name, leaf.FieldMoisture); of {
		return slices.ContainsFunc(c.Protocol.Substrate.Ingredients, func(p protocol.Part) bool { return p.Ingredient == id })
	}
	return slices.Contains([]string{leaf.FieldVessels, leaf.FieldGood, leaf.FieldFrom, leaf.FieldDay, leaf.FieldShort, leaf.FieldHave, leaf.FieldAir}, name)
}

// percent lets a share be written as a bare number of percent, as a field with its unit
// beside it asks for.
func percent(text string) string {
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text + "%"
	}
	return text
}

// wholeUpTo reads a whole number from 1 to the most.
func wholeUpTo(text string, most int) (int, bool) {
	if len(text) == 0 || len(text) > 7 || strings.Trim(text, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	return n, err == nil && n >= 1 && n <= most
}

// MoistureOfDay reads the moisture of an ingredient as somebody measured it: a share,
// "14%", or what a sample weighed wet and dry, "100g/86g". The message says what is
// wrong with it, and is empty where nothing is.
func MoistureOfDay(ingredient, text string) (unit.WetShare, protocol.Message) {
	if first, second, sample := strings.Cut(text, "/"); sample {
		wet, err := unit.Parse(unit.MassOf, strings.TrimSpace(first))
		dry, err2 := unit.Parse(unit.MassOf, strings.TrimSpace(second))
		if err != nil || err2 != nil {
			return 0, words.Message("command.moisture_sample", "found", beginning(text), "ingredient", ingredient)
		}
		m, err := process.SampleMoisture(wet, dry)
		if err != nil {
			return 0, words.Message("command.moisture_dried", "found", beginning(text), "ingredient", ingredient)
		}
		return m, protocol.Message{}
	}
	v, err := unit.Parse(unit.ShareOf, text)
	if err != nil || v < 0 || v >= 1 {
		return 0, words.Message("command.moisture_share", "found", beginning(text), "ingredient", ingredient)
	}
	return unit.WetShare(v), protocol.Message{}
}

// airOf reads a station pressure or an altitude.
func airOf(text string) (pressure *unit.Absolute, altitude *unit.Length, ok bool) {
	if v, err := unit.Parse(unit.AbsolutePressureOf, text); err == nil {
		p := unit.Absolute(v)
		return &p, nil, true
	}
	if v, err := unit.Parse(unit.LengthOf, text); err == nil {
		z := unit.Length(v)
		return nil, &z, true
	}
	return nil, nil, false
}

// tidy writes a quantity without a blank behind its number, with one between the words of
// a unit such as the short ton, and its number without zeros that say nothing.
func tidy(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	end := strings.IndexFunc(text, func(r rune) bool { return r != '.' && r != '-' && r != '+' && (r < '0' || r > '9') })
	if end < 0 {
		return text
	}
	name := strings.TrimLeft(text[end:], " ")
	number, err := strconv.ParseFloat(text[:end], 64)
	if err != nil {
		return text[:end] + name
	}
	return strconv.FormatFloat(number, 'f', -1, 64) + name
}

// beginning is as much of a text as a message shows.
func beginning(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// keys of an address, which has them in this order; those of moistures have the
// ingredient behind.
const (
	keyGood     = "good"
	keyMoisture = leaf.FieldMoisture
	keyShort    = "short."
	keyPage     = "page"
)

// fragment is what is asked for in an address, behind its sign #.
func (a Asked) fragment() string {
	var out []string
	add := func(key, value string) {
		if value != "" {
			out = append(out, key+"="+url.QueryEscape(value))
		}
	}
	switch {
	case a.Short != "":
		add(keyShort+a.Short, a.Have)
	case a.Good > 0:
		add(keyGood, strconv.Itoa(a.Good))
	default:
		add(leaf.FieldVessels, strconv.Itoa(a.Vessels))
	}
	add(a.From, a.Day)
	ids := make([]string, 0, len(a.Moisture))
	for id := range a.Moisture {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		add(keyMoisture+id, a.Moisture[id])
	}
	add(leaf.FieldAir, a.Air)
	add(keyPage, a.Page)
	return strings.Join(out, "&")
}

// parse reads a fragment. Whatever is in it passes through the fields of the form, and so
// meets the same checks.
func (c *Carried) parse(fragment string) (Asked, *refusal) {
	other := func(found string) (Asked, *refusal) {
		return Asked{}, refuse("rescale.other", "found", beginning(found), "protocol", c.Protocol.Name)
	}
	if len(fragment) > longestText {
		return other(fragment)
	}
	given, err := url.ParseQuery(fragment)
	if err != nil {
		return other(fragment)
	}
	fields, page := url.Values{}, ""
	for key, values := range given {
		value := values[0]
		short, isShort := strings.CutPrefix(key, keyShort)
		switch {
		case len(values) != 1:
			return other(key)
		case isShort:
			fields.Set(leaf.FieldShort, short)
			fields.Set(leaf.FieldHave, value)
		case key == keyGood:
			fields.Set(leaf.FieldVessels, value)
			fields.Set(leaf.FieldGood, "yes")
		case key == leaf.FromStart, key == leaf.FromDelivery:
			fields.Set(leaf.FieldFrom, key)
			fields.Set(leaf.FieldDay, value)
		case key == keyPage:
			// No document is called otherwise, and what is kept has to fit into an address again.
			if page = value; len(page) > longestPage || strings.Trim(page, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
				return other(page)
			}
		case key == leaf.FieldVessels, key == leaf.FieldAir, strings.HasPrefix(key, keyMoisture):
			fields.Set(key, value)
		default:
			return other(key)
		}
	}
	if short := fields.Get(leaf.FieldShort); short != "" && !c.hasField(leaf.FieldMoisture+short) {
		return other(short)
	}
	a, wrong := c.read(fields)
	a.Page = page
	return a, wrong
}

// fields are those of the form for what is asked.
func (a Asked) fields(vessels int) map[string]string {
	out := map[string]string{leaf.FieldVessels: strconv.Itoa(vessels), leaf.FieldFrom: a.From, leaf.FieldDay: a.Day,
		leaf.FieldShort: a.Short, leaf.FieldHave: a.Have, leaf.FieldAir: a.Air}
	if a.Good > 0 {
		out[leaf.FieldVessels], out[leaf.FieldGood] = strconv.Itoa(a.Good), "yes"
	}
	for id, m := range a.Moisture {
		out[leaf.FieldMoisture+id] = m
	}
	return out
}
