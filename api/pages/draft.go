package pages

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// draft is a request for a ladder as it is put together from what was typed.
// What is no number goes in as text, so that the request's own check names it.
type draft struct {
	root   map[string]any
	places places
	faults []calc.Fault // of what cannot even be put into a request
	held   []slot       // whose wines are in root's "held", in its order
	words  *catalogue   // by which numbers are read
}

// compose puts the request together.
func compose(c *choice) (*draft, error) {
	d := &draft{root: map[string]any{}, words: c.site.words}
	if err := d.wines(c); err != nil {
		return nil, err
	}
	d.put("/base_ml", c.typed[baseMLField], baseMLField)
	d.root["doses_ml"] = d.words.numbers(c.typed[dosesField])
	d.places.add("/doses_ml", dosesField)
	if lamp := c.typed[lampField]; lamp != "" && lamp != usualLamp {
		put(d.root, "/view/illuminant", lamp)
	}
	if depth := c.typed[depthField]; depth != "" && depth != usualDepth {
		put(d.root, "/view/path_mm", d.words.number(depth))
	}
	d.places.add("/view/illuminant", lampField)
	d.places.add("/view/path_mm", depthField)
	if err := d.target(c); err != nil {
		return nil, err
	}
	err := d.measured(c)
	return d, err
}

// put sets what was typed into a field, if anything was.
func (d *draft) put(pointer, text, field string) {
	if text != "" {
		put(d.root, pointer, d.words.number(text))
	}
	d.places.add(pointer, field)
}

func (d *draft) wines(c *choice) error {
	for _, at := range []struct {
		slot
		key string
	}{{baseSlot, "base"}, {redSlot, "addition"}} {
		wine, err := d.wine(c, at.slot, "/"+at.key)
		if err != nil {
			return err
		}
		d.root[at.key] = wine
	}
	var held []any
	for _, at := range c.additions()[1:] {
		pointer := "/held/" + strconv.Itoa(len(held))
		wine, err := d.wine(c, at, pointer+"/wine")
		if err != nil {
			return err
		}
		held = append(held, map[string]any{"wine": wine, "dose_ml_per_100ml": d.words.number(orZero(c.typed[at.dose()]))})
		d.places.add(pointer+"/dose_ml_per_100ml", at.dose())
		d.held = append(d.held, at)
	}
	if held != nil {
		d.root["held"] = held
	}
	return nil
}

func orZero(text string) string {
	if text == "" {
		return "0"
	}
	return text
}

// wine is the wine of a slot as it stands at pointer in the request.
func (d *draft) wine(c *choice, at slot, pointer string) (any, error) {
	now := c.picked[at.name]
	d.places.add(pointer, at.name)
	switch {
	case now.wine != nil:
		return *now.wine, nil
	case now.id != "":
		return map[string]any{"id": now.id}, nil
	case now.kind == pastedScan:
		return d.scan(c, at, pointer)
	}
	wine := map[string]any{}
	object := map[kind]string{typedReadings: "/readings", typedLab: "/cielab"}[now.kind]
	put(wine, object, map[string]any{})
	for _, p := range at.parts() {
		if !at.takes(p, now.kind) {
			continue
		}
		f := at.field(p)
		place := p.pointer
		if !strings.HasPrefix(place, object) {
			place = object + place
		}
		d.places.add(pointer+place, f.name)
		switch text := c.typed[f.name]; {
		case text == "":
		case p.end == "extra":
			put(wine, place, d.words.extra(text))
		default:
			put(wine, place, d.words.number(text))
		}
	}
	return wine, nil
}

// scan is a wine whose scan was pasted.
func (d *draft) scan(c *choice, at slot, pointer string) (any, error) {
	field := at.name + "_scan"
	found, faults, err := readScan(c.typed[field])
	if err != nil {
		return nil, err
	}
	for _, f := range faults {
		d.faults = append(d.faults, calc.Fault{Location: pointer + "/spectrum", Message: strings.TrimPrefix(f.Location+": "+f.Message, ": "), Value: f.Value})
	}
	d.places.add(pointer+"/spectrum", field)
	wine, err := object(found)
	if err != nil {
		return nil, err
	}
	kind := "/spectrum"
	if found.Readings != nil { // 420, 520 and 620 nm alone
		kind = "/readings"
		d.places.add(pointer+kind, field)
	}
	for _, end := range []string{"path_mm", "dilution"} {
		name := at.name + "_" + end
		d.places.add(pointer+kind+"/"+end, name)
		if text := c.typed[name]; text != "" && len(faults) == 0 {
			put(wine, kind+"/"+end, d.words.number(text))
		}
	}
	return wine, nil
}

// object is a value as the object that JSON makes of it.
func object(v any) (map[string]any, error) {
	data, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("pages: request: %w", err)
	}
	out := map[string]any{}
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.UseNumber() // with the digits as typed
	if err := d.Decode(&out); err != nil {
		return nil, fmt.Errorf("pages: request: %w", err)
	}
	return out, nil
}

func (d *draft) target(c *choice) error {
	now := c.picked[targetSlot.name]
	if !now.chosen() {
		return nil
	}
	var target map[string]any
	var err error
	d.places.add("/target", targetSlot.name)
	switch {
	case now.target != nil:
		target, err = object(*now.target)
	case now.isTarget:
		target = map[string]any{"id": now.id}
	case now.kind == typedIndices:
		target = map[string]any{}
		for _, end := range []string{"intensity", "tint"} {
			name := targetSlot.name + "_" + end
			d.places.add("/target/"+end, name)
			if text := c.typed[name]; text != "" {
				target[end] = d.words.number(text)
			}
		}
		if len(target) == 0 {
			target["intensity"] = "" // which is at fault, as nothing was typed
		}
	case now.kind == typedLab:
		var wine any
		if wine, err = d.wine(c, targetSlot, "/target"); err == nil {
			target, err = object(wine)
		}
	default:
		var wine any
		if wine, err = d.wine(c, targetSlot, "/target/wine"); err == nil {
			target = map[string]any{"wine": wine}
		}
	}
	if err != nil {
		return err
	}
	if text := c.typed[toleranceField]; text != "" {
		put(target, "/tolerance/delta_e_00", d.words.number(text))
	}
	d.places.add("/target/tolerance", toleranceField)
	d.root["target"] = target
	return nil
}

// measured adds the rung that was read. Those of the invented cellar are of two
// wines alone.
func (d *draft) measured(c *choice) error {
	now := c.picked[rungSlot.name]
	if !now.chosen() {
		if rungs := c.tasted(); len(rungs) > 0 {
			d.root["measured"] = rungs
		}
		return nil
	}
	if len(d.held) > 0 {
		c.notef(rungSlot.name, "note.rung_of_two")
		return nil
	}
	const pointer = "/measured/0"
	wine, err := d.wine(c, rungSlot, pointer+"/wine")
	if err != nil {
		return err
	}
	rung := map[string]any{"wine": wine}
	if text := c.typed[rungMLField]; text != "" {
		rung["dose_ml"] = d.words.number(text)
	}
	d.places.add(pointer+"/dose_ml", rungMLField)
	d.root["measured"] = []any{rung}
	return nil
}

// put sets the value at a pointer, with the objects on the way to it.
func put(root map[string]any, pointer string, value any) {
	tokens := strings.Split(pointer[1:], "/")
	last := len(tokens) - 1
	for _, token := range tokens[:last] {
		next, ok := root[token].(map[string]any)
		if !ok {
			next = map[string]any{}
			root[token] = next
		}
		root = next
	}
	root[tokens[last]] = value
}
