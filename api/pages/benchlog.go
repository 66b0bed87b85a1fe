package pages

import (
	"slices"

	"pourpath/api/bench"
	"pourpath/api/record"
)

// logRow is one entry of the log, in words.
type logRow struct {
	No       int
	Kind     record.EntryKind
	Glass    string
	ML       digits
	Total    digits // of pours into the glass, after this one
	Why      string
	At       moment
	Who      string
	Tool     string
	Undoes   int
	UndoneBy int
	Note     string
	Score    digits
	Scale    string
	Reasons  string
	Looked   bool // a final check was looked at again
	Clear    bool // and had stayed clear
	Warnings []english
	doseWords
}

// entries lists the log, the newest first, and what was done last.
func (v *benchView) entries(t bench.TrialAnswer) {
	all := slices.Concat(t.Entries, t.Measurements, t.Notes, t.Choices, t.FinalChecks)
	slices.SortFunc(all, func(a, b record.Logged) int { return b.No - a.No })
	for _, e := range all {
		v.Log = append(v.Log, logRowOf(e))
	}
	if len(v.Log) > 0 {
		v.Last = &v.Log[0]
	}
	if t.Choice != nil {
		row := logRowOf(*t.Choice)
		v.Choice, v.ChoiceOff = &row, t.ChoiceOffTarget()
	}
}

func logRowOf(e record.Logged) logRow {
	row := logRow{
		No: e.No, Kind: e.Kind, Glass: e.Glass, Total: plainML(e.PouredTotalML), Why: e.Why, Who: e.Who, Tool: e.Tool,
		Undoes: e.Undoes, UndoneBy: e.UndoneBy, Note: e.Note, Scale: e.Scale, Reasons: e.Reasons,
		At: momentOf(e.RecordedAt), doseWords: doseWordsOf(e.DoseMLPer100ML, e.AdditionFraction, &e.UDose),
	}
	switch {
	case e.At != nil:
		row.At = momentOf(*e.At)
	case e.TakenAt != nil:
		row.At = momentOf(*e.TakenAt)
	}
	if e.Analyst != "" {
		row.Who = e.Analyst
	}
	if e.VolumeML != nil {
		row.ML = plain(*e.VolumeML)
	}
	if e.Score != nil {
		row.Score = plain(*e.Score)
	}
	if e.LookedAgain != nil {
		row.Looked, row.Clear, row.Note = true, e.LookedAgain.Clear, e.LookedAgain.Note
	}
	for _, w := range e.Warnings {
		row.Warnings = append(row.Warnings, english(w.Message))
	}
	return row
}

// final shows how far the final check has come.
func (v *benchView) final(t bench.TrialAnswer) {
	c := t.FinalCheck
	if c == nil {
		return
	}
	view := checkView{VolumeML: plainML(c.Volume), Done: c.Done, Read: c.Colour != nil, Looked: c.LookedAgain != nil}
	if c.LookedAgain != nil {
		view.Clear, view.LookedAgain = c.LookedAgain.Clear, c.LookedAgain.Note
	}
	if c.Difference != nil && c.Difference.DeltaE00 != nil {
		view.DeltaE = fixed(*c.Difference.DeltaE00, 1)
	}
	v.Check = &view
}
