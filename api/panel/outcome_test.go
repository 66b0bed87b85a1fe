package panel

import (
	"strconv"
	"testing"

	"pourpath/api/record"
)

// judged is a closed panel whose judges said this of its glasses, which hold 2, 4, 6 ... mL
// per 100 mL of base: a row for each judge.
func judged(t *testing.T, fields record.PanelFields, say func(a *record.GlassAnswer, value float64), rows [][]float64) (record.Panel, record.Trial) {
	t.Helper()
	trial := record.Trial{ID: "t"}
	trial.BaseML = 100
	for i := range rows[0] {
		glass := string(rune('A' + i))
		trial.Glasses = append(trial.Glasses, glass)
		trial.Log = append(trial.Log, record.PourBody{Glass: glass, VolumeML: float64(2 + 2*i)}.Entry())
		trial.Log[i].No = i + 1
	}
	asked := record.PanelBody{PanelFields: fields}
	for i := range rows {
		asked.Judges = append(asked.Judges, record.PanelJudgeBody{Name: "Judge " + strconv.Itoa(i+1)})
	}
	p, change, err := opened(trial, asked, keyring{})
	if err != nil {
		t.Fatal(err)
	}
	p.Judges, p.Closing = change.Judges, &record.PanelClosing{}
	for i, row := range rows {
		p.Judges[i].ID = strconv.Itoa(i)
		answer := record.PanelAnswer{JudgeID: p.Judges[i].ID, No: 1, Source: record.ByLink}
		for g, value := range row {
			one := record.GlassAnswer{Code: p.Glasses[g].Code}
			say(&one, value)
			answer.Answers = append(answer.Answers, one)
		}
		p.Answers = append(p.Answers, answer)
	}
	return p, trial
}

func ranked(a *record.GlassAnswer, value float64) { rank := int(value); a.Rank = &rank }

// TestFirstAlike: two glasses with one rank sum are first together, though their shares,
// 4/5 each, were added up in another order.
func TestFirstAlike(t *testing.T) {
	o, err := outcome(judged(t, record.PanelFields{Question: "which?", Answer: record.ByRanks}, ranked, [][]float64{
		{2, 1, 3, 4},
		{3, 1, 2, 4},
		{1, 2, 3, 4},
		{1, 2, 4, 3},
		{1, 2, 3, 4},
	}))
	if err != nil {
		t.Fatal(err)
	}
	if a, b := o.Glasses[0], o.Glasses[1]; a.RankSum != 8 || b.RankSum != 8 || !o.Difference.Found {
		t.Fatalf("rank sums %g and %g, found: %t", a.RankSum, b.RankSum, o.Difference.Found)
	}
	if first := o.First(); len(first) != 2 || first[0].Glass != "A" || first[1].Glass != "B" {
		t.Errorf("first are %+v, want A and B", first)
	}
}
