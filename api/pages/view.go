package pages

import (
	"net/http"

	"pourpath/api/calc"
)

// view is all that the page's template is given.
type view struct {
	frame
	Demo     bool
	Own      bool
	Notes    []note
	Choosers []chooser
	Groups   []fieldset
	Scale    fieldset
	Example  string // the address of the example
	Picture  string // the address of the drawing
	Result   *result
	Pastes   []paste
}

// chooser is one list of the cellar's form.
type chooser struct {
	Name    string
	Options []option
	Faulty  bool
}

type option struct {
	ID, Name string
	Chosen   bool
}

// fieldset is one part of the form for readings of one's own.
type fieldset struct {
	Key    string
	Fields []input
}

// input is one field as it was typed, with what is wrong about it.
type input struct {
	Name, Text string
	Wide       bool
	Faults     []string
}

// page answers with the page.
func (s *site) page(r *http.Request) (document, error) {
	c, err := s.read(r.URL.RawQuery)
	if err != nil {
		return document{}, err
	}
	v := view{
		frame: s.frame("preview"), Demo: s.config.Demo, Own: c.own,
		Example: "/?" + s.example(), Picture: "/assets/empty.svg",
	}
	if c.request != nil {
		v.Picture = "/assets/ladder.svg?" + c.query()
		if v.Result, err = s.result(c); err != nil {
			return document{}, err
		}
	}
	if v.Pastes, err = pastes(r.Host, c, v.Result); err != nil {
		return document{}, err
	}
	if v.Notes, err = s.told(c.notes); err != nil {
		return document{}, err
	}
	if s.config.Demo {
		v.Choosers = s.choosers(c, v.Notes)
	}
	for _, g := range groups {
		v.Groups = append(v.Groups, fieldsetOf(g, c, v.Notes))
	}
	v.Scale = fieldsetOf(group{key: "scale", fields: []field{{name: tankField}, {name: bottlesField}}}, c, v.Notes)
	return s.render("page.html", v)
}

// told puts the notes into words.
func (s *site) told(notes []note) ([]note, error) {
	for i, n := range notes {
		notes[i].Group = groupOf(n.Field)
		if n.key == "" {
			continue
		}
		message, err := s.words.text(n.key, n.values...)
		if err != nil {
			return nil, err
		}
		notes[i].Message = message
	}
	return notes, nil
}

func fieldsetOf(g group, c *choice, notes []note) fieldset {
	out := fieldset{Key: g.key}
	for _, f := range g.fields {
		in := input{Name: f.name, Text: c.typed[f.name], Wide: f.pointer == dosesPointer}
		for _, n := range notes {
			if n.Field == f.name {
				in.Faults = append(in.Faults, n.Message)
			}
		}
		out.Fields = append(out.Fields, in)
	}
	return out
}

func (s *site) choosers(c *choice, notes []note) []chooser {
	lists := []chooser{{Name: baseField}, {Name: redField}, {Name: targetField}}
	for _, w := range s.cellar.Bases {
		lists[0].Options = append(lists[0].Options, option{w.ID, w.Wine.Name, w.ID == c.base.ID})
	}
	for _, w := range s.cellar.Reds {
		lists[1].Options = append(lists[1].Options, option{w.ID, w.Wine.Name, w.ID == c.red.ID})
	}
	for _, t := range s.cellar.Targets {
		lists[2].Options = append(lists[2].Options, option{t.ID, t.Name, t.ID == c.target.ID})
	}
	for i := range lists {
		for _, n := range notes {
			lists[i].Faulty = lists[i].Faulty || n.Field == lists[i].Name
		}
	}
	return lists
}

// result is a ladder in words and digits.
type result struct {
	Base, Red, Target string // names; empty where they are one's own
	Own               bool
	Conditions        calc.Conditions
	Measured          int
	Bands             []band
	Nearest           *nearest
	Next              *next
	Table             table
	Batches           []batch
	Warnings          []string
}

func (s *site) result(c *choice) (*result, error) {
	figure, err := figureOf(c, s.config.Version)
	if err != nil {
		return nil, err
	}
	shown := swatches{}
	for _, r := range figure.Rungs {
		shown[r.DoseML] = r.Swatch
	}
	r := &result{
		Own: c.own, Conditions: c.answer.Rungs[0].Colour.Conditions, Measured: len(c.request.Measured),
		Bands:    bandsOf(c.answer.Nearest, figure, shown),
		Table:    tableOf(c.request.BaseML, c.answer, shown, figure.GlassDepthMM),
		Warnings: warningsOf(c.answer),
	}
	if !c.own {
		r.Base, r.Red, r.Target = c.base.Wine.Name, c.red.Wine.Name, c.target.Name
	}
	if n := c.answer.Nearest; n != nil {
		r.Nearest = nearestOf(n, c.request.Target)
		r.Next = nextOf(c.answer.MeasureNext)
		r.Batches, err = s.batches(c, n)
	}
	return r, err
}

// warningsOf lists what must be known, each once.
func warningsOf(a calc.LadderResponse) []string {
	var out []string
	told := map[string]bool{}
	tell := func(list []calc.Warning) {
		for _, w := range list {
			if !told[w.Message] {
				told[w.Message] = true
				out = append(out, w.Message)
			}
		}
	}
	tell(a.Warnings)
	for _, rung := range a.Rungs {
		tell(rung.Colour.Warnings)
	}
	return out
}
