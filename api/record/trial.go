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
	Held     []TrialHeld  `json:"held,omitempty" maxItems:"6" doc:"Further wines that are in the base of every glass before the addition is poured: a second addition at a fixed dose."`
	Tools    []calc.Tool  `json:"tools,omitempty" maxItems:"50" doc:"Measuring tools at hand. A pour that names one is held against it, and its tolerance is part of the dose's uncertainty."`
	Samples  []float64    `json:"sample_volumes_ml,omitempty" maxItems:"20" doc:"Volumes of base per glass that would do, in mL, beside base_ml: a plan says which of them the tools are good enough for."`
	Visible  *float64     `json:"visible_step,omitempty" minimum:"0.01" maximum:"100" doc:"The ΔE00 that counts as visible here. 1 where left out: two samples side by side."`
}

// TrialHeld is a further wine in the base of every glass.
type TrialHeld struct {
	Wine           TrialWine `json:"wine" doc:"The wine."`
	DoseMLPer100ML float64   `json:"dose_ml_per_100ml" exclusiveMinimum:"0" maximum:"1000" doc:"How much of it there is, in mL per 100 mL of base."`
}

// heldPer1 is how much further wine there is for each mL of base.
func (t TrialFields) heldPer1() (sum float64) {
	for _, h := range t.Held {
		sum += h.DoseMLPer100ML / 100
	}
	return sum
}

// GlassBaseML is what a glass holds before anything is added: base_ml of base and
// what is held in it, in mL.
func (t TrialFields) GlassBaseML() float64 { return t.BaseML * (1 + t.heldPer1()) }

// Fraction is the addition's volume fraction of a blend at a dose, in mL per 100 mL
// of base.
func (t TrialFields) Fraction(dose float64) float64 {
	return dose / 100 / (1 + t.heldPer1() + dose/100)
}

// maxGlassML is the most that a glass takes before anything is added: see
// ladder.NewGlass.
const maxGlassML = 100000

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
	b.checkBench(f)
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

// checkBench looks at what is optional of a bench.
func (b TrialBody) checkBench(f *calc.Faults) {
	for i, h := range b.Held {
		place := fmt.Sprintf("/held/%d", i)
		h.Wine.check(place+"/wine", f)
		if !(h.DoseMLPer100ML > 0) {
			f.Addf(place+"/dose_ml_per_100ml", h.DoseMLPer100ML, "the dose of a wine that is held in the base is above 0 mL per 100 mL; leave the wine out where there is none of it")
		}
	}
	if ml := b.GlassBaseML(); b.BaseML <= maxGlassML && ml > maxGlassML {
		f.Addf("/held", nil, "%g mL of base with what is held in it are %.6g mL, and a glass takes at most %d: take less base, or check the doses", b.BaseML, ml, maxGlassML)
	}
	calc.WholeTools("/tools", b.Tools, f)
	for i, ml := range b.Samples {
		if !(ml > 0 && ml <= 100000) {
			f.Addf(fmt.Sprintf("/sample_volumes_ml/%d", i), ml, "the base in a glass is above 0 and at most 100000 mL; 100 mL is usual")
		}
	}
	if v := b.Visible; v != nil && !(*v > 0) {
		f.Addf("/visible_step", *v, "the visible step is a ΔE00 above 0; 1 is usual side by side")
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

// Missing names the wine that a ladder cannot do without and that nothing was read
// of; empty where there is none. The addition need not have been read once a
// glass was.
func (t Trial) Missing(p Progress) string {
	if !t.Base.Known() {
		return "base"
	}
	for _, h := range t.Held {
		if !h.Wine.Known() {
			return "wine that is held in the base"
		}
	}
	if !t.Addition.Known() && len(p.Rungs()) == 0 {
		return "addition"
	}
	return ""
}

// Ladder is the trial as a question for a ladder: one rung a glass at the dose
// that it holds now, recalibrated by what was measured at the dose that the
// glass held then. ok is false where a wine is missing, so that nothing can be
// computed.
func (t Trial) Ladder(p Progress) (question calc.LadderRequest, ok bool) {
	if t.Missing(p) != "" {
		return question, false
	}
	question = calc.LadderRequest{Base: t.Base.Wine(), Addition: calc.Dosed{Wine: t.Addition.Wine()}, BaseML: t.BaseML, View: t.View, Target: t.Target}
	for _, h := range t.Held {
		question.Held = append(question.Held, calc.Held{Wine: h.Wine.Wine(), DoseMLPer100ML: h.DoseMLPer100ML})
	}
	// A rung's dose is told as poured into base_ml; a glass that was sipped from
	// has less base, so its dose is taken to that.
	doseML := func(c Content) float64 { return c.DoseMLPer100ML * t.BaseML / 100 }
	for _, g := range p.Glasses {
		question.DosesML = append(question.DosesML, doseML(g.Content))
	}
	for _, e := range p.Rungs() {
		question.Measured = append(question.Measured, calc.Measured{DoseML: doseML(e.Content), Wine: e.Measurement.Wine("glass " + e.Glass), UDose: e.uDose})
	}
	return question, true
}

// Rungs are the measurements that a ladder learns from, in the order of the log:
// those that stand, of glasses with some addition.
func (p Progress) Rungs() (rungs []Logged) {
	for _, e := range p.Log {
		if e.Kind == Measuring && e.UndoneBy == 0 && e.DoseMLPer100ML > 0 {
			rungs = append(rungs, e)
		}
	}
	return rungs
}
