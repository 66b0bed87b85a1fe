package pages

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

// The fields of the form of a trial that a preview has a part in.
const (
	previewField = "preview" // the query of the preview that the form was filled from
	ladderField  = "doses"   // what to pour, in mL into a glass
	asTyped      = "typed"   // the choice of a wine that was typed in the preview
	asPreviewed  = "preview" // the choice of the preview's target as it is
)

// beginSlots are the places of a trial's form for wines, and which slots of the
// preview fill them.
var beginSlots = []struct {
	field, dose string // the dose of a wine that is held in the base
	pointer     string // of the wine in the preview's request
	of          slot
	kind        record.Kind // the likeliest
}{
	{"base", "", "/base", baseSlot, record.White},
	{"addition", "", "/addition", redSlot, record.Red},
	{"held", "held_dose", "", thirdSlot, record.Other},
	{"held2", "held2_dose", "", fourthSlot, record.Other},
}

// unstored is a wine that was typed in the preview: it is stored with the trial,
// under a name that is asked for.
type unstored struct {
	Field, Slot string
	Key         string // of the words for what was typed
	Values      []any
	Name        string
	Kinds       []option
	Faults      []said // of the name
}

// beginFrom fills the form of a trial from a preview.
func (s *site) beginFrom(ctx context.Context, c *choice) (url.Values, error) {
	typed := url.Values{previewField: {c.address(nil)}, "base_ml": {c.typed[baseMLField]}, toolsField: {"syringe_10"}, ladderField: {c.typed[dosesField]}}
	typed.Set("glasses", strings.Join(glassesFor(s.words, c.typed[dosesField]), " "))
	newest := record.Page{Newest: true, Limit: pickable}
	wines, err := s.config.Records.Wines(ctx, newest)
	if err != nil {
		return nil, err
	}
	for _, at := range beginSlots {
		now := c.picked[at.of.name]
		if !now.chosen() || at.dose != "" && !s.words.above0(c.typed[at.of.dose()]) {
			continue
		}
		typed.Set(at.field, asTyped)
		switch same := slices.IndexFunc(wines, func(w record.Wine) bool { return w.Name == now.name }); {
		case now.wine != nil && same >= 0: // an invented wine is stored too
			typed.Set(at.field, wines[same].ID)
		case now.wine == nil && now.id != "":
			typed.Set(at.field, now.id)
		default:
			typed.Set(at.field+"_as", now.name)
			typed.Set(at.field+"_kind", string(at.kind))
		}
		if at.dose != "" {
			typed.Set(at.dose, c.typed[at.of.dose()])
		}
	}
	return typed, s.beginTarget(ctx, c, typed)
}

func (c *catalogue) above0(text string) bool {
	x, ok := c.float(text)
	return text != "" && (!ok || x > 0) // what is no number is for the form to ask about
}

// beginTarget fills in the target of the preview.
func (s *site) beginTarget(ctx context.Context, c *choice, typed url.Values) error {
	now := c.picked[targetSlot.name]
	if !now.chosen() {
		return nil
	}
	typed.Set("tolerance", c.typed[toleranceField])
	typed.Set("target", asPreviewed)
	switch {
	case now.isTarget:
		typed.Set("target", now.id)
	case now.target != nil:
		targets, err := s.config.Records.Targets(ctx, record.Page{Newest: true, Limit: pickable})
		if err != nil {
			return err
		}
		if i := slices.IndexFunc(targets, func(t record.Target) bool { return t.Name == now.name }); i >= 0 {
			typed.Set("target", targets[i].ID)
		}
	case now.kind == typedLab:
		typed.Set("target", "")
		for _, end := range []string{"L", "a", "b"} {
			typed.Set("target_"+end, c.typed[targetSlot.name+"_"+end])
		}
	}
	return nil
}

// glassesFor are labels of as many glasses as there are doses, the base alone among
// them: A, B, C.
func glassesFor(words *catalogue, doses string) []string {
	n := 1
	seen := map[string]bool{"0": true}
	for _, dose := range words.partedNumbers(doses) {
		if !seen[dose] {
			seen[dose] = true
			n++
		}
	}
	const letters = 26
	labels := make([]string, min(max(n, 2), letters))
	for i := range labels {
		labels[i] = string(rune('A' + i))
	}
	return labels
}

// previewOf is the preview that a form was filled from, and its request; nil where it
// was filled by hand.
func (s *site) previewOf(ctx context.Context, typed url.Values) (*choice, *draft, error) {
	query := typed.Get(previewField)
	if query == "" {
		return nil, nil, nil
	}
	c, err := s.read(ctx, query)
	if err != nil {
		return nil, nil, err
	}
	d, err := compose(c)
	return c, d, err
}

// unstoredOf are the wines of a form that are yet to be stored.
func unstoredOf(c *choice, typed url.Values, faults []note) (list []unstored) {
	if c == nil {
		return nil
	}
	for _, at := range beginSlots {
		if typed.Get(at.field) != asTyped {
			continue
		}
		now := c.picked[at.of.name]
		value := func(end string) any { return entered(c.typed[at.of.name+"_"+end]) }
		one := unstored{Field: at.field, Slot: at.of.name, Name: typed.Get(at.field + "_as"), Key: "invented"}
		switch now.kind {
		case typedReadings:
			one.Key, one.Values = "readings", []any{value("a420"), value("a520"), value("a620"), value("path_mm")}
		case typedLab:
			one.Key, one.Values = "lab", []any{value("L"), value("a"), value("b"), value("path_mm")}
		case pastedScan:
			one.Key = "scan"
		}
		for _, k := range record.Kinds() {
			one.Kinds = append(one.Kinds, option{Value: string(k), Chosen: string(k) == typed.Get(at.field+"_kind")})
		}
		for _, n := range faults {
			if n.Field == at.field+"_as" {
				one.Faults = append(one.Faults, n.Message)
			}
		}
		list = append(list, one)
	}
	return list
}

// wineIn is the wine of a slot in the preview's request, as an object.
func (d *draft) wineIn(name string) (map[string]any, error) {
	var wine any
	switch name {
	case baseSlot.name:
		wine = d.root["base"]
	case redSlot.name:
		wine = d.root["addition"]
	default:
		held, _ := d.root["held"].([]any)
		for i, at := range d.held {
			if one, ok := held[i].(map[string]any); ok && at.name == name {
				wine = one["wine"]
			}
		}
	}
	return object(wine)
}

// takeTrial begins the trial that a form asks for. Wines that were typed in a preview
// are stored first, once all that the form says was found right; typed then names
// them, so that they are not stored again.
func (s *site) takeTrial(ctx context.Context, typed url.Values) (string, places, error) {
	c, d, err := s.previewOf(ctx, typed)
	if err != nil {
		return "", nil, err
	}
	to, at, err := ladderTo(s.words, typed)
	if err != nil {
		return "", at, err
	}
	wines, wineAt, err := typedWines(c, d, typed)
	at = append(at, wineAt...)
	if err != nil {
		return "", at, err
	}
	_, wholeAt, err := trialBody(s.words, d, typed, wines)
	at = append(at, wholeAt...)
	if tools, _ := toolsBody(s.words, typed); len(tools) == 0 {
		return "", at, untooledError{err}
	}
	if err != nil {
		return "", at, err
	}
	for _, field := range wines {
		id, err := s.once.part(field.key(typed.Get("key")), func() (string, error) {
			reading, _ := field.body.Reading()
			w, _, err := s.config.Records.CreateWine(ctx, field.body.WineFields, &reading)
			return w.ID, err
		})
		if err != nil {
			return "", at, err
		}
		typed.Set(field.name, id)
	}
	body, more, err := trialBody(s.words, d, typed, nil)
	at = append(at, more...)
	if err != nil {
		return "", at, err
	}
	t, err := s.bench.Begin(ctx, body)
	return "/trials/" + t.ID + to, at, err
}

// typedWine is a wine that is to be stored, and the field that asks for it.
type typedWine struct {
	name string
	body record.WineBody
}

// key is what the wine is known by when its form is sent again as it was; empty where
// the form has none.
func (w typedWine) key(form string) string {
	body, err := json.Marshal(w.body)
	if form == "" || err != nil {
		return ""
	}
	return fmt.Sprintf("%s %s %x", form, w.name, sha256.Sum256(body))
}

// typedWines are the wines of a form that are yet to be stored, found right.
func typedWines(c *choice, d *draft, typed url.Values) (list []typedWine, at places, err error) {
	var faults []calc.Fault
	for _, slot := range beginSlots {
		if c == nil || typed.Get(slot.field) != asTyped {
			continue
		}
		wine, err := d.wineIn(slot.of.name)
		if err != nil {
			return nil, at, err
		}
		name := strings.TrimSpace(typed.Get(slot.field + "_as"))
		here := "/" + slot.field
		at = append(at, place{here + "/name", slot.field + "_as"}, place{here, slot.field})
		if name == "" {
			faults = append(faults, calc.Fault{Location: here + "/name", Message: "a wine needs a name"})
			name = string(slot.kind) // so that all else is looked at too
		}
		wine["name"], wine["kind"] = name, typed.Get(slot.field+"_kind")
		body, err := decoded[record.WineBody](wine)
		problem, err := faultsOf(err)
		if err != nil {
			return nil, at, err
		}
		for _, f := range problem {
			f.Location = here + f.Location
			faults = append(faults, f)
		}
		list = append(list, typedWine{slot.field, body})
	}
	if len(faults) > 0 {
		return nil, at, calc.Refuse(faults...)
	}
	return list, at, nil
}

// trialBody is the form as a body of the interface; wines that are not stored yet
// stand in it with their data.
func trialBody(words *catalogue, d *draft, typed url.Values, wines []typedWine) (record.TrialBody, places, error) {
	root, at := beginBody(words, typed)
	for _, w := range wines {
		whole, err := object(w.body)
		if err != nil {
			return record.TrialBody{}, at, err
		}
		wine := map[string]any{"name": whole["name"]}
		for _, kind := range []string{"readings", "spectrum", "cielab"} {
			if whole[kind] != nil {
				wine[kind] = whole[kind]
			}
		}
		putWine(root, w.name, wine)
	}
	if d != nil {
		if view := d.root["view"]; view != nil {
			root["view"] = view
		}
		if target, ok := d.root["target"].(map[string]any); ok && typed.Get("target") == asPreviewed {
			delete(target, "tolerance")
			if text := strings.TrimSpace(typed.Get("tolerance")); text != "" {
				put(target, "/tolerance/delta_e_00", words.number(text))
			}
			root["target"] = target
			at.add("/target/tolerance", "tolerance")
			at.add("/target", "target")
		}
	}
	data, err := json.Marshal(root)
	if err != nil {
		return record.TrialBody{}, at, fmt.Errorf("pages: trial: %w", err)
	}
	body, err := calc.DecodeWhole[record.TrialBody](data)
	return body, at, err
}

// putWine puts a wine in the place of a field of the form.
func putWine(root map[string]any, field string, wine map[string]any) {
	if field == "base" || field == "addition" {
		root[field] = wine
		return
	}
	held, _ := root["held"].([]any)
	for _, one := range held {
		if h, ok := one.(map[string]any); ok {
			if w, ok := h["wine"].(map[string]any); ok && w["id"] == asTyped {
				h["wine"] = wine
				return
			}
		}
	}
}

// ladderTo is where a trial's page stands at first: with the plan of the doses that
// the form gives.
func ladderTo(words *catalogue, typed url.Values) (string, places, error) {
	at := places{{"/doses_ml", ladderField}}
	text := words.portable(strings.TrimSpace(typed.Get(ladderField)))
	if text == "" {
		return "", at, nil
	}
	_, err := decoded[bench.TrialPlanRequest](map[string]any{"kind": string(bench.Given), "doses_ml": words.numbers(text)})
	return "?" + url.Values{planField: {string(bench.Given)}, givenField: {text}}.Encode(), at, err
}

// alsoListed adds what a form has chosen to a list that does not offer it, as it is
// older than what is offered, or archived.
func (s *site) alsoListed(ctx context.Context, list []option, id string) ([]option, error) {
	listed := slices.ContainsFunc(list, func(o option) bool { return o.Value == id })
	if listed || id == "" {
		return list, nil
	}
	w, err := s.config.Records.Wine(ctx, id)
	if err != nil {
		return list, unlessNotFound(err)
	}
	p := pickedWine(w)
	return append(list, option{p.id, p.name, true}), nil
}
