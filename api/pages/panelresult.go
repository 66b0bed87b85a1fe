package pages

import (
	"cmp"
	"context"
	"errors"
	"math"
	"net/http"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/colour/cie"
	sensory "pourpath/colour/panel"
)

// panelResult is what the judges of a closed panel say together.
type panelResult struct {
	Judges    int
	Best      *bestDose
	Test      string // its name, as the interface has it
	Found     bool
	Chi2, P   digits
	Degrees   int
	By        string
	Trend     *panelTrend
	Agreement digits // empty where it is not defined
	AgreeWord string
	Least     digits // least significant difference of rank sums; empty where it is not one number
	Even      bool   // rank sums compare
	Scored    bool
	Glasses   []resultGlass
	Pairs     []resultPair
	Differ    int // of the pairs
	Of100     int
	Ends      int
	Warnings  []english
	Answers   []judgeSaid
	Remarks   []glassRemark
	Picture   *savedPicture // nil where no colour is known
	View      *cie.View     // of the swatches
	Leads     panelLeads
	Reference string // the glass of the trial that keeps base alone
}

// bestDose is the dose that is put first, with its interval, in both conventions.
type bestDose struct {
	Dose, From, To             digits // mL per 100 mL of base
	Share, ShareFrom, ShareTo  digits // % of the blend
	AtLowest, AtHighest, Whole bool   // Whole: the interval is all that was judged
	Misses                     string // the glasses that the curve misses, so that the dose is not the headline
}

// First are the glasses that are put above most others.
func (r *panelResult) First() (first []resultGlass) {
	for _, g := range r.Glasses {
		if g.First {
			first = append(first, g)
		}
	}
	return first
}

// panelTrend is the trend along the dose.
type panelTrend struct {
	Found, More bool
	L, P        digits
	By          string
}

// resultGlass is a glass with what was said of it.
type resultGlass struct {
	Code, Glass string
	doseWords
	Shown                  cie.Screen
	Answers                int
	RankSum, Mean          digits
	Above, From, To        digits // % of the other glasses that it is put above
	Score, ScoreLo, ScoreH digits
	First                  bool // none is put above more, and that is no chance
	order                  float64
}

// resultPair are two glasses.
type resultPair struct {
	A, B   string
	Apart  digits // of the rank sums
	Z      digits
	Differ bool
}

// judgeSaid is a judge's answers, in the order of the table of glasses.
type judgeSaid struct {
	ID, Name  string
	Values    []digits
	Corrected bool
}

// glassRemark is what a judge wrote of a glass.
type glassRemark struct{ Judge, Glass, Text string }

// result adds what came of a closed panel.
func (v *panelView) result(ctx context.Context, s *site, p panel.Session, t record.Trial) error {
	o, err := s.panel.Outcome(ctx, p.ID)
	if tooFew(err) {
		v.TooFew = english(calc.AsProblem(err).Detail)
		return nil
	}
	if err != nil {
		return err
	}
	r := &panelResult{
		Judges: o.Judges, Test: o.Difference.Test, Found: o.Difference.Found, Chi2: fixed(o.Difference.Statistic, 2), P: probabilityOf(o.Difference.P), Degrees: o.Difference.Degrees, By: o.Difference.By,
		Even: o.LeastDiff != nil, Scored: o.Answer == record.ByScores, Of100: of100(o.Power.OneGlass), Ends: of100(o.Power.Ends),
	}
	if o.LeastDiff != nil {
		r.Least = fixed(*o.LeastDiff, 1)
	}
	if w := o.Agreement; w != nil {
		r.Agreement, r.AgreeWord = fixed(*w, 2), agreementWord(*w)
	}
	if tr := o.Trend; tr != nil {
		r.Trend = &panelTrend{Found: tr.Found, More: tr.Z > 0, L: fixed(tr.L, 1), P: probabilityOf(tr.P), By: tr.By}
	}
	r.best(o)
	seen, err := r.picture(s, p, o)
	if err != nil {
		return err
	}
	r.glasses(o, seen)
	r.pairs(o)
	r.said(o)
	for _, w := range o.Warnings {
		if w.Code != sensory.CodeMissed && w.Code != sensory.CodeCurveMisses { // are said in the page's own words
			r.Warnings = append(r.Warnings, english(w.Message))
		}
	}
	if r.Leads, err = leadsOf(o, t); err != nil {
		return err
	}
	r.Reference = t.Glasses[0]
	v.Result = r
	return nil
}

// agreementWord is the key of the word for Kendall's W. The steps are common practice,
// no source.
func agreementWord(w float64) string {
	switch {
	case w >= 0.7:
		return "largely"
	case w >= 0.3:
		return "partly"
	}
	return "hardly"
}

// probabilityOf is a p with three decimals.
func probabilityOf(p float64) digits {
	if p < 0.001 {
		return "< 0.001"
	}
	return "= " + fixed(p, 3)
}

// best is the preferred dose in both conventions.
func (r *panelResult) best(o panel.Outcome) {
	if o.Preference == nil || o.Preference.Best == nil {
		return
	}
	b := o.Preference.Best
	d := b.DoseMLPer100ML
	decimals := doseDecimals(&[2]float64{d.Low, d.High})
	dose := func(x float64) digits { return fixed(x, decimals) }
	share := func(x float64) digits { return fixed(100*o.Fraction(x), decimals) }
	r.Best = &bestDose{
		Dose: dose(d.Value), From: dose(d.Low), To: dose(d.High), Share: share(d.Value), ShareFrom: share(d.Low), ShareTo: share(d.High),
		AtLowest: b.AtLowest, AtHighest: b.AtHighest, Whole: b.AtLowest && b.AtHighest,
		Misses: strings.Join(o.Preference.Misses, ", "),
	}
}

// picture draws the colour path coloured by preference, where colours are known, and
// gives the swatches of the doses.
func (r *panelResult) picture(s *site, p panel.Session, o panel.Outcome) (map[float64]cie.Screen, error) {
	figure, err := s.panel.FigureOf(o)
	if tooFew(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	saved := savedAt("/panels/"+p.ID+"/preference", nil, s.panelFile(p))
	r.Picture, r.View = &saved, &figure.View
	seen := map[float64]cie.Screen{}
	for _, g := range figure.Glasses {
		seen[g.DoseMLPer100ML] = g.Swatch
	}
	return seen, nil
}

// tooFew reports whether there are too few data for an answer.
func tooFew(err error) bool {
	problem := calc.AsProblem(err)
	return problem != nil && problem.Type == calc.TooFewData
}

// panelFile is the name of the files that a panel's picture is saved as.
func (s *site) panelFile(p panel.Session) string { return fileName("preference", s.panelName(p)) }

// panelPicture draws what the panel prefers.
func (s *site) panelPicture(r *http.Request) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	figure, err := s.panel.Figure(r.Context(), p.ID)
	if tooFew(err) || errors.Is(err, record.ErrPanelOpen) {
		return document{}, errNothingHere
	}
	return picturedOf(r, figure, err, s.panelFile(p))
}

// glasses are the rows of the table, by rising dose.
func (r *panelResult) glasses(o panel.Outcome, seen map[float64]cie.Screen) {
	first := map[string]bool{}
	for _, g := range o.First() {
		first[g.Code] = true
	}
	for _, g := range o.Glasses {
		row := resultGlass{
			Code: g.Code, Glass: g.Glass, doseWords: doseWordsOf(g.DoseMLPer100ML, g.AdditionFraction, &g.UDose), Shown: seen[g.DoseMLPer100ML], Answers: g.Answers,
			RankSum: plain(g.RankSum), Mean: fixed(g.MeanRank, 2), Above: percentOf(g.Share.Value), From: percentOf(g.Share.Low), To: percentOf(g.Share.High), First: first[g.Code], order: g.DoseMLPer100ML,
		}
		if g.Score != nil {
			row.Score, row.ScoreLo, row.ScoreH = fixed(g.Score.Value, 1), fixed(g.Score.Low, 1), fixed(g.Score.High, 1)
		}
		r.Glasses = append(r.Glasses, row)
	}
	slices.SortStableFunc(r.Glasses, func(a, b resultGlass) int { return cmp.Compare(a.order, b.order) })
}

func percentOf(share float64) digits { return fixed(100*share, 0) }

func (r *panelResult) pairs(o panel.Outcome) {
	for _, pair := range o.Pairs {
		row := resultPair{A: pair.Glasses[0], B: pair.Glasses[1], Z: fixed(math.Abs(pair.Z), 2), Differ: pair.Differ}
		if pair.RankSums != nil {
			row.Apart = plain(math.Abs(*pair.RankSums))
		}
		if pair.Differ {
			r.Differ++
		}
		r.Pairs = append(r.Pairs, row)
	}
}

// said is what each judge said, in the order of the table.
func (r *panelResult) said(o panel.Outcome) {
	for _, a := range o.Answers {
		row := judgeSaid{ID: a.JudgeID, Name: a.Name, Corrected: a.Corrects != ""}
		for _, g := range r.Glasses {
			text := digits("–")
			for _, one := range a.Answers {
				switch {
				case one.Code != g.Code:
				case one.Rank != nil:
					text = plain(float64(*one.Rank))
				case one.Score != nil:
					text = plain(*one.Score)
				}
				if one.Code == g.Code && one.Note != "" {
					r.Remarks = append(r.Remarks, glassRemark{a.Name, g.Glass, one.Note})
				}
			}
			row.Values = append(row.Values, text)
		}
		r.Answers = append(r.Answers, row)
	}
}
