package export

import (
	"context"

	"pourpath/api/record"
)

// A panel has a row for each glass of each answer of each judge, corrected ones too, and of
// a judge without an answer one for each glass.
var panelsHeader = []string{
	"panel_id", "trial_id", "panel", "question", "answer", "ties", "most", "scale_from", "scale_to", "per_judge", "serving", "leader",
	"opened_at", "closed_at", "closed_by", "closing_note",
	"judge_no", "judge", "asked_at", "place", "code", "glass", "dose_ml_per_100ml", "u_dose_ml_per_100ml", "addition_fraction",
	"answer_no", "stands", "source", "rank", "score", "note", "typed_by", "reason", "after_closing", "recorded_at",
}

func (e *exporter) panelTable() table {
	return table{name: string(Panels), header: panelsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Panels, func(p record.Panel) string { return p.ID }, "", func(p record.Panel) (bool, error) {
			for _, j := range p.Judges {
				for _, a := range toldOf(p, j) {
					if err := putAnswer(p, j, a, put); err != nil {
						return false, err
					}
				}
			}
			return true, nil
		})
	}}
}

// toldOf are the answers of a judge in the order in which they were recorded, or one that is
// empty. While the session is open none is told: its leader may be who exports.
func toldOf(p record.Panel, j record.PanelJudge) (told []record.PanelAnswer) {
	for _, a := range p.Answers {
		if a.JudgeID == j.ID && p.Closing != nil {
			told = append(told, a)
		}
	}
	if len(told) == 0 {
		told = []record.PanelAnswer{{}}
	}
	return told
}

// putAnswer hands over a row for each glass of a judge.
func putAnswer(p record.Panel, j record.PanelJudge, a record.PanelAnswer, put func([]any) error) error {
	setup := []any{p.ID, p.TrialID, word(p.Name), p.Question, word(p.Answer), yesNo(p.TiesAllowed()), word(p.Most)}
	if s := p.Scale; s != nil {
		setup = append(setup, s.From, s.To)
	} else {
		setup = append(setup, nil, nil)
	}
	setup = append(setup, p.PerJudge, p.Serving, word(p.Leader), p.CreatedAt.String())
	if c := p.Closing; c != nil {
		setup = append(setup, c.ClosedAt.String(), word(c.By), word(c.Note))
	} else {
		setup = append(setup, nil, nil, nil)
	}
	setup = append(setup, j.No, j.Name, j.AddedAt.String())
	for i, code := range j.Codes {
		g, _ := p.CodeOf(code) // a judge's codes are the panel's
		row := append(append([]any{}, setup...), i+1, code, g.Glass, g.DoseMLPer100ML, g.UDose, g.AdditionFraction)
		if a.ID == "" {
			row = append(row, make([]any, len(panelsHeader)-len(row))...)
		} else {
			stands, _ := p.Standing(j.ID)
			one := a.Answers[i] // they are in the order of serving
			row = append(row, a.No, yesNo(a.ID == stands.ID), a.Source, given(one.Rank), given(one.Score), word(one.Note),
				word(a.By), word(a.Reason), yesNo(a.AfterClosing), a.RecordedAt.String())
		}
		if err := put(row); err != nil {
			return err
		}
	}
	return nil
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
