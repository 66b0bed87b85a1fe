package pages

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"

	"pourpath/api/calc"
)

// choice is what an address asks for, as far as it can be read.
type choice struct {
	own       bool // readings were typed in; otherwise the cellar's wines
	base, red shelved
	target    wanted
	typed     map[string]string // by field name, as typed
	request   *calc.LadderRequest
	answer    calc.LadderResponse // where there is a request
	notes     []note
}

// note says what could not be read. Its text is key's in the catalogue with the
// values, or message as it is.
type note struct {
	Field   string // the form's field, or empty
	Group   string // the part of the form that the field is in, or empty
	Message string
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

// The fields that both forms have, and those of the cellar's.
const (
	tankField    = "tank_l"
	bottlesField = "bottles"
	baseField    = "base"
	redField     = "red"
	targetField  = "target"
)

// read takes an address's query apart. The error is a fault of the program.
func (s *site) read(query string) (*choice, error) {
	c := &choice{typed: map[string]string{}}
	values, err := url.ParseQuery(query)
	if err != nil {
		c.notef("", "note.query", err.Error())
	}
	s.known(c, values)
	s.usual(c)
	switch {
	case c.own:
		err = c.readOwn()
	case s.config.Demo:
		err = s.readCellar(c)
	default:
		err = nil // of the address, which is noted
	}
	return c, err
}

// known keeps the fields of this page and names what else there is.
func (s *site) known(c *choice, values url.Values) {
	names := []string{tankField, bottlesField}
	if s.config.Demo {
		names = append(names, baseField, redField, targetField)
	}
	for _, f := range ownFields() {
		names = append(names, f.name)
		c.own = c.own || values.Has(f.name)
	}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		if !slices.Contains(names, name) {
			c.notef("", "note.unknown", echo(name))
			continue
		}
		if len(values[name]) > 1 {
			c.notef(name, "note.twice", name)
		}
		if c.own && slices.Contains([]string{baseField, redField, targetField}, name) {
			c.notef("", "note.set_aside", name)
			continue
		}
		c.typed[name] = strings.TrimSpace(values[name][0])
	}
}

// usual fills in what the address does not speak of. A field that it leaves
// empty stays so.
func (s *site) usual(c *choice) {
	fill := func(name, text string) {
		if _, there := c.typed[name]; !there {
			c.typed[name] = text
		}
	}
	fill(tankField, plain(s.cellar.TankL))
	fill(bottlesField, plain(float64(s.cellar.Bottles)))
	if !c.own {
		for _, f := range ownFields() {
			fill(f.name, f.usual)
		}
	}
}

// readOwn makes the ladder of readings that were typed in.
func (c *choice) readOwn() error {
	root := assemble(c.typed)
	list, err := c.try(root)
	if err != nil || len(list) == 0 {
		return err
	}
	for _, f := range list {
		name := fieldAt(f.Location)
		message := f.Message
		if name == "" {
			message = strings.TrimSpace(f.Location + " " + f.Message)
		}
		c.notes = append(c.notes, note{Field: name, Message: message})
	}
	taken := salvage(root, list)
	if len(taken) == 0 {
		return nil
	}
	if list, err = c.try(root); err != nil || len(list) > 0 {
		return err
	}
	for _, part := range taken {
		c.notef("", "note.without_"+part)
	}
	return nil
}

// try answers a request that was put together, or lists its faults.
func (c *choice) try(root map[string]any) ([]calc.Fault, error) {
	data, err := json.Marshal(root)
	if err != nil {
		return nil, fmt.Errorf("pages: request: %w", err)
	}
	request, err := calc.Decode[calc.LadderRequest](data)
	if err == nil {
		c.answer, err = calc.Ladder(request)
	}
	if err != nil {
		return faultsOf(err)
	}
	c.request = &request
	return nil, nil
}

// readCellar makes the ladder of the wines that were chosen.
func (s *site) readCellar(c *choice) error {
	c.base = pick(c, baseField, s.cellar.Bases, func(w shelved) string { return w.ID })
	c.red = pick(c, redField, s.cellar.Reds, func(w shelved) string { return w.ID })
	c.target = pick(c, targetField, s.cellar.Targets, func(w wanted) string { return w.ID })
	request := s.cellar.ladder(c.base, c.red, c.target)
	answer, err := calc.Ladder(request)
	if err != nil {
		return fmt.Errorf("pages: the cellar's %s with %s: %w", c.base.ID, c.red.ID, err)
	}
	c.request, c.answer = &request, answer
	return nil
}

// pick returns the one that the address names, else the first.
func pick[T any](c *choice, name string, list []T, id func(T) string) T {
	given := c.typed[name]
	var ids []string
	for _, one := range list {
		if id(one) == given {
			return one
		}
		ids = append(ids, id(one))
	}
	if given != "" {
		c.notef(name, "note.not_in_cellar", echo(given), strings.Join(ids, ", "))
	}
	return list[0]
}

// query is the address's query without what could not be read.
func (c *choice) query() string {
	values := url.Values{}
	for name, text := range c.typed {
		switch name {
		case tankField, bottlesField:
		case baseField, redField, targetField:
			values.Set(name, text)
		default:
			if c.own {
				values.Set(name, text)
			}
		}
	}
	return values.Encode()
}
