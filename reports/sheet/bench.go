package sheet

import (
	"fmt"
	"io"
	"strings"

	"pourpath/reports"
)

// Bench is the sheet that lies at the bench while the glasses are poured.
type Bench struct {
	Head
	Wines
	BaseML float64 // base in each glass, in mL; above 0
	Tools  []Tool
	Plan   []PlanRow
	// Warnings are what this plan has to be told of, sentences.
	Warnings []string
}

// Tool is something that volumes are measured with.
type Tool struct {
	Name         string // required
	CapacityML   float64
	GraduationML float64 // between two lines; 0 where there is but one mark
	LimitML      float64 // the most that it may be wrong, ±; 0 where not known
	Note         string  // class and source of the limit; may be empty
}

// Deed is what is done to a glass.
type Deed int

// The deeds.
const (
	PourBase Deed = iota
	PourAddition
	TakeOut // a sip, or a cell filled for reading
	// TakeBack is a counter-entry of a log, which takes an earlier entry back.
	TakeBack
)

// PlanRow is one thing to do, and what the glass holds after it.
type PlanRow struct {
	Glass    string // its label; required
	Deed     Deed
	Wine     string // that is poured; may be empty
	VolumeML float64
	Tool     string  // may be empty
	TotalML  float64 // running total of the addition poured into the glass
	Dose     Dose    // that the glass then has
	Colour   *Colour // predicted; nil where not known
	Swatch   reports.Swatch
	Note     string // such as that a fresh glass would be better; may be empty
}

// WritePDF writes the sheet as PDF on A4 portrait, its text as text in an
// embedded font. Characters that the font lacks are empty squares; the page of
// HTML has them. texts nil is English. Errors: every fault of the sheet, up to
// ten, each with its place, and faults of texts; a fault of w. A sheet at fault
// writes nothing.
func (b Bench) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, b, texts) }

// WriteHTML writes the sheet as one page of HTML that links to a style sheet at
// the given address, or to none where that is empty. Errors are those of
// WritePDF.
func (b Bench) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, b, texts, stylesheet)
}

func (b Bench) check() error {
	c := newChecker(b.Head)
	c.wines(b.Wines)
	if b.BaseML == 0 {
		c.fault("base volume", "is 0: want what is poured into each glass, in mL")
	}
	c.within("base volume", 0, maxML, b.BaseML)
	c.rows("tools", len(b.Tools))
	for i, t := range b.Tools {
		at := fmt.Sprintf("tool %d", i+1)
		c.named(at+": name", t.Name)
		c.text(at+": note", t.Note)
		c.within(at+": capacity", 0, maxML, t.CapacityML)
		c.within(at+": graduation", 0, maxML, t.GraduationML)
		c.within(at+": limit", 0, maxML, t.LimitML)
	}
	c.rows("plan", len(b.Plan))
	for i, r := range b.Plan {
		at := fmt.Sprintf("plan row %d", i+1)
		c.named(at+": glass", r.Glass)
		c.text(at+": words", r.Wine, r.Tool, r.Note)
		c.deed(at, r.Deed, TakeOut)
		c.within(at+": volume", 0, maxML, r.VolumeML)
		c.within(at+": running total", 0, maxML, r.TotalML)
		c.dose(at+": dose", r.Dose)
		c.colour(at+": colour", r.Colour)
		c.swatch(at+": swatch", r.Swatch)
	}
	c.texts("warning", b.Warnings)
	return c.err()
}

func (c *checker) deed(at string, d, last Deed) {
	if d < PourBase || d > last {
		c.fault(at+": deed", "%d is none that stands here", d)
	}
}

func (b Bench) document(t *Texts) *document {
	d := &document{texts: t, head: b.Head, heldPer100: b.held(), Name: t.Bench.Name}
	d.list(t.Mind, b.Warnings)
	d.wines(b.Wines)
	d.facts(fact{t.Bench.BaseInGlass, t.millilitres(b.BaseML) + " mL"})
	d.tools(b.Tools)
	if len(b.Plan) > 0 {
		d.heading(t.Bench.Plan)
		d.para(t.Bench.PlanHow)
		d.plan(b)
		d.heading(t.Bench.Record)
		d.para(t.Bench.RecordHow)
		d.fields(t.Bench.RecordFields...)
		d.record(b)
	}
	d.Blocks = append(d.Blocks, block{Ruled: &ruled{t.Bench.Notes, 4}})
	d.list(t.Cautions, t.Bench.Cautions)
	return d
}

func (d *document) tools(tools []Tool) {
	if len(tools) == 0 {
		return
	}
	t := d.texts
	tab := table{Columns: []column{
		{Head: t.Columns.Tool, WideMM: 52}, {Head: t.Columns.Capacity, WideMM: 22, Right: true},
		{Head: t.Columns.Graduation, WideMM: 24, Right: true}, {Head: t.Columns.Limit, WideMM: 22, Right: true},
		{Head: t.Columns.Source},
	}}
	positive := func(v float64, sign string) cell {
		if v == 0 {
			return cell{}
		}
		return text(sign + t.millilitres(v))
	}
	for _, tool := range tools {
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(tool.Name), positive(tool.CapacityML, ""),
			positive(tool.GraduationML, ""), positive(tool.LimitML, "± "), text(tool.Note)}})
	}
	d.heading(t.Bench.Tools)
	d.table(tab)
}

// deed is what a row of a plan or a log does, in words.
func (t *Texts) deed(d Deed, wine string) string {
	switch d {
	case PourBase:
		return strings.TrimSuffix(t.fill(t.DeedBase, "wine", wine), ":")
	case PourAddition:
		return t.fill(t.DeedAddition, "wine", wine)
	}
	return t.DeedOut
}

// plan is the table to work down. Each swatch touches the target's.
func (d *document) plan(b Bench) {
	t := d.texts
	at10, inGlass := t.Columns.At10MM, t.fill(t.Columns.InGlass, "mm", t.plain(b.GlassDepthMM, 1))
	var target reports.Swatch
	if b.Target != nil {
		target = b.Target.Swatch
	}
	tab := table{Columns: []column{
		{Head: t.Columns.Done, WideMM: 9}, {Head: t.Columns.No, WideMM: 7, Right: true}, {Head: t.Columns.Glass, WideMM: 13},
		{Head: t.Columns.Volume, WideMM: 13, Right: true}, {Head: t.Columns.WhatHow},
		{Head: t.Columns.Total, WideMM: 14, Right: true}, {Head: t.Columns.Dose, WideMM: 18, Right: true},
		{Head: t.Columns.Share, WideMM: 12, Right: true},
		{Head: beside(at10, target.At10MM.Hex, t), WideMM: 12}, {Head: beside(inGlass, target.InGlass.Hex, t), WideMM: 12},
		{Head: "L*", WideMM: 12, Right: true}, {Head: "a*", WideMM: 12, Right: true}, {Head: "b*", WideMM: 12, Right: true},
	}}
	var doses []Dose
	for _, r := range b.Plan {
		doses = append(doses, r.Dose)
	}
	n := doseDecimals(doses...)
	for i, r := range b.Plan {
		lab := t.lab(r.Colour)
		glass := target
		glass.InGlass.Hex, r.Swatch.InGlass.Hex = ifDeep(b.GlassDepthMM, glass.InGlass.Hex), ifDeep(b.GlassDepthMM, r.Swatch.InGlass.Hex)
		tab.Rows = append(tab.Rows, row{Cells: []cell{{Tick: true}, text(t.plain(float64(i+1), 0)), text(r.Glass),
			text(t.millilitres(r.VolumeML)), text(t.deed(r.Deed, r.Wine), r.Tool, r.Note), text(t.millilitres(r.TotalML)),
			text(t.dose(r.Dose, n)), text(d.share(r.Dose, n)), touching(r.Swatch.At10MM, glass.At10MM),
			touching(r.Swatch.InGlass, glass.InGlass), stacked(lab[0]), stacked(lab[1]), stacked(lab[2])}})
	}
	d.table(tab)
}

// record is the table to be filled in: a line for each thing to do, and a few
// for what was not planned.
func (d *document) record(b Bench) {
	const unplanned = 3
	t := d.texts
	write := func(head string, wide int) column { return column{Head: head, WideMM: wide, Write: true} }
	tab := table{Columns: []column{
		{Head: t.Columns.No, WideMM: 7, Right: true}, {Head: t.Columns.Glass, WideMM: 16}, {Head: t.Columns.PlannedTotal, WideMM: 15, Right: true},
		write(t.Columns.Time, 15), write(t.Columns.Poured, 16), write("A420", 16), write("A520", 16), write("A620", 16),
		write(t.Columns.Minutes, 15), write(t.Columns.Note, 0), write(t.Columns.Initials, 14),
	}}
	for i, r := range b.Plan {
		tab.Rows = append(tab.Rows, row{Cells: append([]cell{text(t.plain(float64(i+1), 0)), text(r.Glass), text(t.millilitres(r.TotalML))}, make([]cell, 8)...)})
	}
	for range unplanned {
		tab.Rows = append(tab.Rows, row{Cells: make([]cell, 11)})
	}
	d.table(tab)
}
