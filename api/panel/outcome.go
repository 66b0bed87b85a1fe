package panel

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour"
	sensory "pourpath/colour/panel"
)

// Outcome is what the judges of a closed panel say together. It is computed from the
// stored answers each time; nothing of it is stored.
type Outcome struct {
	PanelID    string                 `json:"panel_id" doc:"Identifier of the panel."`
	TrialID    string                 `json:"trial_id" doc:"Identifier of the trial."`
	Name       string                 `json:"name,omitempty" doc:"What the panel is called."`
	Question   string                 `json:"question" doc:"What was asked."`
	Answer     record.PanelAnswerKind `json:"answer" enum:"ranks,scores" doc:"How it was answered."`
	Most       record.PanelMost       `json:"most" enum:"preferred,deepest,closest" doc:"What rank 1, or the highest score, stands for."`
	Scale      *record.PanelScale     `json:"scale,omitempty" doc:"Of scores: the ends of the scale."`
	OpenedAt   record.Instant         `json:"opened_at" doc:"When the panel was opened, and the doses were copied."`
	ClosedAt   record.Instant         `json:"closed_at" doc:"When the session was closed."`
	Level      float64                `json:"level" doc:"The risk at which each test is judged, 0.05: of saying that there is a difference where there is none."`
	Judges     int                    `json:"judges" doc:"How many judges count."`
	Without    []string               `json:"without" doc:"Names of the judges who were left out, as they had not handed in."`
	Glasses    []OutcomeGlass         `json:"glasses" doc:"The glasses in the order of the panel."`
	Difference OutcomeTest            `json:"difference" doc:"Whether the glasses differ at all."`
	Trend      *OutcomeTrend          `json:"trend,omitempty" doc:"Whether the answers rise or fall along the dose (Page's test); absent where all doses are the same."`
	Agreement  *float64               `json:"agreement,omitempty" minimum:"0" maximum:"1" doc:"Kendall's W, corrected for ties: 0 where judges do not agree at all, 1 where all give one order. Absent where glasses were not equally often with the judges."`
	LeastDiff  *float64               `json:"least_difference,omitempty" doc:"Least significant difference of two rank sums; absent where it is not one number for all pairs."`
	Pairs      []OutcomePair          `json:"pairs" doc:"Each two glasses once."`
	Preference *OutcomePreference     `json:"preference,omitempty" doc:"How the answers go along the dose; absent where all doses are the same."`
	Power      OutcomePower           `json:"power" doc:"What so few judges could not have found."`
	Answers    []OutcomeAnswers       `json:"answers" doc:"The answers that stand, judge by judge."`
	Warnings   []calc.Warning         `json:"warnings" doc:"What must be known of the result."`

	result sensory.Result
	trial  record.Trial // as it is by now
}

// OutcomeInterval is an estimate with its interval.
type OutcomeInterval struct {
	Value float64 `json:"value" doc:"The estimate."`
	Low   float64 `json:"low" doc:"Lower end of its interval at 1 - level."`
	High  float64 `json:"high" doc:"Upper end."`
}

// OutcomeGlass is what the judges say of one glass.
type OutcomeGlass struct {
	record.PanelGlass
	Answers  int              `json:"answers" doc:"How many judges answered for it."`
	RankSum  float64          `json:"rank_sum" doc:"Sum of its ranks within each judge's glasses, 1 for the first, the mean of the places for glasses alike. It compares glasses only where answers are the same."`
	MeanRank float64          `json:"mean_rank" doc:"rank_sum by answers."`
	Share    OutcomeInterval  `json:"share" doc:"The share of the other glasses above which judges put this one, 0 to 1; 0.5 is neither. Glasses alike count half."`
	Score    *OutcomeInterval `json:"score,omitempty" doc:"Of scores: their mean, within the scale."`
}

// OutcomeTest is a test of whether the glasses differ at all.
type OutcomeTest struct {
	Test         string  `json:"test" enum:"friedman,durbin,skillings_mack" doc:"Friedman's where each judge had each glass, Durbin's in balanced incomplete blocks, else Skillings and Mack's. Corrected for ties."`
	Statistic    float64 `json:"statistic" doc:"Its chi-square."`
	Degrees      int     `json:"degrees_of_freedom" doc:"Its degrees of freedom."`
	P            float64 `json:"p" minimum:"0" maximum:"1" doc:"How often chance alone gives as much or more; what the test is judged by."`
	By           string  `json:"p_by" enum:"exact,simulation" doc:"Whether p counts every order that the judges could have given, or draws 20,000 of them from a fixed seed."`
	PApproximate float64 `json:"p_approximate" minimum:"0" maximum:"1" doc:"p by chi-square."`
	Found        bool    `json:"found" doc:"Whether p is at or below the level."`
}

// OutcomeTrend is Page's test along the dose.
type OutcomeTrend struct {
	L            float64 `json:"l" doc:"Page's L, in which ranks grow with preference."`
	Expected     float64 `json:"expected_l" doc:"Its mean without any preference."`
	SD           float64 `json:"sd_l" doc:"Its standard deviation then."`
	Z            float64 `json:"z" doc:"(L - expected) / sd: above 0 where more of the addition is put first."`
	P            float64 `json:"p" minimum:"0" maximum:"1" doc:"Two-sided; what the test is judged by."`
	PMore        float64 `json:"p_more" minimum:"0" maximum:"1" doc:"One-sided: that the answers rise with the dose."`
	PLess        float64 `json:"p_less" minimum:"0" maximum:"1" doc:"One-sided: that they fall."`
	By           string  `json:"p_by" enum:"exact,simulation" doc:"How p was found."`
	PApproximate float64 `json:"p_approximate" minimum:"0" maximum:"1" doc:"Two-sided, by the normal distribution."`
	Found        bool    `json:"found" doc:"Whether p is at or below the level."`
}

// OutcomePair compares two glasses.
type OutcomePair struct {
	Glasses  [2]string `json:"glasses" doc:"Labels of the two glasses."`
	RankSums *float64  `json:"rank_sums_apart" doc:"Rank sum of the first less that of the second: below 0 where the first is put before. null where rank sums do not compare."`
	Z        float64   `json:"z" doc:"The difference in standard deviations without any preference."`
	Differ   bool      `json:"differ" doc:"Whether they differ: the glasses differ at all, and these two by more than the least significant difference."`
}

// OutcomePreference is how the answers go along the dose.
type OutcomePreference struct {
	Curve  []OutcomePoint `json:"curve" doc:"The share along the dose: a parabola through three doses or more, else a line."`
	Best   *OutcomeBest   `json:"best,omitempty" doc:"The dose that is put first, within those that were judged; absent where neither a difference nor a trend was found."`
	Misses []string       `json:"misses" doc:"Labels of the glasses whose share the curve misses by more than its interval. Where there are any, go by the glass that is put first, not by best."`
}

// OutcomePoint is one dose of the curve.
type OutcomePoint struct {
	DoseMLPer100ML float64         `json:"dose_ml_per_100ml" doc:"The dose, in mL per 100 mL of base."`
	Share          OutcomeInterval `json:"share" doc:"The share there."`
}

// OutcomeBest is the dose that is put first.
type OutcomeBest struct {
	DoseMLPer100ML   OutcomeInterval `json:"dose_ml_per_100ml" doc:"The dose, in mL per 100 mL of base."`
	AdditionFraction float64         `json:"addition_fraction" minimum:"0" maximum:"1" doc:"Its volume fraction of the blend."`
	AtLowest         bool            `json:"at_lowest" doc:"Whether the interval reaches the lowest dose that was judged: a lower one may be put before it."`
	AtHighest        bool            `json:"at_highest" doc:"The same of the highest."`
}

// OutcomePower is what such a panel finds.
type OutcomePower struct {
	Probability float64  `json:"probability" doc:"With what probability a preference of the size told here would be found."`
	OneGlass    *float64 `json:"one_glass" doc:"One glass stands out and the others are alike: the share of judges who would put it above any one of them, 0.5 to 1. A weaker preference is likely to be missed; null where not even full agreement is found."`
	Ends        *float64 `json:"ends" doc:"Preference changes evenly along the dose: the share who would put the preferred end above the other; null as above, and where all doses are the same."`
}

// OutcomeAnswers are the answers of one judge that stand.
type OutcomeAnswers struct {
	Name string `json:"name" doc:"What the judge is called."`
	record.PanelAnswer
}

// Outcome computes the result of a panel. The error is record.ErrPanelOpen until it
// is closed, or a *calc.Problem where too few judges handed in.
func (p *Panels) Outcome(ctx context.Context, id string) (Outcome, error) {
	panel, err := p.store.Panel(ctx, id)
	if err != nil {
		return Outcome{}, err
	}
	if panel.Closing == nil {
		return Outcome{}, record.ErrPanelOpen
	}
	trial, err := p.store.Trial(ctx, panel.TrialID)
	if err != nil {
		return Outcome{}, err
	}
	return outcome(panel, trial)
}

func outcome(p record.Panel, trial record.Trial) (Outcome, error) {
	out := Outcome{
		PanelID: p.ID, TrialID: p.TrialID, Name: p.Name, Question: p.Question, Answer: p.Answer, Most: p.Most, Scale: p.Scale,
		OpenedAt: p.CreatedAt, ClosedAt: p.Closing.ClosedAt, Without: []string{}, Pairs: []OutcomePair{}, Warnings: []calc.Warning{}, trial: trial,
	}
	table := out.take(p)
	if n := len(table.Answers); n < sensory.FewestJudges {
		return out, tooFew("%d of %d judges handed in, and a comparison takes %d or more: open another panel on these glasses", n, len(p.Judges), sensory.FewestJudges)
	}
	options := sensory.Options{Kind: sensory.Answer(p.Answer), Ties: p.TiesAllowed(), Level: sensory.DefaultLevel}
	if p.Scale != nil {
		options.From, options.To = p.Scale.From, p.Scale.To
	}
	result, err := sensory.Analyse(table, options)
	var faults colour.FieldErrors
	if errors.As(err, &faults) { // answers were looked at when they came, so what is left is who met whom
		return out, tooFew("%s", faults[0].Message)
	}
	if err != nil {
		return out, err
	}
	out.tell(p, result)
	if f := out.Preference; f != nil && f.Best != nil {
		f.Best.AdditionFraction = out.Fraction(f.Best.DoseMLPer100ML.Value)
	}
	err = out.doubts(p, trial)
	return out, err
}

// Fraction is the addition's volume fraction of the blend at a dose, in mL per 100 mL of
// base.
func (o Outcome) Fraction(dose float64) float64 { return o.trial.Fraction(dose) }

// sameShare is how far two computed shares may be apart that are one.
const sameShare = 1e-9

// First are the glasses that are put above most others, several where they are alike;
// none where neither a difference nor a trend was found.
func (o Outcome) First() (first []OutcomeGlass) {
	if !o.Difference.Found && (o.Trend == nil || !o.Trend.Found) {
		return nil
	}
	most := 0.0
	for _, g := range o.Glasses {
		most = max(most, g.Share.Value)
	}
	for _, g := range o.Glasses {
		if most-g.Share.Value <= sameShare {
			first = append(first, g)
		}
	}
	return first
}

func tooFew(format string, args ...any) error {
	return &calc.Problem{Type: calc.TooFewData, Title: "Too few data for an answer", Status: http.StatusConflict, Detail: fmt.Sprintf(format, args...)}
}

// take makes a table of the answers that stand, with the judges they are of.
func (o *Outcome) take(p record.Panel) sensory.Table {
	table, at := sensory.Table{}, map[string]int{}
	for i, g := range p.Glasses {
		table.Doses, at[g.Code] = append(table.Doses, g.DoseMLPer100ML), i
	}
	for _, j := range p.Judges {
		stands, ok := p.Standing(j.ID)
		if !ok {
			o.Without = append(o.Without, j.Name)
			continue
		}
		row := make([]float64, len(p.Glasses))
		for i := range row {
			row[i] = math.NaN()
		}
		for _, a := range stands.Answers {
			if a.Rank != nil {
				row[at[a.Code]] = float64(*a.Rank)
			} else {
				row[at[a.Code]] = *a.Score
			}
		}
		table.Answers = append(table.Answers, row)
		o.Answers = append(o.Answers, OutcomeAnswers{Name: j.Name, PanelAnswer: stands})
	}
	return table
}

// tell puts what was found into the words of the interface.
func (o *Outcome) tell(p record.Panel, r sensory.Result) {
	o.Level, o.Judges, o.Agreement, o.LeastDiff = r.Level, r.Judges, r.Agreement, r.LeastDifference
	o.Power, o.result = OutcomePower(r.Power), r
	for i, g := range r.Glasses {
		one := OutcomeGlass{PanelGlass: p.Glasses[i], Answers: g.Answers, RankSum: g.RankSum, MeanRank: g.MeanRank, Share: OutcomeInterval(g.Share)}
		if g.Score != nil {
			score := OutcomeInterval(*g.Score)
			one.Score = &score
		}
		o.Glasses = append(o.Glasses, one)
	}
	d := r.Difference
	o.Difference = OutcomeTest{Test: d.Name, Statistic: d.Statistic, Degrees: d.Degrees, P: d.P, By: d.By, PApproximate: d.PApproximate, Found: d.Found}
	if t := r.Trend; t != nil {
		o.Trend = &OutcomeTrend{
			L: t.L, Expected: t.Expected, SD: t.SD, Z: t.Z, P: t.P, PMore: t.PMore, PLess: t.PLess, By: t.By, PApproximate: t.PApproximate, Found: t.Found,
		}
	}
	for _, pair := range r.Pairs {
		o.Pairs = append(o.Pairs, OutcomePair{
			Glasses: [2]string{p.Glasses[pair.A].Glass, p.Glasses[pair.B].Glass}, RankSums: pair.RankSums, Z: pair.Z, Differ: pair.Differ,
		})
	}
	if f := r.Preference; f != nil {
		o.Preference = &OutcomePreference{Curve: make([]OutcomePoint, len(f.Curve)), Misses: []string{}}
		for i, at := range f.Curve {
			o.Preference.Curve[i] = OutcomePoint{DoseMLPer100ML: at.DoseMLPer100ML, Share: OutcomeInterval(at.Share)}
		}
		for _, g := range f.Misses {
			o.Preference.Misses = append(o.Preference.Misses, p.Glasses[g].Glass)
		}
		if f.Best != nil {
			o.Preference.Best = &OutcomeBest{DoseMLPer100ML: OutcomeInterval(*f.Best), AtLowest: f.AtLowest, AtHighest: f.AtHighest}
		}
	}
	for _, w := range r.Warnings {
		o.Warnings = append(o.Warnings, calc.Warning{Code: w.Code, Message: w.Message})
	}
}

// doubts adds what became of glasses and answers that the result rests on.
func (o *Outcome) doubts(p record.Panel, trial record.Trial) error {
	warn := func(code, format string, args ...any) {
		o.Warnings = append(o.Warnings, calc.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if len(o.Without) > 0 {
		warn("judges_without", "%d of %d judges had not handed in when the session was closed, and are left out: %s.", len(o.Without), len(p.Judges), strings.Join(o.Without, ", "))
	}
	corrected := map[string]bool{}
	for _, a := range p.Answers {
		if j, ok := p.Judge(a.JudgeID); ok && a.AfterClosing {
			corrected[j.Name] = true
		}
	}
	for _, j := range p.Judges {
		if corrected[j.Name] {
			warn("corrected_after_closing", "The answers of %s were corrected after the codes were known. What stood before is kept.", j.Name)
		}
	}
	changed, err := poured(p, trial)
	if len(changed) > 0 {
		warn("poured_while_open", "The trial's log has pours while the session was open, into %s. The result is of the doses when it was opened: judges who came later may have seen others.", strings.Join(changed, ", "))
	}
	return err
}

// sameDose is how far two computed doses may be apart that are one.
const sameDose = 1e-9

// poured are the glasses whose dose was another at the end of the session than when
// the panel was opened.
func poured(p record.Panel, trial record.Trial) (glasses []string, err error) {
	log := trial.Log
	for i, e := range log {
		if e.RecordedAt.After(p.Closing.ClosedAt.Time) {
			trial.Log = log[:i]
			break
		}
	}
	progress, err := trial.Progress()
	if err != nil {
		return nil, err
	}
	now := map[string]float64{}
	for _, g := range progress.Glasses {
		now[g.Glass] = g.DoseMLPer100ML
	}
	for _, g := range p.Glasses {
		if math.Abs(now[g.Glass]-g.DoseMLPer100ML) > sameDose*(1+g.DoseMLPer100ML) {
			glasses = append(glasses, g.Glass)
		}
	}
	return glasses, nil
}
