package store

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/record"
)

const keyHash = "2c26b46b68ffc68ff99b453c1d30413413422d706483bfa0f98a5e886266e7ae"

// seated is a panel with two judges, of whom the first has a link.
func seated(t *testing.T, s *Store, trial record.Trial) record.Panel {
	t.Helper()
	return must[record.Panel](t)(s.OpenPanel(context.Background(), trial.ID, func(now record.Trial) (record.Panel, PanelChange, error) {
		no := false
		p, err := record.NewPanel(now, record.PanelBody{
			PanelFields: record.PanelFields{Name: "«été»", Question: "which?", Answer: record.ByRanks, Ties: &no, Leader: "Eve"}, Glasses: []string{"A", "C"},
		})
		if err == nil {
			p.Glasses[0].Code, p.Glasses[1].Code, p.Serving = "412", "938", "williams"
		}
		return p, PanelChange{
			Judges: []record.PanelJudge{{Name: "Ada", Codes: []string{"938", "412"}}, {Name: "Ben", Codes: []string{"412", "938"}}},
			Links:  map[string]string{"Ada": keyHash},
		}, err
	}))
}

func rankedFirst(code, second string) []record.GlassAnswer {
	one, two := 1, 2
	return []record.GlassAnswer{{Code: code, Rank: &one, Note: "«oui»"}, {Code: second, Rank: &two}}
}

// TestPanelStays: a panel comes back as it was written, from the store and from an
// archive of it, and the database refuses to change it; the links are not in the
// archive.
func TestPanelStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := begun(t, s)
	must[record.Trial](t)(s.AddEntry(ctx, trial.ID, pour("A", 5)))
	made := seated(t, s, trial)
	if g := made.Glasses; g[0].DoseMLPer100ML != 5 || g[1].DoseMLPer100ML != 0 || made.PerJudge != 2 || made.Most != record.MostPreferred || made.Judges[1].No != 2 {
		t.Errorf("opened %+v", made)
	}
	for _, judge := range []string{made.Judges[0].ID, made.Judges[1].ID} {
		now := must[record.Panel](t)(s.ChangePanel(ctx, made.ID, func(now record.Panel) (PanelChange, error) {
			a, _, err := now.TakesByLink(judge, record.PanelHandInBody{Answers: rankedFirst("412", "938")}, now.CreatedAt)
			return PanelChange{Answer: &a}, err
		}))
		made.Answers = now.Answers
	}
	made = must[record.Panel](t)(s.ChangePanel(ctx, made.ID, func(record.Panel) (PanelChange, error) {
		return PanelChange{Closing: &record.PanelClosingBody{By: "Eve", Note: "north light"}}, nil
	}))
	if got := must[record.Panel](t)(s.Panel(ctx, made.ID)); !reflect.DeepEqual(got, made) || len(got.Answers) != 2 || got.Closing == nil {
		t.Errorf("%+v, want %+v", got, made)
	}
	for table, set := range map[string]string{"panel": "setup = '{}'", "panel_judge": "body = '{}'", "panel_answer": "body = '{}'", "panel_closing": "closed_at = ''"} {
		for _, statement := range []string{"UPDATE " + table + " SET " + set, "DELETE FROM " + table} {
			if _, err := s.write.ExecContext(ctx, statement); err == nil {
				t.Errorf("the database takes %s", statement)
			}
		}
	}
	if v := sound(t, s); v.Rows["panel_answer"] != 2 || v.Rows["panel_judge"] != 2 || v.Rows["panel"] != 1 || v.Rows["panel_closing"] != 1 {
		t.Errorf("verify looked at %v", v.Rows)
	}
	text := archived(t, s)
	if strings.Contains(text, keyHash) || strings.Contains(text, "panel_link") || !strings.Contains(text, "north light") {
		t.Error("the archive has the links, or not the panel")
	}
	into := open(t)
	if _, err := into.Restore(ctx, strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	if got := must[record.Panel](t)(into.Panel(ctx, made.ID)); !reflect.DeepEqual(got, made) {
		t.Errorf("restored %+v, want %+v", got, made)
	}
	sound(t, into)
	if _, _, err := into.JudgeByKey(ctx, keyHash); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a link of another place: %v", err)
	}
}

// TestPanelLinks: a link is found by its key's hash, dies when another is given out,
// and no second judge has it.
func TestPanelLinks(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := begun(t, s)
	made := seated(t, s, trial)
	panel, judge, err := s.JudgeByKey(ctx, keyHash)
	if err != nil || panel != made.ID || judge != made.Judges[0].ID {
		t.Errorf("found %s, %s, %v", panel, judge, err)
	}
	if got := must[string](t)(s.PanelOfJudge(ctx, judge)); got != made.ID {
		t.Errorf("the judge's panel is %s", got)
	}
	give := func(name, hash string) error {
		_, err := s.ChangePanel(ctx, made.ID, func(record.Panel) (PanelChange, error) { return PanelChange{Links: map[string]string{name: hash}}, nil })
		return err
	}
	before := must[record.Instant](t)(s.LinkMadeAt(ctx, judge))
	if err := give("Ben", keyHash); err == nil {
		t.Error("two judges have one key")
	}
	next := strings.Repeat("0", 64)
	if err := give("Ada", next); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.JudgeByKey(ctx, keyHash); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("the old link: %v", err)
	}
	if _, got, err := s.JudgeByKey(ctx, next); err != nil || got != judge {
		t.Errorf("the new link: %s, %v", got, err)
	}
	if after := must[record.Instant](t)(s.LinkMadeAt(ctx, judge)); !after.After(before.Time) {
		t.Errorf("the new link is of %v, the old one of %v", after, before)
	}
	if _, err := s.write.ExecContext(ctx, "UPDATE panel_link SET judge_id = ?", made.Judges[1].ID); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.JudgeByKey(ctx, next); !errors.Is(err, record.ErrDamaged) {
		t.Errorf("a link that was turned to another judge: %v", err)
	}
	for _, err := range []error{second(s.Panel(ctx, "none")), second(s.PanelOfJudge(ctx, "none")), second(s.LinkMadeAt(ctx, "none")), second(s.PanelsOf(ctx, "none", record.Page{Limit: 1}))} {
		if !errors.Is(err, record.ErrNotFound) {
			t.Errorf("nothing there: %v", err)
		}
	}
}

// TestPanelsListed: those of one trial, and of all, in the order in which they were
// opened; a panel that cannot be opened leaves nothing.
func TestPanelsListed(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial, other := begun(t, s), begun(t, s)
	first, elsewhere := seated(t, s, trial), func() record.Panel {
		must[string](t)("", second(s.write.ExecContext(ctx, "DELETE FROM panel_link")))
		return seated(t, s, other)
	}()
	for page, want := range map[record.Page][]record.Panel{{Limit: 9}: {first}, {Limit: 9, After: first.ID}: {}} {
		if got := must[[]record.Panel](t)(s.PanelsOf(ctx, trial.ID, page)); len(got) != len(want) || len(got) > 0 && !reflect.DeepEqual(got, want) {
			t.Errorf("%+v: %+v, want %+v", page, got, want)
		}
	}
	if got := must[[]record.Panel](t)(s.Panels(ctx, record.Page{Limit: 9})); !reflect.DeepEqual(got, []record.Panel{first, elsewhere}) {
		t.Errorf("all: %+v", got)
	}
	if _, err := s.OpenPanel(ctx, trial.ID, func(record.Trial) (record.Panel, PanelChange, error) {
		return record.Panel{}, PanelChange{}, errBroken
	}); !errors.Is(err, errBroken) {
		t.Errorf("a panel that cannot be opened: %v", err)
	}
	if n := count(t, s, "panel"); n != 2 {
		t.Errorf("%d panels", n)
	}
}
