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
		no := i + 1
		if e.No > 0 {
			no = e.No
		}
		if e.Deed == TakeBack {
			what[0] = t.fill(t.DeedBack, "no", t.plain(float64(e.Of), 0))
		}
		if e.Undone {
			what = append([]string{t.Trial.Undone}, what...)
		}
		volume := cell{Lines: []string{t.millilitres(e.VolumeML)}, Struck: e.Undone}
		if e.Deed == TakeBack {
			volume = cell{}
		}
		dose := []cell{text(t.millilitres(e.TotalML)), text(t.dose(e.Dose, n)), text(d.share(e.Dose, n))}
		if e.Undone || e.Deed == TakeBack && e.Glass == "" { // an entry that does not count says nothing of a glass
			dose = []cell{text("–"), text("–"), text("–")}
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(t.plain(float64(no), 0)), text(e.Time), text(e.Glass),
			text(what...), volume, text(e.Tool), dose[0], dose[1], dose[2], text(e.Who)}})
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
		{Head: t.Columns.No, WideMM: 8, Right: true}, {Head: t.Columns.Glass, WideMM: 15}, {Head: t.Columns.Dose, WideMM: 22, Right: true},
		{Head: t.Columns.Share, WideMM: 13, Right: true}, {Head: t.Columns.Minutes, WideMM: 14, Right: true}, {Head: "°C", WideMM: 10, Right: true}, {Head: ""},
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
		var no cell
		if m.No > 0 {
			no = text(t.plain(float64(m.No), 0))
		}
		said := []string{t.Trial.Measured}
		if m.Undone {
			said = append(said, t.Trial.Undone)
		}
		if m.Outlier {
			said = append(said, t.Trial.Outlier)
		}
		if m.Repeat {
			said = append(said, t.Trial.Repeat)
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{no, text(m.Glass), text(t.dose(m.Dose, n)), text(d.share(m.Dose, n)),
			number(m.Minutes), number(m.Celsius), text(said...), text(lab[0]), text(lab[1]), text(lab[2]), {}}})
		tab.against(t, t.Trial.Predicted, m.Measured, m.Predicted)
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
	tab.Rows = append(tab.Rows, row{Joined: true, Cells: []cell{{}, {}, {}, {}, {}, {}, text(name),
		text(lab[0]), text(lab[1]), text(lab[2]), text(t.deltaE(de))}})
}

func (d *document) notes(notes []NoteRow) {
	t := d.texts
	tab := table{Columns: []column{
		{Head: t.Columns.Glass, WideMM: 18}, {Head: t.Columns.Dose, WideMM: 22, Right: true}, {Head: t.Columns.Share, WideMM: 14, Right: true},
		{Head: t.Columns.Score, WideMM: 26, Right: true}, {Head: t.Columns.Note}, {Head: t.Columns.Who, WideMM: 22},
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
			dose, share = text(t.dose(*k.Dose, n)), text(d.share(*k.Dose, n))
		}
		if k.Score != nil {
			score = text(t.plain(*k.Score, 2), k.Scale)
		}
		undone := ""
		if k.Undone {
			undone = t.Trial.Undone
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(k.Glass), dose, share, score, text(undone, k.Note), text(k.Who)}})
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
	nearest, interval, de, litre := "", "", "", ""
	n := 1
	if k.Interval95 != nil {
		n = decimals((k.Interval95[1]-k.Interval95[0])/2, doseMost)
		interval = t.interval(k.Interval95, n) + " " + t.PerBase
	}
	if k.Nearest != nil {
		nearest = t.fixed(*k.Nearest, n) + " " + t.PerBase
	}
	if p := k.PerLitre; p != nil {
		digits := max(0, doseDecimals(k.Dose)-1) // a litre is ten times 100 mL
		litre = t.fill(t.Trial.PerLitreIs, "base", t.fixed(p.BaseML, digits), "blend", t.fixed(p.BlendML, digits))
	}
	if k.DeltaE00 != nil {
		de = t.deltaE(*k.DeltaE00)
	}
	d.heading(t.Trial.Choice)
	d.facts(fact{t.Trial.ChosenDose, d.doseLine(k.Dose)}, fact{t.Trial.PerLitre, litre},
		fact{t.Trial.FromTarget, de}, fact{t.Trial.Nearest, nearest}, fact{t.Trial.NearestInterval, interval}, fact{t.Trial.TastedIn, k.Glass}, fact{t.Trial.ChosenBy, k.Who})
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
		d.para(t.fill(t.Trial.FinalPart, "todo", strings.Join(todo, t.Figures.Shared.Semicolon)))
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
