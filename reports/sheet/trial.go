package sheet

import (
	"fmt"
	"io"

	"pourpath/reports"
)

// Trial is the report of a trial.
type Trial struct {
	Head
	Wines
	BaseML   float64               // base in each glass, in mL; above 0
	Figure   *reports.LadderFigure // the path; nil leaves it out. Its words are its own.
	Log      []LogRow              // in the order in which it was recorded
	Measured []MeasuredRow
	Notes    []NoteRow
	Choice   *Choice     // nil where nothing was chosen
	Final    *FinalCheck // nil where it was not begun, which the report says
	ScaleUp  *Volumes    // nil where there is none
	Panels   []Panel     // that were closed, in the order in which they were opened
	Warnings []string    // sentences
}

// LogRow is one entry of the pour log.
type LogRow struct {
	No       int    // of the entry, where the log has others between; else its place
	Time     string // as its readers write times; may be empty
	Glass    string // label; required, but for TakeBack
	Of       int    // with TakeBack: the number of the entry that is taken back
	Deed     Deed
	Wine     string // that was poured; may be empty
	VolumeML float64
	Tool     string  // may be empty
	TotalML  float64 // of the addition in all pours into the glass
	Dose     Dose    // that the glass then had
	Who      string  // may be empty
	Undone   bool    // by a counter-entry
	Note     string  // may be empty
}

// MeasuredRow is a glass that was read.
type MeasuredRow struct {
	No        int    // of the entry in the log; 0 leaves it out
	Glass     string // label; required
	Dose      Dose
	Minutes   *float64 // since it was poured; nil where not noted
	Celsius   *float64 // of the sample; nil where not noted
	Measured  Colour
	Predicted *Colour // before anything was learned; nil where nothing was read of the wines
	Learned   *Colour // by the recalibrated path; nil where there is none
	Outlier   bool    // set apart from the others
	Repeat    bool    // read too soon after pouring: to be read again the next day
	Undone    bool    // by a counter-entry
}

// NoteRow is what somebody thought of a glass.
type NoteRow struct {
	Glass string   // label; required
	Dose  *Dose    // nil where not known
	Score *float64 // nil where there is none
	Scale string   // of the score, such as "of 20"; may be empty
	Note  string
	Who   string
	// Undone says that a counter-entry took the note back.
	Undone bool
}

// Choice is the dose that was chosen.
type Choice struct {
	Dose       Dose
	Nearest    *float64  // the dose closest to the target, in mL per 100 mL of base
	Interval95 *Interval // of that closest dose
	DeltaE00   *float64  // from the target, predicted
	Glass      string    // that it was tasted in; may be empty
	Reasons    []string
	Who        string
	// PerLitre is the addition for a litre, in mL; nil leaves it out.
	PerLitre *PerLitre
}

// PerLitre is the addition in mL for one litre of base, which it comes on top of,
// and in one litre of finished blend, which it is a part of.
type PerLitre struct{ BaseML, BlendML float64 }

// leastFinalML is the volume that the final check asks for, in mL, so that a mL
// too much or too little does not matter. Common practice, no source.
const leastFinalML = 250

// FinalCheck is the chosen dose poured fresh, once.
type FinalCheck struct {
	VolumeML    float64  // of the blend poured; 0 where it was not
	Poured      string   // when; may be empty
	Reading     *Colour  // nil where it was not read
	DeltaE00    *float64 // from the target; nil where not known
	KeptCold    bool     // overnight
	LookedAgain bool     // the next day
	Seen        string   // what was seen then; may be empty
	Who         string
}

// WritePDF writes the report as Bench.WritePDF does; a fault of the figure is a
// fault of the report.
func (r Trial) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, r, texts) }

// WriteHTML writes the report as Bench.WriteHTML does.
func (r Trial) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, r, texts, stylesheet)
}

func (r Trial) check() error {
	c := newChecker(r.Head)
	c.wines(r.Wines)
	c.within("base volume", 0, maxML, r.BaseML)
	c.rows("log", len(r.Log))
	for i, e := range r.Log {
		at := fmt.Sprintf("log row %d", i+1)
		if e.Deed != TakeBack {
			c.named(at+": glass", e.Glass)
		}
		c.text(at+": words", e.Glass, e.Time, e.Wine, e.Tool, e.Who, e.Note)
		c.deed(at, e.Deed, TakeBack)
		c.within(at+": numbers", 0, maxOther, float64(e.No), float64(e.Of))
		c.within(at+": volume", 0, maxML, e.VolumeML)
		c.within(at+": total", 0, maxML, e.TotalML)
		c.dose(at+": dose", e.Dose)
	}
	c.rows("measured", len(r.Measured))
	for i, m := range r.Measured {
		at := fmt.Sprintf("measured row %d", i+1)
		c.named(at+": glass", m.Glass)
		c.dose(at+": dose", m.Dose)
		c.optional(at+": minutes", 0, maxOther, m.Minutes)
		c.optional(at+": temperature", -50, 100, m.Celsius)
		c.colour(at+": measured colour", &m.Measured)
		c.colour(at+": predicted colour", m.Predicted)
		c.colour(at+": recalibrated colour", m.Learned)
	}
	c.rows("notes", len(r.Notes))
	for i, n := range r.Notes {
		at := fmt.Sprintf("note %d", i+1)
		c.named(at+": glass", n.Glass)
		c.text(at+": words", n.Scale, n.Note, n.Who)
		c.optional(at+": score", -maxOther, maxOther, n.Score)
		if n.Dose != nil {
			c.dose(at+": dose", *n.Dose)
		}
	}
	r.checkOutcome(c)
	return c.err()
}

func (r Trial) checkOutcome(c *checker) {
	if k := r.Choice; k != nil {
		c.dose("choice: dose", k.Dose)
		c.optional("choice: nearest", 0, maxML, k.Nearest)
		c.interval("choice: interval", k.Interval95, 0, maxML)
		c.optional("choice: ΔE00", 0, maxColour, k.DeltaE00)
		if k.PerLitre != nil {
			c.within("choice: per litre", 0, maxML, k.PerLitre.BaseML, k.PerLitre.BlendML)
		}
		c.text("choice: words", k.Glass, k.Who)
		c.texts("choice: reason", k.Reasons)
	}
	if f := r.Final; f != nil {
		c.within("final check: volume", 0, maxML, f.VolumeML)
		c.colour("final check: reading", f.Reading)
		c.optional("final check: ΔE00", 0, maxColour, f.DeltaE00)
		c.text("final check: words", f.Poured, f.Seen, f.Who)
	}
	if r.ScaleUp != nil {
		c.volumes("scale-up", *r.ScaleUp)
	}
	for i, p := range r.Panels {
		c.panel(fmt.Sprintf("panel %d", i+1), p)
	}
	c.texts("warning", r.Warnings)
}

func (r Trial) document(t *Texts) *document {
	d := &document{texts: t, head: r.Head, heldPer100: r.held(), Name: t.Trial.Name}
	if r.Choice != nil {
		d.Lead = t.fill(t.Trial.Lead, "dose", d.doseLine(r.Choice.Dose))
	} else {
		d.Lead = t.Trial.NoChoice
	}
	if r.Figure != nil {
		d.Blocks = append(d.Blocks, block{Figure: r.Figure})
	}
	d.list(t.Mind, r.Warnings)
	d.wines(r.Wines)
	if r.BaseML > 0 {
		d.facts(fact{t.Bench.BaseInGlass, t.millilitres(r.BaseML) + " mL"})
	}
	d.log(r.Log)
	d.measured(r.Measured)
	d.notes(r.Notes)
	for _, p := range r.Panels {
		d.panel(p)
	}
	d.choice(r.Choice)
	d.final(r.Final)
	if r.ScaleUp != nil {
		d.heading(t.Trial.ScaleUp)
		d.scaleUp(*r.ScaleUp)
	}
	d.list(t.Cautions, t.Trial.Cautions)
	return d
}
