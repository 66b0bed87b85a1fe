package sheet

import (
	"strings"

	"pourpath/colour/cie"
)

// ifDeep is a colour in the glass, or none where the glass has no depth.
func ifDeep(depthMM float64, hex string) string {
	if depthMM == 0 {
		return ""
	}
	return hex
}

// touching are swatches edge to edge, without those that are not known; the first
// must be, as a target alone says nothing of a row.
func touching(screens ...cie.Screen) cell {
	var c cell
	if screens[0].Hex == "" {
		return c
	}
	for _, s := range screens {
		if s.Hex != "" {
			c.Swatches = append(c.Swatches, s)
		}
	}
	return c
}

// beside is the head of a column of swatches that touch the target's.
func beside(head, targetHex string, t *Texts) string {
	if targetHex == "" {
		return head
	}
	return head + " | " + t.Columns.Target
}

// stacked sets an uncertainty beneath its value, for narrow columns.
func stacked(value string) cell {
	v, u, found := strings.Cut(value, " ± ")
	if !found {
		return text(v)
	}
	return text(v, "± "+u)
}

// wines is the table of the wines and the target.
func (d *document) wines(w Wines) {
	t := d.texts
	depth := d.head.GlassDepthMM
	tab := table{Columns: []column{
		{Head: "", WideMM: 17, Keep: true}, {Head: t.Columns.Wine}, {Head: t.Columns.At10MM, WideMM: 19},
		{Head: t.fill(t.Columns.InGlass, "mm", t.plain(depth, 1)), WideMM: 19},
		{Head: "L*", WideMM: 18, Right: true}, {Head: "a*", WideMM: 18, Right: true}, {Head: "b*", WideMM: 18, Right: true},
	}}
	add := func(role string, v Wine, under string) {
		lab := t.lab(v.Colour)
		v.Swatch.InGlass.Hex = ifDeep(depth, v.Swatch.InGlass.Hex)
		lot := ""
		if v.Lot != "" {
			lot = t.fill(t.Lot, "lot", v.Lot)
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(role), text(v.Name, lot, v.Known, under),
			touching(v.Swatch.At10MM), touching(v.Swatch.InGlass), text(lab[0]), text(lab[1]), text(lab[2])}})
	}
	add(t.Base, w.Base, "")
	for i, a := range w.Additions {
		role, held := t.Addition, ""
		if len(w.Additions) > 1 {
			role = t.fill(t.AdditionNo, "no", t.plain(float64(i+1), 0))
		}
		if a.HeldMLPer100ML > 0 {
			held = t.fill(t.Held, "dose", t.plain(a.HeldMLPer100ML, doseMost))
		}
		add(role, a, held)
	}
	if g := w.Target; g != nil {
		tolerance := ""
		if g.Tolerance > 0 {
			tolerance = t.fill(t.Tolerance, "de", t.plain(g.Tolerance, 2))
		}
		add(t.Target, Wine{Name: g.Name, Colour: g.Colour, Swatch: g.Swatch}, tolerance)
	}
	if w.Blend != nil {
		add(t.Order.Blend, *w.Blend, "")
	}
	d.heading(t.WinesTitle)
	d.table(tab)
	if len(w.Additions) > 1 {
		d.quiet(t.TwoAdditions)
	}
}

// held is what of the additions is in the base, in mL per 100 mL of it.
func (w Wines) held() (sum float64) {
	for _, a := range w.Additions {
		sum += a.HeldMLPer100ML
	}
	return sum
}

// yes is a word for what was done or not.
func (t *Texts) yes(done bool) string {
	if done {
		return t.Yes
	}
	return t.No
}
