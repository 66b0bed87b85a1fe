package record

import (
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/colour/ladder"
)

// EntryKind is what an entry in a trial's log is about.
type EntryKind string

// The kinds of entry. The store keeps any word, so that later versions can add
// kinds of their own.
const (
	Pour       EntryKind = "pour"
	Withdrawal EntryKind = "withdrawal"
	Measuring  EntryKind = "measurement"
	Undo       EntryKind = "undo"
	Noting     EntryKind = "note"
	Choosing   EntryKind = "choice"
	Checking   EntryKind = "final_check"
)

// Said is what may be said of any pour or withdrawal.
type Said struct {
	At   *Instant `json:"at,omitempty" doc:"When it was done (RFC 3339, or a date), where that is not when it is recorded. The log counts in the order in which it is recorded."`
	Who  string   `json:"who,omitempty" maxLength:"200" doc:"Who did it."`
	Tool string   `json:"tool,omitempty" maxLength:"200" doc:"What it was measured with: the name of one of the trial's tools, or any words."`
	// Fills is 0 for a tool of which nobody counted.
	Fills int `json:"fills,omitempty" minimum:"1" maximum:"20" doc:"In how many fills of the tool, where it was more than one."`
}

func (s Said) check(f *calc.Faults) {
	if s.At != nil && s.At.IsZero() {
		f.Addf("/at", nil, "this is no time: want 2026-11-25T14:30:00Z, with an offset such as +01:00, or a date such as 2026-11-25, from 1900 on")
	}
}

// Keyed lets an entry be sent again when it is not known whether it arrived.
type Keyed struct {
	Key string `json:"key,omitempty" maxLength:"100" doc:"A key of the sender's own, another for each entry: sent again with the same key, the entry counts once and is answered as it was."`
}

// PourBody is addition that was poured into a glass.
type PourBody struct {
	Glass         string   `json:"glass" maxLength:"100" doc:"Label of the glass."`
	VolumeML      float64  `json:"volume_ml" exclusiveMinimum:"0" maximum:"100000" doc:"Addition that was poured, in mL."`
	StatedTotalML *float64 `json:"stated_total_ml,omitempty" minimum:"0" maximum:"100000" doc:"What the person takes for the sum of all pours into that glass, this one included, in mL. It is held against the log."`
	Said
	Keyed
}

// Entry is the entry of the log that b is.
func (b PourBody) Entry() LogEntry {
	return LogEntry{Kind: Pour, Glass: b.Glass, VolumeML: &b.VolumeML, StatedTotalML: b.StatedTotalML, Said: b.Said, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b PourBody) Check(f *calc.Faults) { b.Said.check(f) }

// WithdrawalBody is blend that was taken out of a glass.
type WithdrawalBody struct {
	Glass    string  `json:"glass" maxLength:"100" doc:"Label of the glass."`
	VolumeML float64 `json:"volume_ml" exclusiveMinimum:"0" maximum:"200000" doc:"Blend that was taken out, in mL."`
	Why      string  `json:"why,omitempty" enum:"tasting,reading,other" doc:"What for."`
	Said
	Keyed
}

// Entry is the entry of the log that b is.
func (b WithdrawalBody) Entry() LogEntry {
	return LogEntry{Kind: Withdrawal, Glass: b.Glass, VolumeML: &b.VolumeML, Why: b.Why, Said: b.Said, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b WithdrawalBody) Check(f *calc.Faults) { b.Said.check(f) }

// MeasurementBody is what was read of the blend in a glass.
type MeasurementBody struct {
	Glass string `json:"glass" maxLength:"100" doc:"Label of the glass."`
	Measurement
	Circumstances
	Dosed *float64 `json:"stated_dose_ml_per_100ml,omitempty" minimum:"0" maximum:"1000" doc:"What the person takes for the glass's dose, in mL per 100 mL of base. It is held against the log, whose dose counts."`
	Keyed
}

// TransformSchema documents that exactly one kind of input is wanted.
func (MeasurementBody) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"readings"}, []string{"spectrum"}, []string{"cielab"})
}

// Entry is the entry of the log that b is.
func (b MeasurementBody) Entry() LogEntry {
	return LogEntry{Kind: Measuring, Glass: b.Glass, Measurement: b.Measurement, Circumstances: b.Circumstances, StatedDose: b.Dosed, Keyed: b.Keyed}
}

// Check implements calc.Request.
func (b MeasurementBody) Check(f *calc.Faults) {
	b.Measurement.check(f)
	b.Circumstances.check(f)
}

// EntryOf reads the body of a call as the entry of the log that it is. The error is
// a *calc.Problem.
func EntryOf[B interface {
	calc.Request
	Entry() LogEntry
}](data []byte) (LogEntry, error) {
	body, err := calc.DecodeWhole[B](data)
	if err != nil {
		return LogEntry{}, err
	}
	return body.Entry(), nil
}

// LogEntry is one thing that was done in a trial. It is never changed.
type LogEntry struct {
	ID            string       `json:"id" doc:"Identifier."`
	No            int          `json:"no" doc:"Place in the trial's log, counted from 1."`
	Kind          EntryKind    `json:"kind" enum:"pour,withdrawal,measurement,undo,note,choice,final_check" doc:"What was done."`
	Glass         string       `json:"glass,omitempty" doc:"Label of the glass; absent where the entry is about none."`
	VolumeML      *float64     `json:"volume_ml,omitempty" doc:"What was poured or taken out, in mL; of a final check, the blend that was poured."`
	StatedTotalML *float64     `json:"stated_total_ml,omitempty" doc:"What the person took for the sum of all pours into the glass, in mL."`
	StatedDose    *float64     `json:"stated_dose_ml_per_100ml,omitempty" doc:"What the person took for the dose of a glass that was read, in mL per 100 mL of base."`
	Why           string       `json:"why,omitempty" doc:"What blend was taken out for, or why an entry was undone."`
	Undoes        int          `json:"undoes,omitempty" doc:"Number of the entry that this one takes back."`
	Note          string       `json:"note,omitempty" doc:"What was noted of the glass."`
	Score         *float64     `json:"score,omitempty" doc:"Score that the glass was given."`
	Scale         string       `json:"scale,omitempty" doc:"What the score is of."`
	ChosenDose    *float64     `json:"chosen_dose_ml_per_100ml,omitempty" doc:"Dose that was chosen as a number, in mL per 100 mL of base."`
	Reasons       string       `json:"reasons,omitempty" doc:"Why the dose was chosen."`
	LookedAgain   *LookedAgain `json:"looked_again,omitempty" doc:"What the final check looked like after a night in the cold."`
	Said
	Measurement
	Circumstances
	Keyed
	RecordedAt Instant `json:"recorded_at" doc:"When the record was made."`
}

// when is when the entry was done, as far as it is told.
func (e LogEntry) when() Instant {
	if e.At != nil {
		return *e.At
	}
	return e.RecordedAt
}

// Content is what is in a glass.
type Content struct {
	PouredTotalML    float64 `json:"poured_total_ml" doc:"Sum of all pours into the glass, in mL, whatever was taken out."`
	BaseInGlassML    float64 `json:"base_in_glass_ml" doc:"Base in the glass, in mL, without what is held in it."`
	HeldInGlassML    float64 `json:"held_in_glass_ml,omitempty" doc:"Further wines that are held in the base, in mL."`
	AdditionInGlass  float64 `json:"addition_in_glass_ml" doc:"Addition in the glass, in mL."`
	DoseMLPer100ML   float64 `json:"dose_ml_per_100ml" doc:"Addition per base in the glass, in mL per 100 mL; of an empty glass, of what was last in it."`
	UDose            float64 `json:"u_dose_ml_per_100ml" minimum:"0" doc:"Standard uncertainty (k = 1) of the dose, from the tools, in mL per 100 mL; 0 for a dose that was chosen as a number."`
	AdditionFraction float64 `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend in the glass."`

	// uDose is the same in two parts; nil where no tool of the trial was used.
	uDose *calc.UDose
}

// GlassState is a glass with what is in it.
type GlassState struct {
	Glass string `json:"glass" doc:"Label of the glass."`
	Content

	filling ladder.Filling
}

// Filling is what is in the glass and how it was measured, where base stands for
// base and what is held in it.
func (g GlassState) Filling() ladder.Filling { return g.filling }

// Logged is an entry of the log with what the glass held after it; of a choice by
// its dose and of a final check, what a fresh glass at that dose holds. Entries
// that were undone are left out of what glasses hold.
type Logged struct {
	LogEntry
	Content
	UndoneBy int            `json:"undone_by,omitempty" doc:"Number of the entry that took this one back: it stays in the log and counts no more."`
	Slips    []Slip         `json:"slips,omitempty" doc:"What may lie behind a stated total that the log contradicts, likeliest first."`
	Warnings []calc.Warning `json:"warnings" doc:"What must be known of the entry, and what is asked. It is kept all the same."`

	// sincePour is, of a measurement, how many minutes after the glass's newest pour
	// it was read by the log's times; nil where they do not tell.
	sincePour *float64
}

// Progress is a trial with what its log has come to.
type Progress struct {
	Glasses    []GlassState
	Log        []Logged
	Choice     *Logged     // the latest that stands
	FinalCheck *FinalCheck // of that choice
}

// named is how a fault names the glasses that there are.
func (t Trial) named() string { return "\"" + strings.Join(t.Glasses, "\", \"") + "\"" }
