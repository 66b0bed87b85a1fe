package record

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
)

// TrialWine is a wine of a trial. Of a stored wine it has what was known of it
// when the trial began; of one that nothing was read of, the name alone.
type TrialWine struct {
	ID   string `json:"id,omitempty" maxLength:"100" doc:"Identifier of a stored wine, instead of data."`
	Name string `json:"name,omitempty" maxLength:"200" doc:"What the wine is called."`
	Measurement
}

// Known reports whether anything was read of the wine.
func (w TrialWine) Known() bool { return w.given() > 0 }

// Wine is w as a calculation takes it: the data, not the record they came from.
func (w TrialWine) Wine() calc.Wine { return w.Measurement.Wine(w.Name) }

func (w TrialWine) check(pointer string, f *calc.Faults) {
	switch n := w.given(); {
	case n > 1 || n == 1 && w.ID != "":
		f.Addf(pointer, nil, "give one of \"readings\", \"spectrum\", \"cielab\" or \"id\", not several")
	case n == 1:
		calc.CheckForBlend(pointer, w.Wine(), f)
	case w.ID == "" && strings.TrimSpace(w.Name) == "":
		f.Addf(pointer, nil, "which wine is it? Give \"readings\", \"spectrum\", \"cielab\" or the \"id\" of a stored wine; of a wine that nothing was read of yet, its \"name\"")
	}
}

// TrialFields are what a trial is set up with.
type TrialFields struct {
	Name     string       `json:"name,omitempty" maxLength:"200" doc:"What the trial is called."`
	Base     TrialWine    `json:"base" doc:"The wine that is dosed into, usually a white."`
	Addition TrialWine    `json:"addition" doc:"The wine that is dosed, usually a red."`
	BaseML   float64      `json:"base_ml" exclusiveMinimum:"0" maximum:"100000" doc:"Base in each glass before anything is added, in mL."`
	Target   *calc.Target `json:"target,omitempty" doc:"The colour to reach."`
	View     *calc.View   `json:"view,omitempty" doc:"Conditions to see the glasses under. D65, 10°, 10 mm where left out."`
}

// mostGlasses is how many glasses a trial may have.
const mostGlasses = 100

// TrialBody is a new trial.
type TrialBody struct {
	TrialFields
	Glasses []string `json:"glasses" minItems:"1" maxItems:"100" doc:"Labels of the glasses, such as A, B, C. They stay exactly these."`
}

// Check implements calc.Request.
func (b TrialBody) Check(f *calc.Faults) {
	b.Base.check("/base", f)
	b.Addition.check("/addition", f)
	if !(b.BaseML > 0) {
		f.Addf("/base_ml", b.BaseML, "the base in each glass must be above 0 mL; 100 mL is usual")
	}
	calc.CheckTarget(b.Target, b.View, f)
	if n := len(b.Glasses); n < 1 || n > mostGlasses {
		f.Addf("/glasses", nil, "a trial has from 1 to %d glasses, not %d", mostGlasses, n)
	}
	seen := map[string]int{}
	for i, label := range b.Glasses {
		place := fmt.Sprintf("/glasses/%d", i)
		switch first, twice := seen[label]; {
		case strings.TrimSpace(label) != label || label == "":
			f.Addf(place, label, "a glass needs a label without spaces around it, such as \"A\"")
		case len([]rune(label)) > 40:
			f.Addf(place, label, "a label has at most 40 characters")
		case twice:
			f.Addf(place, label, "the glasses %d and %d have one label: each needs its own", first+1, i+1)
		}
		seen[label] = i
	}
}

// Trial is the record of a trial: how it was set up, which never changes, and
// its log, which only grows.
type Trial struct {
	ID string `json:"id" doc:"Identifier."`
	TrialFields
	TargetID     string              `json:"target_id,omitempty" doc:"Identifier of the stored target that target was copied from when the trial began."`
	ReadingsUsed []calc.ReadingsUsed `json:"readings_used,omitempty" doc:"The readings of stored wines that base, addition and target were copied from when the trial began. The ladder is computed from these copies, whatever becomes of the wines' records later."`
	CreatedAt    Instant             `json:"created_at" doc:"When the record was made."`
	ArchivedAt   *Instant            `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`

	// Glasses are the labels, in the order in which they were declared.
	Glasses []string `json:"-"`
	// Log is in the order in which its entries were recorded.
	Log []LogEntry `json:"-"`
}

// Ladder is the trial as a question for a ladder: one rung a glass at the dose
// that it holds now, recalibrated by what was measured at the dose that the
// glass held then. ok is false where there are no data of a wine, so that
// nothing can be computed.
func (t Trial) Ladder(p Progress) (question calc.LadderRequest, ok bool) {
	if !t.Base.Known() || !t.Addition.Known() {
		return question, false
	}
	question = calc.LadderRequest{Base: t.Base.Wine(), Addition: t.Addition.Wine(), BaseML: t.BaseML, View: t.View, Target: t.Target}
	// A rung's dose is told as poured into base_ml; a glass that was sipped from
	// has less base, so its dose is taken to that.
	doseML := func(c Content) float64 { return c.DoseMLPer100ML * t.BaseML / 100 }
	for _, g := range p.Glasses {
		question.DosesML = append(question.DosesML, doseML(g.Content))
	}
	for _, e := range p.Log {
		if e.Kind == Measuring && e.DoseMLPer100ML > 0 {
			question.Measured = append(question.Measured, calc.Measured{DoseML: doseML(e.Content), Wine: e.Measurement.Wine("glass " + e.Glass)})
		}
	}
	return question, true
}
