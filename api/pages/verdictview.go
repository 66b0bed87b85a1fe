package pages

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/reports"
)

// verdictShown is a verdict with all that it says.
type verdictShown struct {
	ID, SampleID        string
	Mark                verdictMark
	Stage, Bottle       string
	SampleAt, At        moment
	SpecID, SpecName    string
	Version             int
	Rule                said
	Guarded, BeyondWarn bool
	Never               bool
	RejectionRisk       digits
	Picture             drawn
	Save                savedPicture
	Parts               []partRow
	Causes              []causeShown
	Settle              remedies
	Warnings            []english
	Colour              figures
	Conditions          said
	Reference           figures // its colour, for the swatch beside the sample's
	HasReference        bool
	DeltaE              digits
	Program             string
}

// partRow is a part of a specification with the sample's place in it.
type partRow struct {
	Quantity                 string // key of its name
	Weights, Unit            string // empty where it has none
	Value, Least, Most, Warn digits
	Within                   bool
	Beyond                   bool // a warning limit
	Probability              digits
}

func (s *site) verdictShownOf(ctx context.Context, lot record.Lot, v record.Verdict) (*verdictShown, error) {
	spec, err := s.config.Records.SpecVersion(ctx, v.Spec, v.SpecVersion)
	if err != nil {
		return nil, err
	}
	sample, err := s.config.Records.Sample(ctx, v.SampleID)
	if err != nil {
		return nil, err
	}
	words := &saying{catalogue: s.words}
	out := &verdictShown{
		ID: v.VerdictID, SampleID: v.SampleID, Mark: markOf(v.Verdict, v.Probability), Stage: string(sample.Stage), Bottle: sample.Bottle,
		SampleAt: momentOf(sample.At()), At: momentOf(v.DecidedAt), SpecID: spec.ID, SpecName: specName(spec), Version: spec.Version, Rule: words.rule(spec),
		Guarded: spec.Rule == "guarded", BeyondWarn: v.BeyondWarning, Never: v.CanNeverPass, Causes: causesShown(v.Causes), Settle: remediesShown(v.WouldSettle, v.Probability),
		Colour: figuresOf(&v.Colour), Conditions: words.view(spec.View), Program: v.Program,
	}
	if words.err != nil {
		return nil, words.err
	}
	if v.RejectionRisk != nil {
		out.RejectionRisk = digits(reports.Probability(*v.RejectionRisk))
	}
	if c := referenceColour(spec); c != nil {
		out.Reference, out.HasReference = figuresOf(c), true
	}
	if d := v.Difference; d != nil && d.DeltaE00 != nil {
		out.DeltaE = fixed(*d.DeltaE00, 2)
	}
	for _, w := range slices.Concat(v.Later, v.Warnings) {
		out.Warnings = append(out.Warnings, english(w.Message))
	}
	marks, without := release.Parts(v.Results, &s.papers.Figures)
	for _, one := range without {
		out.Warnings = append(out.Warnings, english(one))
	}
	out.parts(v.Results, marks)
	if len(marks) == 0 {
		return out, nil
	}
	drawing, err := s.toleranceFigure(lot, v, spec, marks).Drawing()
	if err != nil {
		return nil, err
	}
	out.Save = savedAt("/lots/"+lot.ID+"/tolerance", url.Values{"verdict": {v.VerdictID}}, toleranceFile(lot))
	var svg bytes.Buffer
	err = drawing.WriteInlineSVG(&svg)
	out.Picture = drawn(svg.String())
	return out, err
}

// toleranceFile is the name of the files that a lot's place in its limits is saved as.
func toleranceFile(lot record.Lot) string { return fileName("tolerance", lot.Name) }

// toleranceFigure is where a sample lies in the limits of its specification.
func (s *site) toleranceFigure(lot record.Lot, v record.Verdict, spec record.Spec, marks []reports.PartMark) reports.ToleranceFigure {
	view := spec.View.Core()
	t := &s.papers.Figures
	return reports.ToleranceFigure{
		Title: lot.Name, Parts: marks, Version: "Pourpath " + s.config.Version, Texts: t,
		Finding: s.words.Texts["verdict_word."+v.Verdict],
		Conditions: reports.Fill(t.Tolerance.Against, "illuminant", string(view.Illuminant), "observer", string(view.Observer),
			"mm", t.Plain(view.DepthMM, 3), "spec", specName(spec), "version", t.Plain(float64(spec.Version), 0)),
	}
}

// lotPicture draws the picture of one verdict alone.
func (s *site) lotPicture(r *http.Request) (document, error) {
	id, verdict := r.PathValue("id"), r.URL.Query().Get("verdict")
	if uuid.Validate(id) != nil || uuid.Validate(verdict) != nil {
		return document{}, errNothingHere
	}
	v, err := s.config.Records.Verdict(r.Context(), verdict)
	if err != nil {
		return document{}, err
	}
	lot, err := s.config.Records.Lot(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	spec, err := s.config.Records.SpecVersion(r.Context(), v.Spec, v.SpecVersion)
	if err != nil {
		return document{}, err
	}
	marks, _ := release.Parts(v.Results, &s.papers.Figures)
	if v.LotID != id || len(marks) == 0 {
		return document{}, errNothingHere
	}
	return picturedOf(r, s.toleranceFigure(lot, v, spec, marks), nil, toleranceFile(lot))
}

// codeWords are the interface's names as people call what they name.
var codeWords = strings.NewReplacer("delta_e_00", "ΔE00", "delta_e_ab", "ΔE*ab", "hotelling_t2", "T²", "yellow_percent", "the yellow share", "red_percent", "the red share",
	"blue_percent", "the blue share", "first_bottles", "first bottles")

// exactTimes are times as the records write them.
var exactTimes = regexp.MustCompile(`T(\d\d:\d\d):\d\d\.\d{6}Z`)

// plainWords is a message of the interface without its names and exact times.
func plainWords(message string) string {
	message = exactTimes.ReplaceAllString(strings.ReplaceAll(message, "T00:00:00.000000Z", ""), " $1 UTC")
	return codeWords.Replace(message)
}

// parts are the table behind the picture; a part without a value stands in it too.
func (v *verdictShown) parts(results []calc.CheckResult, marks []reports.PartMark) {
	next := 0
	for _, r := range results {
		row := partRow{Within: r.Within, Beyond: r.BeyondWarning, Value: "–", Quantity: r.Quantity}
		if w := r.Weights; w != nil {
			row.Weights = fmt.Sprintf("%g:%g:%g", w.KL, w.KC, w.KH)
		}
		if r.Probability != nil {
			row.Probability = digits(reports.Probability(*r.Probability))
		}
		if r.Value == nil {
			v.Parts = append(v.Parts, row)
			continue
		}
		m := marks[next]
		next++
		row.Unit = m.Unit
		decimals := 2
		if m.U > 0 {
			decimals = decimalsFor(m.U, 3)
		}
		row.Value = withU(r.Value, r.Uncertainty, decimals)
		row.Least, row.Most = openSide(m.Lower), openSide(m.Upper)
		if m.Warning != nil {
			row.Warn = openSide(m.Warning[0]) + " … " + openSide(m.Warning[1])
		}
		v.Parts = append(v.Parts, row)
	}
}

// openSide is a limit, or a dash where that side is open.
func openSide(x float64) digits {
	if math.IsInf(x, 0) {
		return "–"
	}
	return rounded3(x)
}

// rounded3 is a limit as it was set, without the noise of a sum.
func rounded3(x float64) digits { return plain(math.Round(x*1000) / 1000) }
