package panel

import (
	"cmp"
	"context"
	"errors"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// Labels are the labels for the glasses of a panel, whose name judges do not see; record.ErrNotFound where there is
// none.
func (p *Panels) Labels(ctx context.Context, id string) (sheet.CodeLabels, error) {
	panel, err := p.store.Panel(ctx, id)
	return sheet.CodeLabels{Title: panel.Question, Date: p.today(), Version: p.program(), Judges: seats(panel, nil)}, err
}

// Sheets are the sheets for judges without a phone; of one judge alone where their
// identifier is given. The error is record.ErrNotFound, or a *calc.Problem where no
// judge has it.
func (p *Panels) Sheets(ctx context.Context, id, judgeID string) (sheet.JudgeSheets, error) {
	panel, err := p.store.Panel(ctx, id)
	if err != nil {
		return sheet.JudgeSheets{}, err
	}
	out := sheet.JudgeSheets{PanelAsk: ask(panel.PanelFields), Date: p.today(), Version: p.program()}
	out.Judges = seats(panel, func(j record.PanelJudge) bool { return judgeID == "" || j.ID == judgeID })
	if len(out.Judges) == 0 {
		return out, calc.Refuse(calc.Fault{Message: "judge: no judge of this panel has this identifier", Value: judgeID})
	}
	return out, nil
}

// PouringList is the leader's list of which code is which glass; record.ErrNotFound
// where there is no such panel.
func (p *Panels) PouringList(ctx context.Context, id string) (sheet.PouringList, error) {
	panel, err := p.store.Panel(ctx, id)
	if err != nil {
		return sheet.PouringList{}, err
	}
	trial, err := p.store.Trial(ctx, panel.TrialID)
	if err != nil {
		return sheet.PouringList{}, err
	}
	out := sheet.PouringList{Title: cmp.Or(trial.Name, panel.Name, panel.Question), Date: p.today(), Version: p.program(), Question: panel.Question, PortionML: PortionML, Judges: seats(panel, nil)}
	for _, h := range trial.Held {
		out.HeldPer100 += h.DoseMLPer100ML
	}
	portions := portionsOf(panel.Glasses, servedOf(ordersOf(panel), len(panel.Glasses)))
	for i, g := range panel.Glasses {
		m := portions[i]
		out.Glasses = append(out.Glasses, sheet.PouringRow{Code: g.Code, Glass: g.Glass, Dose: doseOf(g), Judges: m.Judges, BaseML: m.BaseML, AdditionML: m.AdditionML})
	}
	return out, nil
}

func doseOf(g record.PanelGlass) sheet.Dose {
	return sheet.Dose{MLPer100ML: g.DoseMLPer100ML, U: g.UDose}
}

func (p *Panels) today() string { return p.words().Date(p.Now()) }

func (p *Panels) program() string {
	if p.Version == "" {
		return ""
	}
	return "Pourpath " + p.Version
}

// seats are the judges who are asked for, nil for all.
func seats(p record.Panel, wanted func(record.PanelJudge) bool) (list []sheet.PanelJudge) {
	for _, j := range p.Judges {
		if wanted == nil || wanted(j) {
			list = append(list, sheet.PanelJudge{Name: j.Name, Codes: j.Codes})
		}
	}
	return list
}

func ask(f record.PanelFields) sheet.PanelAsk {
	out := sheet.PanelAsk{Question: f.Question, Scores: f.Answer == record.ByScores, Ties: f.TiesAllowed(), Most: sheet.PanelMost(f.Most)}
	if f.Scale != nil {
		out.From, out.To = f.Scale.From, f.Scale.To
	}
	return out
}

// Reported are the results of a trial's closed panels as its report has them, with
// times in a zone. A panel with too few answers is told of in the sentences.
func (p *Panels) Reported(ctx context.Context, trial record.Trial, zone *time.Location) (list []sheet.Panel, sentences []string, err error) {
	page := record.Page{Limit: 1000}
	for {
		some, err := p.store.PanelsOf(ctx, trial.ID, page)
		if err != nil {
			return nil, nil, err
		}
		for _, one := range some {
			if one.Closing == nil {
				continue
			}
			found, err := outcome(one, trial)
			var problem *calc.Problem
			switch {
			case errors.As(err, &problem):
				sentences = append(sentences, reports.Fill(p.words().Panel.NoResult, "when", p.words().Short(one.CreatedAt.In(zone), true, true), "why", p.words().Said(problem.Detail)))
			case err != nil:
				return nil, nil, err
			default:
				part := p.printed(found, one.PanelFields, zone)
				if part.Figure, err = p.figure(found); err != nil {
					return nil, nil, err
				}
				list = append(list, part)
			}
		}
		if len(some) < page.Limit {
			return list, sentences, nil
		}
		page.After = some[len(some)-1].ID
	}
}

// printed is a result as a report has it.
func (p *Panels) printed(o Outcome, f record.PanelFields, zone *time.Location) sheet.Panel {
	t := p.words()
	out := sheet.Panel{
		PanelAsk: ask(f), Opened: t.Short(o.OpenedAt.In(zone), true, true), Closed: t.Short(o.ClosedAt.In(zone), true, true),
		Judges: o.Judges, Without: o.Without, Test: sheet.PanelTest(o.Difference.Test), P: o.Difference.P, Exact: o.Difference.By == "exact", Found: o.Difference.Found,
		Agreement: o.Agreement, LeastDiff: o.LeastDiff, Level: o.Level, Power: o.Power.Probability, OneGlass: o.Power.OneGlass,
	}
	if trend := o.Trend; trend != nil {
		out.Trend = &sheet.PanelTrend{P: trend.P, Exact: trend.By == "exact", More: trend.Z > 0, Found: trend.Found}
	}
	for _, pair := range o.Pairs {
		if pair.Differ {
			out.Differ = append(out.Differ, pair.Glasses)
		}
	}
	for _, g := range o.First() {
		out.First = append(out.First, g.Glass)
	}
	if o.Preference != nil && o.Preference.Best != nil {
		best := o.Preference.Best.DoseMLPer100ML
		out.Best, out.BestWithin = &best.Value, &sheet.Interval{best.Low, best.High}
	}
	for _, g := range o.Glasses {
		one := sheet.PanelGlass{Glass: g.Glass, Code: g.Code, Dose: doseOf(g.PanelGlass), Answers: g.Answers, RankSum: g.RankSum, Share: g.Share.three()}
		if g.Score != nil {
			score := g.Score.three()
			one.Score = &score
		}
		out.Glasses = append(out.Glasses, one)
	}
	for _, w := range o.Warnings {
		if !said[w.Code] {
			out.Warnings = append(out.Warnings, t.Said(w.Message))
		}
	}
	return out
}

func (i OutcomeInterval) three() [3]float64 { return [3]float64{i.Value, i.Low, i.High} }

// said are the warnings that a report has in words of its own.
var said = map[string]bool{"judges_without": true, "no_difference_found": true, "preference_may_be_missed": true}
