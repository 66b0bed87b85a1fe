package record

import (
	"fmt"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// leastCheckML is how much blend a final check wants: enough that what the tools
// are off by no longer counts. A judgement of the trade, no source.
const leastCheckML = 250

// UndoBody takes an entry of the log back. Nothing is deleted.
type UndoBody struct {
	No  int      `json:"entry" minimum:"1" doc:"Number of the entry that is taken back; of an undo, which makes the entry before it stand again."`
	Why string   `json:"why,omitempty" maxLength:"1000" doc:"Why."`
	By  string   `json:"by,omitempty" maxLength:"200" doc:"Who takes it back."`
	At  *Instant `json:"at,omitempty" doc:"When, where that is not when it is recorded (RFC 3339, or a date)."`
	Keyed
}

// Entry is the entry of the log that b is.
func (b UndoBody) Entry() LogEntry {
	return LogEntry{Kind: Undo, Undoes: b.No, Why: b.Why, Said: Said{Who: b.By, At: b.At}, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b UndoBody) Check(f *calc.Faults) { Said{At: b.At}.check(f) }

// NoteBody is what was noted of a glass.
type NoteBody struct {
	Glass string   `json:"glass" maxLength:"100" doc:"Label of the glass."`
	Note  string   `json:"note,omitempty" maxLength:"2000" doc:"What was noted."`
	Score *float64 `json:"score,omitempty" minimum:"0" maximum:"100" doc:"A score, 0 to 100."`
	Scale string   `json:"scale,omitempty" maxLength:"200" doc:"What the score is of, such as liking, 0 to 10."`
	At    *Instant `json:"at,omitempty" doc:"When, where that is not when it is recorded (RFC 3339, or a date)."`
	Who   string   `json:"who,omitempty" maxLength:"200" doc:"Who noted it."`
	Keyed
}

// Entry is the entry of the log that b is.
func (b NoteBody) Entry() LogEntry {
	return LogEntry{Kind: Noting, Glass: b.Glass, Note: b.Note, Score: b.Score, Scale: b.Scale, Said: Said{Who: b.Who, At: b.At}, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b NoteBody) Check(f *calc.Faults) {
	Said{At: b.At}.check(f)
	switch {
	case strings.TrimSpace(b.Note) == "" && b.Score == nil:
		f.Addf("", nil, "there is nothing noted: give a \"note\", a \"score\", or both")
	case b.Score == nil && b.Scale != "":
		f.Addf("/scale", b.Scale, "a scale goes with a score: give the \"score\" too")
	}
}

// ChoiceBody is the dose that was chosen, by its glass or as a number.
type ChoiceBody struct {
	Glass   string   `json:"glass,omitempty" maxLength:"100" doc:"Label of the glass whose dose is chosen."`
	Dose    *float64 `json:"dose_ml_per_100ml,omitempty" minimum:"0" maximum:"1000" doc:"Instead of a glass: the dose, in mL per 100 mL of base."`
	Reasons string   `json:"reasons" minLength:"1" maxLength:"2000" doc:"Why this one."`
	At      *Instant `json:"at,omitempty" doc:"When, where that is not when it is recorded (RFC 3339, or a date)."`
	Who     string   `json:"who,omitempty" maxLength:"200" doc:"Who chose."`
	Keyed
}

// TransformSchema documents that a glass or a dose is wanted.
func (ChoiceBody) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"glass"}, []string{"dose_ml_per_100ml"})
}

// Entry is the entry of the log that b is.
func (b ChoiceBody) Entry() LogEntry {
	return LogEntry{Kind: Choosing, Glass: b.Glass, ChosenDose: b.Dose, Reasons: b.Reasons, Said: Said{Who: b.Who, At: b.At}, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b ChoiceBody) Check(f *calc.Faults) {
	Said{At: b.At}.check(f)
	if (b.Glass == "") == (b.Dose == nil) {
		f.Addf("", nil, "give the \"glass\" whose dose is chosen, or the dose as \"dose_ml_per_100ml\": one of the two")
	}
	if strings.TrimSpace(b.Reasons) == "" {
		f.Addf("/reasons", nil, "say why this dose was chosen")
	}
}

// LookedAgain is what a blend looked like after a night in the cold.
type LookedAgain struct {
	At    *Instant `json:"at,omitempty" doc:"When (RFC 3339, or a date); when it is recorded where left out."`
	Clear bool     `json:"clear" doc:"Whether it had stayed clear: no crystals, no haze."`
	Note  string   `json:"note,omitempty" maxLength:"2000" doc:"What was seen."`
}

// FinalCheckBody is the chosen dose, poured fresh and once.
type FinalCheckBody struct {
	VolumeML *float64 `json:"volume_ml,omitempty" exclusiveMinimum:"0" maximum:"100000" doc:"Blend that was poured, in mL: 250 or more. Left out where only looked_again is added to a check that was made before."`
	Measurement
	Circumstances
	LookedAgain *LookedAgain `json:"looked_again,omitempty" doc:"What it looked like after a night in the cold: two wines that are stable apart can throw crystals or a haze together."`
	At          *Instant     `json:"at,omitempty" doc:"When it was poured, where that is not when it is recorded (RFC 3339, or a date)."`
	Who         string       `json:"who,omitempty" maxLength:"200" doc:"Who poured it."`
	Tool        string       `json:"tool,omitempty" maxLength:"200" doc:"What it was measured with."`
	Keyed
}

// Entry is the entry of the log that b is.
func (b FinalCheckBody) Entry() LogEntry {
	return LogEntry{
		Kind: Checking, VolumeML: b.VolumeML, Measurement: b.Measurement, Circumstances: b.Circumstances, LookedAgain: b.LookedAgain,
		Said: Said{At: b.At, Who: b.Who, Tool: b.Tool}, Keyed: b.Keyed,
	}
}

// Check implements calc.Request.
func (b FinalCheckBody) Check(f *calc.Faults) {
	Said{At: b.At}.check(f)
	b.Circumstances.check(f)
	if b.given() > 0 {
		b.Measurement.check(f)
	} else {
		b.withoutReading(f)
	}
	if b.LookedAgain != nil {
		if at := b.LookedAgain.At; at != nil && at.IsZero() {
			f.Addf("/looked_again/at", nil, "this is no time: want 2026-11-26T09:00:00Z, with an offset such as +01:00, or a date such as 2026-11-26, from 1900 on")
		}
	} else if b.VolumeML == nil {
		f.Addf("/volume_ml", nil, "how much of the blend was poured? %d mL or more; or give \"looked_again\" for a check that was made before", leastCheckML)
	}
}

// FinalCheck is what has become of the final check of the chosen dose.
type FinalCheck struct {
	Entries []int   `json:"entries" doc:"Numbers of the entries that it is made of."`
	Choice  int     `json:"choice" doc:"Number of the entry that chose the dose."`
	Volume  float64 `json:"volume_ml" doc:"Blend that was poured, in mL."`
	Dose    float64 `json:"dose_ml_per_100ml" doc:"The dose that was poured, in mL per 100 mL of base."`
	Measurement
	LookedAgain *LookedAgain `json:"looked_again,omitempty" doc:"What it looked like after a night in the cold; absent until somebody has looked."`
	Overnight   bool         `json:"overnight" doc:"Whether it was looked at again eight hours or more after it was poured."`
	Done        bool         `json:"done" doc:"Whether the check is whole: 250 mL or more, read, and looked at again after a night, or found not to be clear before."`

	poured, looked Instant // when
}

// overnightHours is how long a night in the cold is at least. A judgement, no
// source.
const overnightHours = 8

// note adds an entry of a final check to what is known of it.
func (c *FinalCheck) note(e LogEntry, choice *Logged) *FinalCheck {
	next := FinalCheck{Choice: choice.No, Dose: choice.DoseMLPer100ML}
	if e.VolumeML == nil {
		next = *c
	} else {
		next.Volume, next.poured = *e.VolumeML, e.when()
	}
	next.Entries = append(append([]int{}, next.Entries...), e.No)
	if e.given() > 0 {
		next.Measurement = e.Measurement
	}
	if e.LookedAgain != nil {
		next.LookedAgain, next.looked = e.LookedAgain, e.when()
		if e.LookedAgain.At != nil {
			next.looked = *e.LookedAgain.At
		}
	}
	look := next.LookedAgain
	next.Overnight = look != nil && next.looked.Sub(next.poured.Time).Hours() >= overnightHours
	next.Done = next.Volume >= leastCheckML && next.given() > 0 && (next.Overnight || look != nil && !look.Clear)
	return &next
}

// hoursLater is a time in the words of a bench.
func hoursLater(d time.Duration) string {
	if d < 2*time.Hour {
		return "less than two hours"
	}
	return fmt.Sprintf("%.0f hours", d.Hours())
}

// checkWarnings say what a final check lacks.
func (c *FinalCheck) checkWarnings() []calc.Warning {
	var out []calc.Warning
	add := func(code, format string, args ...any) {
		out = append(out, calc.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if c.Volume < leastCheckML {
		add("small_final_check", "%.5g mL were poured: what the tools are off by still counts. A final check wants %d mL or more; the entry is kept.", c.Volume, leastCheckML)
	}
	if c.given() == 0 {
		add("final_check_not_read", "The final check was not read: read it, and record the check again with its reading.")
	}
	switch {
	case c.LookedAgain == nil:
		add("look_again", "Keep it cold overnight and look again: two wines that are stable apart can throw tartrate crystals or a protein haze together. Then record what was seen.")
	case c.LookedAgain.Clear && !c.Overnight:
		add("looked_too_soon", "It was looked at again %s after it was poured: keep it cold overnight, and look once more. What comes out of a blend takes its time.", hoursLater(c.looked.Sub(c.poured.Time)))
	case !c.LookedAgain.Clear:
		add("not_clear", "The blend did not stay clear: do not make it in the cellar before it is known what came out of it, and stabilise and try again.")
	}
	return out
}
