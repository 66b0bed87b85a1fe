package sheet

import (
	"io"

	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/reports"
)

// Statement is the statement of conformity of one lot with one version of a
// specification.
type Statement struct {
	// Draft is one that was not issued: it has no place in the register, and Number,
	// Checksum and IssuedBy are not read.
	Draft bool
	// Number is the statement's own in the register, and Checksum the SHA-256 of
	// what it rests on, 64 hexadecimal digits; both required.
	Number, Checksum string
	// Issued is when, as its readers write dates, and IssuedBy who issued it; both
	// required.
	Issued, IssuedBy string
	Note             string   // what else stands on it; may be empty
	Decision         string   // what was decided about the lot; may be empty
	View             cie.View // that all colours hold under
	Conditions       string   // further conditions, a sentence; may be empty
	Version          string   // name and version of the program; required

	Lot        Lot
	Method     string // how the lot was read, a sentence; required
	Instrument Instrument
	Readings   []Reading
	Result     Colour   // of the lot
	Reference  *Named   // nil where nothing is compared
	Spec       SpecFact // the version that it was held against
	// Parts are the limits of the specification with the result's place in each,
	// one or more.
	Parts []reports.PartMark

	Rule        conform.Rule
	MaxRisk     float64 // above 0 and below 0.5; not read under the simple rule
	Verdict     conform.Verdict
	Probability float64  // of conforming to all parts together, 0 to 1; NaN where simple acceptance has none
	Dominant    string   // what adds the most to the uncertainty, in words; may be empty
	Settle      []string // what would settle an open verdict, sentences
	Warnings    []string // sentences

	Plane *reports.LotPlaneFigure // the lot among its predecessors; nil leaves it out
}

// Lot is what was bottled, and what of it was read.
type Lot struct {
	Name    string // required
	Wine    string // what it is; may be empty
	Bottled string // when and where; may be empty
	Sample  string // which bottles, from where in the run; may be empty
	Taken   string // when the sample was read; may be empty
	State   string // SO2, filtration, CO2, acetaldehyde: what changes its colour; may be empty
}

// Named is a colour with its name.
type Named struct {
	Name string // required
	Colour
}

// CheckState is how an instrument stood when a lot was read.
type CheckState string

// The states.
const (
	CheckPassed  CheckState = "passed"
	CheckOverdue CheckState = "overdue"
	CheckFailed  CheckState = "failed"
	CheckUnknown CheckState = "unknown" // no check is recorded
)

// Instrument is what the lot was read with.
type Instrument struct {
	Name    string // required
	State   CheckState
	Checked string // when it was checked last; may be empty
	Due     string // when it is to be checked again; may be empty
	Found   string // what the check found, a sentence; may be empty
}

// Reading is one value that was read.
type Reading struct {
	Sample   string // bottle or replicate; may be empty
	Quantity string // such as "A520"; required
	How      string // cell, dilution; may be empty
	Value    float64
	Decimals int    // as read, 0 to 6
	Note     string // may be empty
}

// SpecFact is the version of a specification.
type SpecFact struct {
	Name, Version string // required
	ValidFrom     string // may be empty
	ValidTo       string // may be empty
	ApprovedBy    string // may be empty
	Reads         string // the reading method that it expects, in words; may be empty
}

// WritePDF writes the statement as Bench.WritePDF does.
func (s Statement) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, s, texts) }

// WriteHTML writes the statement as Bench.WriteHTML does.
func (s Statement) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, s, texts, stylesheet)
}

// Finding is the verdict as a sentence, as the document has it; texts are as in
// WritePDF, and so are the errors.
func (s Statement) Finding(texts *Texts) (string, error) {
	d, err := prepare(s, texts)
	if err != nil {
		return "", err
	}
	return d.Lead, nil
}

func (s Statement) head(t *Texts) Head {
	title := t.fill(t.Statement.Title, "lot", s.Lot.Name, "number", s.Number)
	if s.Draft {
		title = t.fill(t.Statement.DraftTitle, "lot", s.Lot.Name)
	}
	return Head{Trial: title, Date: s.Issued, View: s.View,
		Conditions: s.Conditions, Version: s.Version}
}
