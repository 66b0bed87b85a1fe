package export

import (
	"context"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pourpath/api/record"
	"pourpath/api/store"
)

// fillPanels adds a closed panel of scores, with a correction and a judge who is left out,
// and one of ranks that is open, with an answer.
func fillPanels(tb testing.TB, s *store.Store) {
	tb.Helper()
	ctx := context.Background()
	must := func(err error) {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
	}
	trials, err := s.Trials(ctx, record.Page{Limit: 1})
	must(err)
	open := func(fields record.PanelFields) record.Panel {
		p, err := s.OpenPanel(ctx, trials[0].ID, func(now record.Trial) (record.Panel, store.PanelChange, error) {
			p, err := record.NewPanel(now, record.PanelBody{PanelFields: fields})
			if err == nil {
				p.Glasses[0].Code, p.Glasses[1].Code, p.Serving = "412", "938", "williams"
			}
			return p, store.PanelChange{Judges: []record.PanelJudge{{Name: "=Ada", Codes: []string{"938", "412"}}, {Name: "Ben", Codes: []string{"412", "938"}}}}, err
		})
		must(err)
		return p
	}
	change := func(id string, f func(record.Panel) (store.PanelChange, error)) record.Panel {
		p, err := s.ChangePanel(ctx, id, f)
		must(err)
		return p
	}
	answer := func(p record.Panel, first, second record.GlassAnswer, body record.PanelSheetBody) record.Panel {
		body.Judge, body.Answers = p.Judges[0].ID, []record.GlassAnswer{first, second}
		return change(p.ID, func(now record.Panel) (store.PanelChange, error) {
			a, _, err := now.TakesSheet(body)
			return store.PanelChange{Answer: &a}, err
		})
	}
	scored := open(record.PanelFields{Name: "-Thursday", Question: "+which?", Answer: record.ByScores, Leader: "@Eve"})
	score := func(code string, of float64) record.GlassAnswer { return record.GlassAnswer{Code: code, Score: &of} }
	noted := score("938", 7.5)
	noted.Note = "=dull"
	scored = answer(scored, noted, score("412", 3), record.PanelSheetBody{By: "Eve"})
	scored = change(scored.ID, func(now record.Panel) (store.PanelChange, error) {
		return store.PanelChange{Closing: &record.PanelClosingBody{Without: []string{now.Judges[1].ID}, By: "Eve", Note: "-overcast"}}, nil
	})
	answer(scored, score("938", 5.5), score("412", 3), record.PanelSheetBody{By: "Eve", Corrects: scored.Answers[0].ID, Reason: "@two digits"})
	rank := func(code string, of int) record.GlassAnswer { return record.GlassAnswer{Code: code, Rank: &of} }
	answer(open(record.PanelFields{Question: "which?", Answer: record.ByRanks}), rank("412", 2), rank("938", 1), record.PanelSheetBody{})
	ranked := open(record.PanelFields{Question: "which?", Answer: record.ByRanks})
	ranked = answer(ranked, rank("412", 2), rank("938", 1), record.PanelSheetBody{})
	change(ranked.ID, func(now record.Panel) (store.PanelChange, error) {
		return store.PanelChange{Closing: &record.PanelClosingBody{Without: []string{now.Judges[1].ID}}}, nil
	})
}

// TestPanelColumns: every column is told by one row or another, and none of what was
// answered by a row of a session that is open.
func TestPanelColumns(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	fillPanels(t, s)
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(csvOf(t, s, Panels), "\xEF\xBB\xBF"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+6+4+4 {
		t.Fatalf("%d rows", len(rows))
	}
	closed, answered := slices.Index(rows[0], "closed_at"), slices.Index(rows[0], "answer_no")
	open := 0
	for _, row := range rows[1:] {
		if row[closed] == "" {
			open++
			if told := strings.Join(row[answered:], ""); told != "" {
				t.Errorf("of a session that is open: %q", told)
			}
		}
	}
	if open != 4 {
		t.Errorf("%d rows of the open session", open)
	}
	for at, name := range rows[0] {
		if !slices.ContainsFunc(rows[1:], func(r []string) bool { return r[at] != "" }) {
			t.Errorf("column %s is told by no row", name)
		}
	}
}
