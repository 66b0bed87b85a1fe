package pages

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// choice is what an address of the preview asks for, as far as it can be read.
type choice struct {
	site   *site
	asked  bool // the address speaks of a wine
	typed  map[string]string
	picked map[string]picked // by slot
	lists  lists
	notes  []note

	root    map[string]any      // the request, as far as it can stand
	request *calc.LadderRequest // nil where it cannot
	answer  calc.LadderResponse
	dosed   []dosed
}

// note says what could not be read. Its text is key's in the catalogue with the
// values, or message as it is.
type note struct {
	Field   string // the form's field, or empty
	Group   string // the part of the form that the field is in, or empty
	Message said
	key     string
	values  []any
}

// longestEcho is how much of an address is repeated, in characters.
const longestEcho = 60

func echo(s string) string {
	if r := []rune(s); len(r) > longestEcho {
		return string(r[:longestEcho]) + "…"
	}
	return s
}

func (c *choice) notef(field, key string, values ...any) {
	c.notes = append(c.notes, note{Field: field, key: key, values: values})
}

// read takes an address's query apart. The error is a fault of the program or of
// the records.
func (s *site) read(ctx context.Context, query string) (*choice, error) {
	c := &choice{site: s, typed: map[string]string{}, picked: map[string]picked{}}
	var err error
	if c.lists, err = s.readLists(ctx); err != nil {
		return nil, err
	}
	values, err := url.ParseQuery(query)
	if err != nil {
		c.notef("", "note.query", err.Error())
	}
	c.known(values)
	for _, at := range slots() {
		if err := c.choose(ctx, at); err != nil {
			return nil, err
		}
	}
	if !s.config.Demo && !c.asked {
		return c, nil
	}
	if err = c.ask(ctx); err == nil && c.request != nil {
		err = c.dose()
	}
	return c, err
}

// known keeps the fields of this page and names what else there is. What the
// address does not speak of stands as usual; what it leaves empty stays so.
func (c *choice) known(values url.Values) {
	list := fields()
	for _, name := range slices.Sorted(maps.Keys(values)) {
		if !slices.ContainsFunc(list, func(f field) bool { return f.name == name }) {
			c.notef("", "note.unknown", echo(name))
			continue
		}
		if len(values[name]) > 1 {
			c.notef(name, "note.twice", name)
		}
		c.typed[name] = strings.TrimSpace(values[name][0])
	}
	for _, f := range list {
		if _, there := c.typed[f.name]; !there && f.usual != "" {
			c.typed[f.name] = f.usual
		}
	}
}

// choose settles what is in a slot: what the address names, else what was typed
// there, else what the page opens with.
func (c *choice) choose(ctx context.Context, at slot) error {
	named := c.typed[at.name]
	c.asked = c.asked || named != "" && !at.optional
	switch {
	case named == "":
	case slices.Contains(at.choices(), kind(named)):
		c.picked[at.name] = picked{kind: kind(named)}
		return nil
	default:
		found, ok, err := c.site.find(ctx, c.lists, at, named)
		if ok || err != nil {
			c.picked[at.name] = found
			return err
		}
		c.notef(at.name, "note.not_in_cellar", echo(named))
	}
	for _, p := range at.parts() {
		f := at.field(p)
		if text := c.typed[f.name]; text != "" && text != f.usual && len(p.kinds) == 1 {
			c.asked = c.asked || !at.optional
			c.picked[at.name] = picked{kind: p.kinds[0]}
			return nil
		}
	}
	c.picked[at.name] = c.usual(at)
	return nil
}

// usual is what the page opens with in a slot.
func (c *choice) usual(at slot) picked {
	switch {
	case at.name == rungSlot.name:
		return picked{}
	case at.optional && (at.name != targetSlot.name || c.asked || !c.site.config.Demo):
		return picked{kind: leftOut}
	case !c.site.config.Demo:
		return picked{kind: typedReadings}
	case at.name == baseSlot.name:
		return c.lists.whites[0]
	case at.name == redSlot.name:
		return c.lists.reds[0]
	}
	return c.lists.targets[0]
}

// storedWines are the identifiers of the stored wines that are picked.
func (c *choice) storedWines() (ids []string) {
	for _, at := range slots() {
		if p := c.picked[at.name]; p.wine == nil && p.target == nil && !p.isTarget {
			ids = append(ids, p.id)
		}
	}
	return ids
}

// additions are the slots of the wines that are dosed into the base.
func (c *choice) additions() []slot {
	var out []slot
	for _, at := range additionSlots() {
		if c.picked[at.name].chosen() {
			out = append(out, at)
		}
	}
	return out
}

// tasted are the invented rungs of the two wines, where they stand alone, as
// poured into the base of this ladder.
func (c *choice) tasted() []calc.Measured {
	if c.picked[rungSlot.name].kind == leftOut || len(c.additions()) > 1 {
		return nil
	}
	baseML, ok := c.site.words.float(c.typed[baseMLField])
	if !ok || !(baseML > 0) {
		return nil // the request says what is wrong
	}
	for _, m := range c.site.cellar.Measured {
		if m.Base != c.picked[baseSlot.name].id || m.Red != c.picked[redSlot.name].id {
			continue
		}
		rungs := slices.Clone(m.Rungs)
		for i := range rungs { // the same dose in a glass with this much base
			rungs[i].DoseML *= baseML / tastedBaseML
		}
		return rungs
	}
	return nil
}

// ask answers the request that the form makes; parts that it can stand without
// are left out where they are at fault, and each fault is noted.
func (c *choice) ask(ctx context.Context) error {
	d, err := compose(c)
	if err != nil {
		return err
	}
	list, err := c.try(ctx, d)
	if err != nil || len(list) == 0 {
		return err
	}
	for _, f := range list {
		name := d.places.field(f.Location)
		message, err := c.site.words.refused(f, english(plainPlace(name, f)))
		if err != nil {
			return err
		}
		c.notes = append(c.notes, note{Field: name, Message: message})
	}
	taken := d.salvage(list)
	if len(taken) == 0 {
		return nil
	}
	if list, err = c.try(ctx, d); err != nil || len(list) > 0 {
		return err
	}
	for _, part := range taken {
		c.notef("", "note.without_"+part)
	}
	return nil
}

// try answers the request as it is, or lists its faults.
func (c *choice) try(ctx context.Context, d *draft) ([]calc.Fault, error) {
	data, err := json.Marshal(d.root)
	if err != nil {
		return nil, fmt.Errorf("pages: request: %w", err)
	}
	var cellar calc.Cellar
	if c.site.config.Records != nil {
		cellar = c.site.config.Records
	}
	request, answer, err := calc.Answer(ctx, data, cellar, calc.Ladder)
	list, err := faultsOf(err)
	if err != nil {
		return nil, err
	}
	// What is wrong with a scan's lines explains what is wrong with the scan.
	list = slices.DeleteFunc(list, func(f calc.Fault) bool {
		return slices.ContainsFunc(d.faults, func(own calc.Fault) bool { return below(f.Location, strings.TrimSuffix(own.Location, "/spectrum")) })
	})
	if list = append(list, d.faults...); len(list) == 0 {
		c.root, c.request, c.answer = d.root, &request, answer
		c.dosed = []dosed{{slot: redSlot}}
		for range request.Held {
			c.dosed = append(c.dosed, dosed{slot: d.held[len(c.dosed)-1]})
		}
	}
	return list, nil
}

// salvage takes out of a request what its faults are about where the rest can
// stand without it, and returns the names of what it took.
func (d *draft) salvage(list []calc.Fault) []string {
	var taken []string
	for _, part := range []string{"target", "measured", "view", "held"} {
		if _, there := d.root[part]; there && anyBelow(list, "/"+part) {
			delete(d.root, part)
			d.faults = slices.DeleteFunc(d.faults, func(f calc.Fault) bool { return below(f.Location, "/"+part) })
			taken = append(taken, part)
		}
	}
	doses, _ := d.root["doses_ml"].([]any) // compose has put it there
	kept := []any{}
	for i, dose := range doses {
		if !anyBelow(list, "/doses_ml/"+strconv.Itoa(i)) {
			kept = append(kept, dose)
		}
	}
	if len(kept) > 0 && len(kept) < len(doses) {
		d.root["doses_ml"] = kept
		taken = append(taken, "doses")
	}
	return taken
}
