package pages

import (
	"net/http"
	"slices"

	"pourpath/api/calc"
)

// preview is all that the preview's template is given.
type preview struct {
	frame
	Asked    bool // the address speaks of wines
	Notes    []note
	Archived []archivedNote // of the wines
	Form     form
	Example  string // the address of the example
	Result   *result
	Data     liveData
	Pastes   []paste
}

// preview answers with the page at /.
func (s *site) preview(r *http.Request) (document, error) {
	c, err := s.read(r.Context(), r.URL.RawQuery)
	if err != nil {
		return document{}, err
	}
	v := preview{frame: s.frame(r, "preview"), Asked: c.asked, Example: "/?" + s.example(), Data: s.noLive()}
	if c.request != nil {
		if v.Data, err = s.live(c); err != nil {
			return document{}, err
		}
		v.Result = resultOf(c, v.Data)
		if v.Result.Picture, err = s.ladderPicture(c, v.Result.Sliders[0].Control.Value); err != nil {
			return document{}, err
		}
		if v.Result.Matched, err = c.match(); err != nil {
			return document{}, err
		}
	}
	if v.Pastes, err = pastes(r.Host, c); err != nil {
		return document{}, err
	}
	if v.Notes, err = s.told(c.notes); err != nil {
		return document{}, err
	}
	if v.Archived, err = s.archivedAmong(r.Context(), c.storedWines()...); err != nil {
		return document{}, err
	}
	c.notes = v.Notes
	v.Form = c.form()
	return s.render("preview.html", v)
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

// groupOf is the part of the form that a field is in: a slot's name, or a
// group's key, or none.
func groupOf(name string) string {
	for _, at := range slots() {
		if name == at.name || name == at.dose() || slices.ContainsFunc(at.parts(), func(p part) bool { return at.field(p).name == name }) {
			return at.name
		}
	}
	switch name {
	case toleranceField:
		return targetSlot.name
	case rungMLField:
		return rungSlot.name
	}
	for _, g := range groups {
		for _, f := range g.fields {
			if f.name == name {
				return g.key
			}
		}
	}
	return ""
}

// result is a ladder in words and digits, with what the script needs to let its
// doses be moved.
type result struct {
	Base, Target string // names; empty where they are one's own
	Additions    []addition
	Conditions   calc.Conditions
	Measured     int
	Bands        []band
	Glasses      []glass
	Sliders      []slider
	Shown        *shown
	Against      string // "delta_e", "indices" or empty: what the target is
	Tolerance    digits // empty where none was given
	Nearest      *nearest
	Next         *next
	Matched      matched
	Table        table
	Volumes      volumes
	Warnings     []english
	Picture      savedPicture
	JSON         string // address of the request
	Trial        string // address of a trial begun from it; empty without records
	Data         liveData
}

// addition is a dosed wine: its slot, and its name where it has one.
type addition struct{ Slot, Name string }

func resultOf(c *choice, data liveData) *result {
	red := data.Sliders[0]
	r := &result{
		Conditions: c.answer.Rungs[0].Colour.Conditions, Measured: len(c.request.Measured), Volumes: data.volumes,
		Base: c.picked[baseSlot.name].name, Target: c.picked[targetSlot.name].name,
		Shown: &shown{trace: red.Trace, dose: float64(red.Dose)},
		Table: tableOf(c, data), Warnings: warningsOf(c.answer),
		Against: against(c.answer.Nearest), Glasses: glasses(red.Trace, float64(red.Dose)),
	}
	for i, at := range c.dosed {
		r.Additions = append(r.Additions, addition{at.name, c.picked[at.name].name})
		r.Sliders = append(r.Sliders, sliderOf(c, i, data.Sliders[i]))
	}
	r.Bands = bandsOf(r.Shown, data.target, r.Conditions.PathMM)
	query := c.address(map[string]string{redSlot.dose(): r.Sliders[0].Control.Value})
	r.JSON = "/preview/request.json?" + query
	if c.site.config.Records != nil {
		r.Trial = "/trials/new?" + query
	}
	if n := c.answer.Nearest; n != nil {
		if t := c.request.Target; t.Tolerance != nil {
			r.Tolerance = plain(t.Tolerance.DeltaE00)
		}
		r.Nearest = nearestOf(n, c.request.Target)
		exact := string(fixed(n.DoseMLPer100ML, 3))
		r.Nearest.Exact, r.Nearest.Address = exact, "/?"+c.address(map[string]string{redSlot.dose(): exact})
		r.Next = nextOf(c.answer.MeasureNext)
	}
	return r
}

func against(n *calc.Nearest) string {
	switch {
	case n == nil:
		return ""
	case n.Difference.DeltaE00 != nil:
		return "delta_e"
	}
	return "indices"
}

// warningsOf lists what must be known, each once.
func warningsOf(a calc.LadderResponse) []english {
	var out []english
	told := map[string]bool{}
	tell := func(list []calc.Warning) {
		for _, w := range list {
			if !told[w.Message] {
				told[w.Message] = true
				out = append(out, english(w.Message))
			}
		}
	}
	tell(a.Warnings)
	for _, rung := range a.Rungs {
		tell(rung.Colour.Warnings)
	}
	return out
}
