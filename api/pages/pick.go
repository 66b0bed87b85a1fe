package pages

import (
	"context"
	"errors"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// picked is what an address chooses for a slot: a wine or target of the cellar,
// or a kind that is typed, or nothing.
type picked struct {
	kind kind
	id   string // of the cellar; empty where it is typed or nothing
	name string // as the cellar has it

	wine     *calc.Wine   // where it is an invented wine
	target   *calc.Target // where it is an invented target
	isTarget bool         // it is a stored target
}

// chosen reports whether there is anything in the slot.
func (p picked) chosen() bool { return p.id != "" || p.kind != nothing && p.kind != leftOut }

// pickGroup is a part of what there is to pick from, under the text of its key.
type pickGroup struct {
	key  string
	list []picked
}

// pickable is how many stored wines or targets a list offers, the newest first.
const pickable = 200

// lists are what there is to pick from.
type lists struct{ whites, reds, targets, stored, storedTargets []picked }

func (l lists) groups(s slot) []pickGroup {
	invented := pickGroup{"options.whites", l.whites}
	stored := pickGroup{"options.stored", l.stored}
	switch s.name {
	case baseSlot.name:
		return []pickGroup{invented, {"options.reds", l.reds}, stored}
	case targetSlot.name:
		return []pickGroup{{"options.targets", slices.Concat(l.targets, l.storedTargets)}, stored}
	case rungSlot.name:
		return []pickGroup{stored}
	}
	return []pickGroup{{"options.reds", l.reds}, invented, stored}
}

// readLists reads what there is to pick from. The invented wines of a
// demonstration are stored too; they are listed once.
func (s *site) readLists(ctx context.Context) (lists, error) {
	var l lists
	invented := map[string]bool{}
	if s.config.Demo {
		for _, w := range s.cellar.Bases {
			l.whites = append(l.whites, picked{id: w.ID, name: w.Wine.Name, wine: &w.Wine})
		}
		for _, w := range s.cellar.Reds {
			l.reds = append(l.reds, picked{id: w.ID, name: w.Wine.Name, wine: &w.Wine})
		}
		for _, t := range s.cellar.Targets {
			l.targets = append(l.targets, picked{id: t.ID, name: t.Name, target: &t.Target})
		}
		for _, p := range slices.Concat(l.whites, l.reds, l.targets) {
			invented[p.name] = true
		}
	}
	if s.config.Records == nil {
		return l, nil
	}
	newest := record.Page{Newest: true, Limit: pickable}
	wines, err := s.config.Records.Wines(ctx, newest)
	if err != nil {
		return l, err
	}
	for _, w := range wines {
		if !invented[w.Name] {
			l.stored = append(l.stored, pickedWine(w))
		}
	}
	targets, err := s.config.Records.Targets(ctx, newest)
	if err != nil {
		return l, err
	}
	for _, t := range targets {
		if !invented[t.Name] {
			l.storedTargets = append(l.storedTargets, picked{id: t.ID, name: t.Name, isTarget: true})
		}
	}
	return l, nil
}

func pickedWine(w record.Wine) picked {
	name := w.Name
	if w.Lot != "" {
		name += ", " + w.Lot
	}
	return picked{id: w.ID, name: name}
}

// find returns what an address names for a slot; ok is false where the cellar
// does not have it.
func (s *site) find(ctx context.Context, l lists, at slot, id string) (p picked, ok bool, err error) {
	for _, g := range l.groups(at) {
		if i := slices.IndexFunc(g.list, func(p picked) bool { return p.id == id }); i >= 0 {
			return g.list[i], true, nil
		}
	}
	if s.config.Records == nil {
		return picked{}, false, nil
	}
	w, err := s.config.Records.Wine(ctx, id)
	if err == nil {
		return pickedWine(w), true, nil
	}
	if !errors.Is(err, record.ErrNotFound) || at.name != targetSlot.name {
		return picked{}, false, unlessNotFound(err)
	}
	t, err := s.config.Records.Target(ctx, id)
	return picked{id: id, name: t.Name, isTarget: true}, err == nil, unlessNotFound(err)
}

func unlessNotFound(err error) error {
	if errors.Is(err, record.ErrNotFound) {
		return nil
	}
	return err
}

// option is one line of a list to choose from.
type option struct {
	Value, Name string // the name of a wine, else none: the text is by value
	Chosen      bool
}

// optionGroup is a part of such a list; Key is that of its heading's text.
type optionGroup struct {
	Key     string
	Options []option
}

// options are the list of a slot: what the cellar has, then what can be typed.
func (l lists) options(at slot, now picked) []optionGroup {
	var out []optionGroup
	listed := now.id == ""
	for _, g := range l.groups(at) {
		lines := optionGroup{Key: g.key}
		for _, p := range g.list {
			lines.Options = append(lines.Options, option{p.id, p.name, p.id == now.id})
			listed = listed || p.id == now.id
		}
		if len(lines.Options) > 0 {
			out = append(out, lines)
		}
	}
	if !listed { // older than what is offered
		out = append(out, optionGroup{"options.stored", []option{{now.id, now.name, true}}})
	}
	typed := optionGroup{Key: "options.typed"}
	for _, k := range at.choices() {
		chosen := now.id == "" && now.kind == k
		if at.name == rungSlot.name && len(l.whites) == 0 { // no invented cellar, which has rungs of its own
			if k == nothing {
				continue
			}
			chosen = chosen || k == leftOut && !now.chosen()
		}
		typed.Options = append(typed.Options, option{Value: string(k), Chosen: chosen})
	}
	return append(out, typed)
}

// choices are the kinds to choose among in a slot, with those of nothing.
func (s slot) choices() []kind {
	switch {
	case s.name == rungSlot.name:
		return append([]kind{nothing, leftOut}, s.kinds...)
	case s.optional:
		return append([]kind{leftOut}, s.kinds...)
	}
	return s.kinds
}
