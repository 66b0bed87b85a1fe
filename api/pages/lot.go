package pages

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/reports"
)

// lotView is one lot.
type lotView struct {
	frame
	Page      string
	Lot       record.Lot
	Key       string
	Spec      record.Spec
	SpecName  string
	Bottled   moment
	Added     moment
	Archived  moment
	Newest    *verdictView
	Run       record.RunAdvice
	Samples   []sampleRow
	More      bool // there are more samples than are shown
	Verdicts  []verdictRow
	Decisions []decisionRow
	Issued    []issuedRow
	Sample    []formGroup
	Decide    []formGroup
	Judge     []formGroup
	Issue     []formGroup
	Sent      string // which form is shown again
	Faults    []note
}

// verdictView is a verdict with why.
type verdictView struct {
	ID, Verdict, Probability string // Probability is empty where there is none
	Guarded                  bool
	Colour                   figures
	Conditions               calc.Conditions
	Place                    template.HTML // the picture; empty where there is none
	Parts                    []partRow
	Causes, Settle, Warnings []string
	CanNeverPass             bool
	Beyond                   bool // a warning limit
	Of                       moment
}

// partRow is a limit with the sample's place in it.
type partRow struct {
	Quantity, Value, U, Lower, Upper, Probability string
	Within, Beyond                                bool
}

type sampleRow struct {
	ID, Bottle, Verdict, Probability string
	Stage                            record.Stage
	Taken                            moment
	figures
}

type verdictRow struct {
	ID, Verdict, Probability, Spec, Program string
	Version                                 int
	At                                      moment
}

// issuedRow is a statement about the lot.
type issuedRow struct {
	No                int
	Verdict, IssuedBy string
	At                moment
}

type decisionRow struct {
	Decision, By, Reason string
	At                   moment
}

// lot answers with the page of one lot.
func (s *site) lot(r *http.Request) (document, error) { return s.lotAgain(r, "", url.Values{}, nil) }

// lotAgain is the page with a form as it was typed, and what is wrong with it.
func (s *site) lotAgain(r *http.Request, form string, typed url.Values, faults []note) (document, error) {
	ctx, id := r.Context(), r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	lot, err := s.release.Lot(ctx, id)
	if err != nil {
		return document{}, err
	}
	v := lotView{frame: s.frame("lots"), Page: "lots", Lot: lot.Lot, Key: uuid.NewString(), Added: momentOf(lot.CreatedAt), Run: lot.Run, Sent: form, More: lot.Next != ""}
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	if v.Spec, err = s.config.Records.SpecVersion(ctx, lot.Spec, lot.SpecVersion); err != nil {
		return document{}, err
	}
	v.SpecName = specName(v.Spec)
	if lot.BottledAt != nil {
		v.Bottled = momentOf(*lot.BottledAt)
	}
	if lot.ArchivedAt != nil {
		v.Archived = momentOf(*lot.ArchivedAt)
	}
	for _, sample := range slices.Backward(lot.Samples) {
		v.Samples = append(v.Samples, sampleRow{ID: sample.ID, Bottle: sample.Bottle, Verdict: sample.Verdict, Probability: probabilityOf(sample.Probability),
			Stage: sample.Stage, Taken: momentOf(sample.At()), figures: figuresOf(&sample.Colour)})
	}
	if err := v.judged(s, r); err != nil {
		return document{}, err
	}
	if err := v.kept(s, r); err != nil {
		return document{}, err
	}
	of := func(name string) (url.Values, []note) {
		if name == form {
			return typed, faults
		}
		return url.Values{}, nil
	}
	v.forms(of)
	if err := v.judgeForm(s, r, of); err != nil {
		return document{}, err
	}
	return s.render("lot.html", v)
}

// judged fills in the verdicts, the newest one with why.
func (v *lotView) judged(s *site, r *http.Request) error {
	verdicts, err := s.release.Verdicts(r.Context(), v.Lot.ID, record.Page{Limit: leafRows, Newest: true})
	if err != nil || len(verdicts) == 0 {
		return err
	}
	for _, verdict := range verdicts {
		name := v.SpecName
		if verdict.Spec != v.Spec.ID {
			name = verdict.Spec
		}
		v.Verdicts = append(v.Verdicts, verdictRow{ID: verdict.VerdictID, Verdict: verdict.Verdict, Probability: probabilityOf(verdict.Probability),
			Spec: name, Version: verdict.SpecVersion, Program: verdict.Program, At: momentOf(verdict.DecidedAt)})
	}
	v.Newest, err = s.verdictOf(verdicts[0], v.Spec.Rule == "guarded")
	return err
}

// verdictOf is a verdict with the picture of where the lot lies.
func (s *site) verdictOf(verdict record.Verdict, guarded bool) (*verdictView, error) {
	out := &verdictView{ID: verdict.VerdictID, Verdict: verdict.Verdict, Probability: probabilityOf(verdict.Probability), Guarded: guarded,
		Colour: figuresOf(&verdict.Colour), Conditions: verdict.Colour.Conditions, CanNeverPass: verdict.CanNeverPass, Beyond: verdict.BeyondWarning, Of: momentOf(verdict.DecidedAt)}
	parts, without := release.Parts(verdict.Results)
	out.Warnings = without
	for _, w := range slices.Concat(verdict.Later, verdict.Warnings, verdict.Colour.Warnings) {
		out.Warnings = append(out.Warnings, w.Message)
	}
	for _, c := range verdict.Causes {
		out.Causes = append(out.Causes, release.CauseName(c)+" "+strconv.FormatFloat(100*c.Share, 'f', 0, 64)+" %")
	}
	for _, remedy := range verdict.WouldSettle {
		out.Settle = append(out.Settle, release.RemedyText(remedy))
	}
	for _, result := range verdict.Results {
		out.Parts = append(out.Parts, partRowOf(result))
	}
	if len(parts) == 0 {
		return out, nil
	}
	drawing, err := reports.ToleranceFigure{Title: s.words.Texts["word.place"], Parts: parts, Version: s.config.Version}.Drawing()
	if err != nil {
		return nil, err
	}
	var svg bytes.Buffer
	err = drawing.WriteInlineSVG(&svg)
	out.Place = template.HTML(svg.String()) //nolint:gosec // the drawing escapes its texts itself
	return out, err
}

func partRowOf(r calc.CheckResult) partRow {
	digits := 2
	if r.Quantity == "intensity" || r.Quantity == "tint" {
		digits = 3
	}
	limit := func(x *float64) string {
		if x == nil {
			return ""
		}
		return plain(*x)
	}
	out := partRow{Quantity: release.PartName(r), Value: maybe(r.Value, digits), Lower: limit(r.Lower), Upper: limit(r.Upper), Within: r.Within, Beyond: r.BeyondWarning}
	if r.Uncertainty != nil {
		out.U = fixed(*r.Uncertainty, digits)
	}
	if r.Probability != nil {
		out.Probability = probabilityOf(r.Probability)
	}
	return out
}

// probabilityOf is a probability for people, never written as certain.
func probabilityOf(p *float64) string {
	if p == nil {
		return ""
	}
	return reports.Probability(*p)
}

// kept fills in decisions and statements.
func (v *lotView) kept(s *site, r *http.Request) error {
	decisions, err := s.config.Records.DecisionsOf(r.Context(), v.Lot.ID, record.Page{Limit: leafRows, Newest: true})
	if err != nil {
		return err
	}
	for _, d := range decisions {
		at := d.RecordedAt
		if d.At != nil {
			at = *d.At
		}
		v.Decisions = append(v.Decisions, decisionRow{Decision: d.Decision, By: d.By, Reason: d.Reason, At: momentOf(at)})
	}
	issued, err := s.config.Records.Statements(r.Context(), v.Lot.ID, 0, leafRows)
	for _, st := range slices.Backward(issued) {
		row := issuedRow{No: st.No, At: momentOf(st.IssuedAt)}
		var says record.StatementContent
		if err := json.Unmarshal(st.Content, &says); err != nil {
			return fmt.Errorf("pages: statement %d: %w", st.No, err)
		}
		row.Verdict, row.IssuedBy = says.Verdict.Verdict, says.IssuedBy
		v.Issued = append(v.Issued, row)
	}
	return err
}
