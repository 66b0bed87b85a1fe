package sheet

import (
	"strings"

	"pourpath/colour/difference"
)

func (d *document) log(entries []LogRow) {
	if len(entries) == 0 {
		return
	}
	t := d.texts
	tab := table{Columns: []column{
		{Head: t.Columns.No, WideMM: 8, Right: true}, {Head: t.Columns.Time, WideMM: 21}, {Head: t.Columns.Glass, WideMM: 13},
		{Head: t.Columns.What}, {Head: t.Columns.Volume, WideMM: 13, Right: true}, {Head: t.Columns.Tool, WideMM: 26},
		{Head: t.Columns.Total, WideMM: 14, Right: true}, {Head: t.Columns.Dose, WideMM: 20, Right: true},
		{Head: t.Columns.Share, WideMM: 12, Right: true}, {Head: t.Columns.Who, WideMM: 15},
	}}
	var doses []Dose
	for _, e := range entries {
		doses = append(doses, e.Dose)
	}
	n := doseDecimals(doses...)
	for i, e := range entries {
		what := []string{t.deed(e.Deed, e.Wine), e.Note}
		if e.Undone {
			what = append([]string{t.Trial.Undone}, what...)
		}
		struck := func(s string) cell { return cell{Lines: []string{s}, Struck: e.Undone} }
		dose := []cell{text(t.millilitres(e.TotalML)), text(t.dose(e.Dose, n)), text(t.share(e.Dose, n))}
		if e.Undone { // what a glass held by an entry that does not count says nothing
			dose = []cell{text("–"), text("–"), text("–")}
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(t.plain(float64(i+1), 0)), text(e.Time), text(e.Glass),
			text(what...), struck(t.millilitres(e.VolumeML)), text(e.Tool), dose[0], dose[1], dose[2], text(e.Who)}})
	}
	d.heading(t.Trial.Log)
	d.table(tab)
	d.quiet(t.Trial.LogHow)
}

// measured holds what was read against the path, in up to three lines a glass.
func (d *document) measured(rows []MeasuredRow) {
	if len(rows) == 0 {
		return
	}
	t := d.texts
	tab := table{Columns: []column{
		{Head: t.Columns.Glass, WideMM: 16}, {Head: t.Columns.Dose, WideMM: 22, Right: true}, {Head: t.Columns.Share, WideMM: 13, Right: true},
		{Head: t.Columns.Minutes, WideMM: 14, Right: true}, {Head: "°C", WideMM: 11, Right: true}, {Head: ""},
		{Head: "L*", WideMM: 17, Right: true}, {Head: "a*", WideMM: 17, Right: true}, {Head: "b*", WideMM: 17, Right: true},
		{Head: t.Columns.Unexplained, WideMM: 18, Right: true},
	}}
	number := func(v *float64) cell {
		if v == nil {
			return cell{}
		}
		return text(t.plain(*v, 1))
	}
	var doses []Dose
	for _, m := range rows {
		doses = append(doses, m.Dose)
	}
	n := doseDecimals(doses...)
	for _, m := range rows {
		lab := t.lab(&m.Measured)
		said := []string{t.Trial.Measured}
		if m.Outlier {
			said = append(said, t.Trial.Outlier)
		}
		if m.Repeat {
			said = append(said, t.Trial.Repeat)
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(m.Glass), text(t.dose(m.Dose, n)), text(t.share(m.Dose, n)),
			number(m.Minutes), number(m.Celsius), text(said...), text(lab[0]), text(lab[1]), text(lab[2]), {}}})
		tab.against(t, t.Trial.Predicted, m.Measured, &m.Predicted)
		tab.against(t, t.Trial.Learned, m.Measured, m.Learned)
	}
	d.heading(t.Trial.Against)
	d.table(tab)
	d.quiet(t.Trial.AgainstHow)
}

// against adds the line of a path beneath what was measured.
func (tab *table) against(t *Texts, name string, measured Colour, path *Colour) {
	if path == nil {
		return
	}
	lab, a, b := t.lab(path), measured.Lab, path.Lab
	de := difference.DeltaE00(a.L, a.A, a.B, b.L, b.A, b.B)
	tab.Rows = append(tab.Rows, row{Joined: true, Cells: []cell{{}, {}, {}, {}, {}, text(name),
		text(lab[0]), text(lab[1]), text(lab[2]), text(t.deltaE(de))}})
}

func (d *document) notes(notes []NoteRow) {
	t := d.texts
	tab := table{Columns: []column{
		{Head: t.Columns.Glass, WideMM: 18}, {Head: t.Columns.Dose, WideMM: 22, Right: true}, {Head: t.Columns.Share, WideMM: 14, Right: true},
		{Head: t.Columns.Score, WideMM: 22, Right: true}, {Head: t.Columns.Note}, {Head: t.Columns.Who, WideMM: 22},
	}}
	var doses []Dose
	for _, k := range notes {
		if k.Dose != nil {
			doses = append(doses, *k.Dose)
		}
	}
	n := doseDecimals(doses...)
	for _, k := range notes {
		var dose, share, score cell
		if k.Dose != nil {
			dose, share = text(t.dose(*k.Dose, n)), text(t.share(*k.Dose, n))
		}
		if k.Score != nil {
			score = text(strings.TrimSpace(t.plain(*k.Score, 2) + " " + k.Scale))
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(k.Glass), dose, share, score, text(k.Note), text(k.Who)}})
	}
	if len(notes) > 0 {
		d.heading(t.Trial.Notes)
		d.table(tab)
	}
}

func (d *document) choice(k *Choice) {
	if k == nil {
		return
	}
	t := d.texts
	interval, de := "", ""
	if k.Interval95 != nil {
		half := (k.Interval95[1] - k.Interval95[0]) / 2
		interval = t.interval(k.Interval95, decimals(half, doseMost)) + " " + t.PerBase
	}
	if k.DeltaE00 != nil {
		de = t.deltaE(*k.DeltaE00)
	}
	d.heading(t.Trial.Choice)
	d.facts(fact{t.Trial.ChosenDose, t.doseLine(k.Dose)}, fact{t.Trial.Interval, interval},
		fact{t.Trial.FromTarget, de}, fact{t.Trial.TastedIn, k.Glass}, fact{t.Trial.ChosenBy, k.Who})
	if len(k.Reasons) > 0 {
		d.para(t.Trial.Reasons)
		d.Blocks = append(d.Blocks, block{List: k.Reasons})
	}
}

// final says whether the chosen dose was poured fresh, read, kept cold and
// looked at again, and what of it is still to do.
func (d *document) final(f *FinalCheck) {
	t := d.texts
	least := t.plain(leastFinalML, 0)
	d.heading(t.Trial.Final)
	if f == nil {
		d.para(t.fill(t.Trial.FinalNot, "ml", least))
		return
	}
	var todo []string
	need := func(done bool, what string) {
		if !done {
			todo = append(todo, what)
		}
	}
	need(f.VolumeML >= leastFinalML, t.fill(t.Trial.TodoPour, "ml", least))
	need(f.Reading != nil, t.Trial.TodoRead)
	need(f.KeptCold, t.Trial.TodoCold)
	need(f.LookedAgain, t.Trial.TodoLook)
	if len(todo) == 0 {
		d.para(t.Trial.FinalDone)
	} else {
		d.para(t.fill(t.Trial.FinalPart, "todo", strings.Join(todo, "; ")))
	}
	reading, de := t.labLine(f.Reading), ""
	if f.Reading == nil {
		reading = t.No
	}
	if f.DeltaE00 != nil {
		de = t.deltaE(*f.DeltaE00)
	}
	poured := t.No
	if f.VolumeML > 0 {
		poured = t.millilitres(f.VolumeML) + " mL"
		if f.Poured != "" {
			poured += ", " + f.Poured
		}
	}
	d.facts(fact{t.Trial.PouredFresh, poured}, fact{t.Trial.Read, reading}, fact{t.Trial.ReadFromTarget, de},
		fact{t.Trial.KeptCold, t.yes(f.KeptCold)}, fact{t.Trial.LookedAgain, t.yes(f.LookedAgain)},
		fact{t.Trial.Seen, f.Seen}, fact{t.Trial.CheckedBy, f.Who})
}
