package pages

import (
	"encoding/json"
	"fmt"
	"math"

	"pourpath/api/calc"
)

// volumes is what to pour in the cellar, for one size or two, at the dose that
// is shown.
type volumes struct {
	Batches []batch
	Rows    []volumeRow
}

// batch is one size: a tank of base, where the additions come on top, or
// bottles, where they are part of what is wanted.
type batch struct {
	Key      string // "tank" or "bottles"
	Size, ML entered
	request  calc.ScaleRequest
}

// volumeRow is one line of the table, a number for each batch.
type volumeRow struct {
	Key, Name string // Name is the wine's, empty where it was typed
	Part      bool   // of the row above
	Cells     []liveNumber
}

// volumes scales the shown doses to the sizes that were typed, and adds to each
// path what the volumes are at its doses. A size left empty is left out; what
// cannot be read is noted.
func (s *site) volumes(c *choice, sliders []liveSlider) (volumes, error) {
	var out volumes
	for _, b := range []batch{{Key: "tank"}, {Key: "bottles"}} {
		ok, err := c.size(&b)
		if err != nil {
			return out, err
		}
		if ok {
			out.Batches = append(out.Batches, b)
		}
	}
	if len(out.Batches) == 0 {
		return out, nil
	}
	for _, b := range out.Batches {
		for i := range sliders {
			c.scaled(b, i, sliders[i].Trace)
		}
	}
	now := shown{trace: sliders[0].Trace, dose: c.dosed[0].dose}
	add := func(key, name string, part bool) {
		row := volumeRow{Key: key, Name: name, Part: part}
		for _, b := range out.Batches {
			row.Cells = append(row.Cells, now.Number(b.Key+"_"+key))
		}
		out.Rows = append(out.Rows, row)
	}
	add("base", c.picked[baseSlot.name].name, false)
	for _, at := range c.dosed {
		add(at.name, c.picked[at.name].name, false)
		if len(c.dosed) == 1 {
			add("first", "", true)
		}
	}
	for _, key := range []string{"blend", "lost", "arrives", "share"} {
		add(key, "", false)
	}
	return out, nil
}

// size reads the size of a batch; ok is false where there is none.
func (c *choice) size(b *batch) (ok bool, err error) {
	request := map[string]any{"dose_ml_per_100ml": 1} // each dose takes its place
	var p places
	switch b.Key {
	case "tank":
		size := c.typed[tankField]
		b.Size = entered(size)
		request["base_l"] = c.site.words.volume(size)
		p.add("/base_l", tankField)
	default:
		size, ml := c.typed[bottlesField], c.typed[bottleField]
		b.Size, b.ML = entered(size), entered(ml)
		request["bottles"] = map[string]any{"count": c.site.words.volume(size), "ml": c.site.words.volume(ml)}
		p.add("/bottles/count", bottlesField)
		p.add("/bottles/ml", bottleField)
	}
	if b.Size == "" {
		return false, nil
	}
	if loss := c.typed[lossField]; loss != "" {
		request["loss_percent"] = c.site.words.number(loss)
		p.add("/loss_percent", lossField)
	}
	data, err := json.Marshal(request)
	if err != nil {
		return false, fmt.Errorf("pages: scale: %w", err)
	}
	b.request, err = calc.Decode[calc.ScaleRequest](data)
	list, err := faultsOf(err)
	if err != nil {
		return false, err
	}
	for _, f := range list {
		message, err := c.site.words.refused(f, english(f.Message))
		if err != nil {
			return false, err
		}
		c.noteOnce(note{Field: p.field(f.Location), Message: message})
	}
	return len(list) == 0, nil
}

// noteOnce adds a note unless it was made: both batches have the same losses.
func (c *choice) noteOnce(n note) {
	for _, have := range c.notes {
		if have.Field == n.Field && have.Message == n.Message {
			return
		}
	}
	c.notes = append(c.notes, n)
}

// scaled adds to the path of the i-th addition what a batch takes at its doses.
func (c *choice) scaled(b batch, i int, t *trace) {
	keys := []string{"base", "first", "blend", "lost", "arrives", "share"}
	for _, at := range c.dosed {
		keys = append(keys, at.name)
	}
	for _, dose := range t.Dose {
		values := c.scale(b, i, float64(dose))
		for _, key := range keys {
			name := b.Key + "_" + key
			t.Columns[name] = append(t.Columns[name], rounded(values(key)))
		}
	}
	litres := litresDecimals(c.scale(b, i, max(c.dosed[i].dose, float64(t.Dose[1])))("first"))
	for _, key := range keys {
		t.Decimals[b.Key+"_"+key] = litres
	}
	t.Decimals[b.Key+"_share"] = t.Decimals["percent"]
}

// scale is what a batch takes with the i-th addition at a dose, the others at
// theirs, by the key of its row. The additions share the whole addition by their
// doses.
func (c *choice) scale(b batch, i int, dose float64) func(key string) float64 {
	doses := map[string]float64{}
	total := 0.0
	for k, at := range c.dosed {
		if k == i {
			doses[at.name] = dose
		} else {
			doses[at.name] = at.dose
		}
		total += doses[at.name]
	}
	const none = 1e-9 // as good as no addition, which is no dose to scale
	b.request.Dose = max(total, none)
	v, err := calc.Scale(b.request)
	return func(key string) float64 {
		switch {
		case err != nil: // more than a dose can be, all wines together
			return math.NaN()
		case key == "base":
			return v.BaseL
		case key == "first":
			return v.FirstAdditionL
		case key == "blend":
			return v.BlendL
		case key == "lost":
			return v.LostL
		case key == "arrives":
			return v.ArrivesL
		case key == "share":
			return v.AdditionPercent
		}
		return v.AdditionL * doses[key] / b.request.Dose
	}
}

// faultsOf lists what a problem is about. Any other error it returns.
func faultsOf(err error) ([]calc.Fault, error) {
	p := calc.AsProblem(err)
	if p == nil {
		return nil, err
	}
	if len(p.Errors) == 0 { // too long, say: the whole is at fault
		return []calc.Fault{{Message: p.Detail}}, nil
	}
	return p.Errors, nil
}
