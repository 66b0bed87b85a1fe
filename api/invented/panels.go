package invented

import (
	"context"

	"pourpath/api/panel"
	"pourpath/api/record"
)

// sheet is what a judge says of the glasses, in the order in which the panel has them.
type sheet struct {
	judge string
	said  []float64
}

// housePanel ranks the glasses of the house rosé, 1 for the one that is liked most:
// most like D, and those who like it paler or deeper go by their own taste.
func (t *story) housePanel(ctx context.Context) error {
	sheets := []sheet{ // B C D E F
		{"Judge 1", []float64{5, 3, 1, 2, 4}},
		{"Judge 2", []float64{4, 2, 1, 3, 5}},
		{"Judge 3", []float64{5, 4, 2, 1, 3}},
		{"Judge 4", []float64{3, 1, 2, 4, 5}},
		{"Judge 5", []float64{5, 2, 1, 3, 4}},
		{"Judge 6", []float64{5, 3, 1, 2, 4}},
		{"Judge 7", []float64{4, 3, 2, 1, 5}},
		{"Judge 8", []float64{5, 2, 1, 3, 4}},
	}
	session, err := t.open(ctx, t.house, record.PanelBody{
		PanelFields: record.PanelFields{Name: "House rosé, five doses", Question: "Which colour do you like most?", Answer: record.ByRanks, Leader: "Fern"},
		Glasses:     []string{"B", "C", "D", "E", "F"},
	}, sheets)
	if err != nil {
		return err
	}
	t.wait(30)
	if err := t.handIn(ctx, session, sheets); err != nil {
		return err
	}
	_, err = t.panels.Close(ctx, session.ID, record.PanelClosingBody{By: "Fern", Note: "In daylight at a north window, on white paper."})
	return err
}

// deepPanel scores the glasses of the deep rosé; it is open, and three judges have
// yet to hand in.
func (t *story) deepPanel(ctx context.Context, trial string) error {
	sheets := []sheet{ // B C D E
		{"Judge 1", []float64{5, 7, 8, 6}},
		{"Judge 2", []float64{4, 6, 7, 7}},
		{"Judge 3", []float64{6, 8, 6, 4}},
		{"Judge 4", nil}, {"Judge 5", nil}, {"Judge 6", nil},
	}
	session, err := t.open(ctx, trial, record.PanelBody{
		PanelFields: record.PanelFields{Name: "Deep rosé, four doses", Question: "How much do you like this colour?", Answer: record.ByScores, Leader: "Fern"},
		Glasses:     []string{"B", "C", "D", "E"},
	}, sheets)
	if err != nil {
		return err
	}
	t.wait(20)
	return t.handIn(ctx, session, sheets)
}

func (t *story) open(ctx context.Context, trial string, body record.PanelBody, sheets []sheet) (panel.SessionOpened, error) {
	for _, s := range sheets {
		body.Judges = append(body.Judges, record.PanelJudgeBody{Name: s.judge})
	}
	body, err := asked(body)
	if err != nil {
		return panel.SessionOpened{}, err
	}
	return t.panels.Open(ctx, trial, body)
}

// handIn hands in by the judges' links.
func (t *story) handIn(ctx context.Context, session panel.SessionOpened, sheets []sheet) error {
	for i, s := range sheets {
		var body record.PanelHandInBody
		for k, said := range s.said {
			answer := record.GlassAnswer{Code: session.Glasses[k].Code}
			if session.Answer == record.ByRanks {
				rank := int(said)
				answer.Rank = &rank
			} else {
				answer.Score = &said
			}
			body.Answers = append(body.Answers, answer)
		}
		if len(body.Answers) == 0 {
			continue
		}
		t.wait(1)
		body, err := asked(body)
		if err != nil {
			return err
		}
		if _, _, err := t.panels.HandIn(ctx, session.Judges[i].ID, body); err != nil {
			return err
		}
	}
	return nil
}
