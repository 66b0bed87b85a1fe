package sheet

import (
	"pourpath/colour/cie"
	"pourpath/reports"
)

// document is what is said, before it is set in PDF or HTML.
type document struct {
	texts *Texts
	head  Head
	// heldPer100 is what is held in the base, in mL per 100 mL of it.
	heldPer100 float64
	Name       string   // of the kind of document
	Lead       string   // the finding, large; may be empty
	Foot       []string // what stands on every page beside the conditions; nil for the words of doses
	// Bare is a document that shows no colour: of the foot it has Foot alone.
	Bare   bool
	Blocks []block
}

// block is one of its fields; the others are zero.
type block struct {
	Heading string
	Para    string // may have several lines
	Quiet   string // a paragraph in small print
	List    []string
	Facts   []fact
	Table   *table
	Ruled   *ruled
	Signs   []string // lines to sign on
	Figure  reports.Figure
	Labels  []label
	Break   bool // what follows begins a page
}

// fact is a label with what it is; an empty Text is a line to write on.
type fact struct{ Label, Text string }

// ruled are empty lines to write on.
type ruled struct {
	Label string
	Lines int
}

type table struct {
	Columns []column
	Rows    []row
}

// column widths are in mm; those of 0 share what is left of the page's width.
type column struct {
	Head   string
	WideMM int
	Right  bool // numbers
	Write  bool // to be filled in by hand
	Keep   bool // also when it is empty
}

type row struct {
	Cells  []cell
	Joined bool // belongs to the row above: no rule between, kept on its page
	Strong bool
}

// cell shows lines of text, or swatches that touch, or a box to tick.
type cell struct {
	Lines    []string
	Swatches []cie.Screen
	Tick     bool
	Struck   bool // undone, which its row also says in a word
}

func text(lines ...string) cell {
	var c cell
	for _, l := range lines {
		if l != "" {
			c.Lines = append(c.Lines, l)
		}
	}
	return c
}

func (c cell) empty() bool { return len(c.Lines) == 0 && len(c.Swatches) == 0 && !c.Tick }

func (d *document) heading(s string) { d.Blocks = append(d.Blocks, block{Heading: s}) }

func (d *document) para(s string) {
	if s != "" {
		d.Blocks = append(d.Blocks, block{Para: s})
	}
}

func (d *document) quiet(s string) { d.Blocks = append(d.Blocks, block{Quiet: s}) }

// list adds a list under its heading, unless it is empty.
func (d *document) list(heading string, items []string) {
	if len(items) == 0 {
		return
	}
	d.heading(heading)
	d.Blocks = append(d.Blocks, block{List: items})
}

// facts leaves out those that are not known.
func (d *document) facts(fs ...fact) {
	var known []fact
	for _, f := range fs {
		if f.Text != "" {
			known = append(known, f)
		}
	}
	if len(known) > 0 {
		d.Blocks = append(d.Blocks, block{Facts: known})
	}
}

// fields are facts to be filled in by hand.
func (d *document) fields(labels ...string) {
	var fs []fact
	for _, l := range labels {
		fs = append(fs, fact{Label: l})
	}
	d.Blocks = append(d.Blocks, block{Facts: fs})
}

// table adds a table without the columns that have nothing to show; where a
// swatch is clipped, it says so.
func (d *document) table(t table) {
	if len(t.Rows) == 0 {
		return
	}
	shown := table{Rows: make([]row, len(t.Rows))}
	clipped := false
	for i, r := range t.Rows {
		shown.Rows[i] = row{Joined: r.Joined, Strong: r.Strong}
	}
	for k, c := range t.Columns {
		if !c.Keep && !c.Write && t.blank(k) {
			continue
		}
		shown.Columns = append(shown.Columns, c)
		for i, r := range t.Rows {
			shown.Rows[i].Cells = append(shown.Rows[i].Cells, r.Cells[k])
			for _, s := range r.Cells[k].Swatches {
				clipped = clipped || outOfGamut(s)
			}
		}
	}
	d.Blocks = append(d.Blocks, block{Table: &shown})
	if clipped {
		d.quiet(d.texts.Clipped)
	}
}

func (t table) blank(k int) bool {
	for _, r := range t.Rows {
		if !r.Cells[k].empty() {
			return false
		}
	}
	return true
}

func outOfGamut(s cie.Screen) bool { return s.Hex != "" && !s.InGamut }
