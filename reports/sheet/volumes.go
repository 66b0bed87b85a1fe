package sheet

import (
	"fmt"

	"pourpath/colour/volumetric"
)

// Recipe is base and addition of one blend, in litres: they add up to BlendL.
type Recipe struct{ BaseL, AdditionL, BlendL float64 }

// Convention says what a size is a size of.
type Convention int

// The conventions.
const (
	BaseLed  Convention = iota // of the base; the addition comes on top
	BlendLed                   // of the finished blend, addition included
)

// Vessel is one kind of vessel of an order.
type Vessel struct {
	Name       string // required
	Count      int    // how many of them, 1 or more
	SizeL      float64
	Convention Convention // of SizeL
	Recipe                // of one, losses included; at the order's dose
	// Otherwise is the recipe if SizeL were meant in the other convention, so
	// that a mistake is seen.
	Otherwise Recipe
}

// Volumes are a dose for the cellar.
type Volumes struct {
	Dose         Dose
	Vessels      []Vessel // one or more
	LossPercent  float64  // of the finished blend, that is lost on the way
	FirstPercent float64  // of the addition, to be poured before measuring; above 0 and below 100
	HeelL        float64  // of the addition, that stays in the line
	Rounded      *Rounded // nil where no graduation is known
	Gauge        *Gauge   // nil where not known
	Stocks       []Stock  // of base and addition, where they are known
}

// Rounded is the whole order as the cellar can measure it.
type Rounded struct {
	Recipe
	Dose                                 Dose // that it has
	FirstL, HeldBackL                    float64
	BaseGraduationL, AdditionGraduationL float64  // 0 where not rounded
	DeltaE00                             *float64 // of this dose from the one asked for; nil where not known
}

// Gauge is how well the volumes are known: relative standard uncertainties
// (k = 1) in %, and what they make of the dose in mL per 100 mL.
type Gauge struct {
	BaseUPercent, AdditionUPercent, DoseU float64
	DeltaE00                              *float64 // that one DoseU makes; nil where not known
}

// Stock is a wine on hand, and what the order needs of it, heel included.
type Stock struct {
	Wine             string // required
	OnHandL, NeededL float64
}

// maxVessels is how many vessels of one kind an order may have.
const maxVessels = 1e6

func (c *checker) volumes(where string, v Volumes) {
	c.dose(where+": dose", v.Dose)
	if len(v.Vessels) == 0 {
		c.fault(where+": vessels", "there is none: want one or more")
	}
	c.rows(where+": vessels", len(v.Vessels))
	for i, k := range v.Vessels {
		at := fmt.Sprintf("%s: vessel %d", where, i+1)
		c.named(at+": name", k.Name)
		c.within(at+": count", 1, maxVessels, float64(k.Count))
		c.within(at+": size", 0, maxL, k.SizeL)
		if k.Convention != BaseLed && k.Convention != BlendLed {
			c.fault(at+": convention", "%d is none: want BaseLed or BlendLed", k.Convention)
		}
		c.recipe(at+": recipe", k.Recipe, v.Dose)
		c.recipe(at+": recipe in the other convention", k.Otherwise, v.Dose)
	}
	c.within(where+": loss", 0, 100, v.LossPercent)
	if v.FirstPercent == 0 || v.FirstPercent == 100 {
		c.fault(where+": first addition", "%g %%: want above 0 and below 100; 90 is usual", v.FirstPercent)
	}
	c.within(where+": first addition", 0, 100, v.FirstPercent)
	c.within(where+": heel", 0, maxL, v.HeelL)
	if r := v.Rounded; r != nil {
		c.recipe(where+": rounded", r.Recipe, r.Dose)
		c.dose(where+": rounded: dose", r.Dose)
		c.within(where+": rounded: parts", 0, maxL, r.FirstL, r.HeldBackL)
		c.within(where+": rounded: graduation", 0, maxL, r.BaseGraduationL, r.AdditionGraduationL)
		c.optional(where+": rounded: ΔE00", 0, maxColour, r.DeltaE00)
	}
	if g := v.Gauge; g != nil {
		c.within(where+": gauge", 0, 100, g.BaseUPercent, g.AdditionUPercent)
		c.within(where+": gauge: dose", 0, maxML, g.DoseU)
		c.optional(where+": gauge: ΔE00", 0, maxColour, g.DeltaE00)
	}
	c.rows(where+": stocks", len(v.Stocks))
	for i, s := range v.Stocks {
		at := fmt.Sprintf("%s: stock %d", where, i+1)
		c.named(at+": wine", s.Wine)
		c.within(at+": litres", 0, maxL, s.OnHandL, s.NeededL)
	}
}

func (v Volumes) total() (r Recipe) {
	for _, k := range v.Vessels {
		n := float64(k.Count)
		r.BaseL, r.AdditionL, r.BlendL = r.BaseL+n*k.BaseL, r.AdditionL+n*k.AdditionL, r.BlendL+n*k.BlendL
	}
	return r
}

func (v Volumes) count() (n int) {
	for _, k := range v.Vessels {
		n += k.Count
	}
	return n
}

// units are the units of an order, in litres; which gallon is meant is always
// said.
func units() [4]float64 {
	return [4]float64{1, volumetric.Hectolitre.ML() / 1e3, volumetric.USGallonML / 1e3, volumetric.ImperialGallonML / 1e3}
}

// inUnits are the cells of a recipe: L, hL, US and imperial gallons, each to
// about the same volume.
func (t *Texts) inUnits(r Recipe) []cell {
	n := litreDecimals(r.BaseL, r.AdditionL, r.BlendL)
	more := [4]int{0, 2, 1, 1}
	var cs []cell
	for i, u := range units() {
		in := func(litres float64) string { return t.fixed(litres/u, n+more[i]) }
		cs = append(cs, text(in(r.BaseL), in(r.AdditionL), in(r.BlendL)))
	}
	return cs
}

// scaleUp is the dose in litres: each vessel by its own convention and, beside
// it, what the same size would be in the other.
func (d *document) scaleUp(v Volumes) {
	t := d.texts
	tab := table{Columns: []column{{Head: t.Columns.Vessel}, {Head: t.Columns.Wine, WideMM: 34},
		{Head: "L", WideMM: 23, Right: true}, {Head: "hL", WideMM: 23, Right: true},
		{Head: t.Columns.USGal, WideMM: 23, Right: true}, {Head: t.Columns.ImpGal, WideMM: 23, Right: true}}}
	for _, k := range v.Vessels {
		size, meant, other := t.plain(k.SizeL, 3), t.Order.BaseLed, t.Order.NotBlendLed
		if k.Convention == BlendLed {
			meant, other = t.Order.BlendLed, t.Order.NotBaseLed
		}
		name := k.Name
		if k.Count > 1 {
			name = t.fill(t.Order.EachOf, "count", t.plain(float64(k.Count), 0), "name", k.Name)
		}
		tab.recipe(t, []string{name, t.fill(meant, "size", size)}, k.Recipe, true)
		tab.recipe(t, []string{t.fill(other, "size", size)}, k.Otherwise, false)
	}
	if v.count() > 1 {
		tab.recipe(t, []string{t.fill(t.Order.Total, "count", t.plain(float64(v.count()), 0))}, v.total(), true)
	}
	d.facts(fact{t.Order.Dose, d.doseLine(v.Dose)})
	d.table(tab)
	d.measure(v)
	d.stocks(v.Stocks)
}

// recipe adds a blend: base, addition and sum, one beneath the other.
func (tab *table) recipe(t *Texts, what []string, r Recipe, strong bool) {
	cells := []cell{text(what...), text(t.Base, t.Addition, t.Order.Blend)}
	tab.Rows = append(tab.Rows, row{Strong: strong, Cells: append(cells, t.inUnits(r)...)})
}

// measure says how the volumes are rounded, how well they are known and what is
// lost.
func (d *document) measure(v Volumes) {
	t := d.texts
	var fs []fact
	if r := v.Rounded; r != nil {
		n := litreDecimals(r.AdditionL)
		steps := ""
		if r.BaseGraduationL > 0 {
			steps = t.fill(t.Order.StepBase, "l", t.plain(r.BaseGraduationL, 3))
		}
		if r.AdditionGraduationL > 0 {
			if steps != "" {
				steps += ", "
			}
			steps += t.fill(t.Order.StepAddition, "l", t.plain(r.AdditionGraduationL, 3))
		}
		fs = append(fs, fact{t.Order.Rounded, t.fill(t.Order.RoundedTo, "steps", steps, "base", t.fixed(r.BaseL, n),
			"addition", t.fixed(r.AdditionL, n), "dose", d.doseLine(r.Dose))})
		if r.DeltaE00 != nil {
			fs = append(fs, fact{t.Order.RoundingError, t.fill(t.Order.RoundingDE, "de", t.deltaE(*r.DeltaE00))})
		}
	}
	if g := v.Gauge; g != nil {
		says := t.Order.GaugeIs
		if g.BaseUPercent == 0 && g.AdditionUPercent == 0 {
			says = t.Order.GaugeSteps
		}
		is := t.fill(says, "base", t.plain(g.BaseUPercent, 2),
			"addition", t.plain(g.AdditionUPercent, 2), "dose", t.fixed(max(g.DoseU, 0.001), decimals(g.DoseU, doseMost)))
		if g.DeltaE00 != nil {
			is += t.Figures.Shared.Semicolon + t.fill(t.Order.GaugeDE, "de", t.deltaE(*g.DeltaE00))
		}
		fs = append(fs, fact{t.Order.Gauge, is})
	}
	if v.HeelL > 0 {
		fs = append(fs, fact{t.Order.Heel, t.fill(t.Order.HeelIs, "l", t.plain(v.HeelL, 3))})
	}
	if v.LossPercent > 0 {
		fs = append(fs, fact{t.Order.Loss, t.fill(t.Order.LossIs, "percent", t.plain(v.LossPercent, 2))})
	}
	d.facts(fs...)
}

func (d *document) stocks(stocks []Stock) {
	t := d.texts
	tab := table{Columns: []column{{Head: t.Columns.Stock}, {Head: t.Columns.OnHand, WideMM: 28, Right: true},
		{Head: t.Columns.Needed, WideMM: 28, Right: true}, {Head: t.Columns.LeftOver, WideMM: 28, Right: true},
		{Head: t.Columns.Short, WideMM: 28, Right: true}}}
	for _, s := range stocks {
		n := litreDecimals(s.NeededL)
		left, missing := cell{}, cell{}
		if s.OnHandL >= s.NeededL {
			left = text(t.fixed(s.OnHandL-s.NeededL, n))
		} else {
			missing = text(t.fixed(s.NeededL-s.OnHandL, n))
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(s.Wine), text(t.fixed(s.OnHandL, n)), text(t.fixed(s.NeededL, n)), left, missing}})
	}
	d.table(tab)
}
