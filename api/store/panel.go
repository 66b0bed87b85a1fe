package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// panelRow is a row of the table panel.
type panelRow struct {
	bun.BaseModel `bun:"table:panel,alias:b"`

	ID        string `bun:",pk"`
	TrialID   string `bun:"trial_id"`
	Setup     string
	CreatedAt record.Instant
	Checksum  int64
}

func (r *panelRow) values() []any  { return []any{r.ID, r.TrialID, r.Setup, r.CreatedAt} }
func (r *panelRow) stored() *int64 { return &r.Checksum }

// panelSetup is what a panel was opened with.
type panelSetup struct {
	record.PanelFields
	Glasses []record.PanelGlass `json:"glasses"`
	Serving string              `json:"serving"`
}

func (r *panelRow) record() (record.Panel, error) {
	p := record.Panel{ID: r.ID, TrialID: r.TrialID, CreatedAt: r.CreatedAt}
	if err := intact("panel", r.ID, r); err != nil {
		return p, err
	}
	var s panelSetup
	err := fromJSON(r.Setup, &s)
	p.PanelFields, p.Glasses, p.Serving = s.PanelFields, s.Glasses, s.Serving
	return p, err
}

// panelJudgeRow is a row of the table panel_judge.
type panelJudgeRow struct {
	bun.BaseModel `bun:"table:panel_judge,alias:j"`

	ID       string `bun:",pk"`
	PanelID  string `bun:"panel_id"`
	JudgeNo  int64
	Body     string
	AddedAt  record.Instant
	Checksum int64
}

func (r *panelJudgeRow) values() []any {
	return []any{r.ID, r.PanelID, r.JudgeNo, r.Body, r.AddedAt}
}
func (r *panelJudgeRow) stored() *int64 { return &r.Checksum }

type panelJudgeBody struct {
	Name  string   `json:"name"`
	Codes []string `json:"codes"`
}

func (r *panelJudgeRow) record() (record.PanelJudge, error) {
	j := record.PanelJudge{ID: r.ID, No: int(r.JudgeNo), AddedAt: r.AddedAt}
	if err := intact("panel_judge", r.ID, r); err != nil {
		return j, err
	}
	var b panelJudgeBody
	err := fromJSON(r.Body, &b)
	j.Name, j.Codes = b.Name, b.Codes
	return j, err
}

// panelAnswerRow is a row of the table panel_answer.
type panelAnswerRow struct {
	bun.BaseModel `bun:"table:panel_answer,alias:a"`

	ID         string `bun:",pk"`
	PanelID    string `bun:"panel_id"`
	JudgeID    string `bun:"judge_id"`
	AnswerNo   int64
	Source     string
	Body       string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *panelAnswerRow) values() []any {
	return []any{r.ID, r.PanelID, r.JudgeID, r.AnswerNo, r.Source, r.Body, r.RecordedAt}
}
func (r *panelAnswerRow) stored() *int64 { return &r.Checksum }

type panelAnswerBody struct {
	Answers      []record.GlassAnswer `json:"answers"`
	By           string               `json:"by,omitempty"`
	Corrects     string               `json:"corrects,omitempty"`
	Reason       string               `json:"reason,omitempty"`
	AfterClosing bool                 `json:"after_closing,omitempty"`
}

func (r *panelAnswerRow) record() (record.PanelAnswer, error) {
	a := record.PanelAnswer{ID: r.ID, JudgeID: r.JudgeID, No: int(r.AnswerNo), Source: r.Source, RecordedAt: r.RecordedAt}
	if err := intact("panel_answer", r.ID, r); err != nil {
		return a, err
	}
	var b panelAnswerBody
	err := fromJSON(r.Body, &b)
	a.Answers, a.By, a.Corrects, a.Reason, a.AfterClosing = b.Answers, b.By, b.Corrects, b.Reason, b.AfterClosing
	return a, err
}

// panelClosingRow is a row of the table panel_closing.
type panelClosingRow struct {
	bun.BaseModel `bun:"table:panel_closing,alias:c"`

	PanelID  string `bun:"panel_id,pk"`
	Body     string
	ClosedAt record.Instant
	Checksum int64
}

func (r *panelClosingRow) values() []any  { return []any{r.PanelID, r.Body, r.ClosedAt} }
func (r *panelClosingRow) stored() *int64 { return &r.Checksum }

func (r *panelClosingRow) record() (record.PanelClosing, error) {
	c := record.PanelClosing{ClosedAt: r.ClosedAt}
	if err := intact("panel_closing", r.PanelID, r); err != nil {
		return c, err
	}
	return c, fromJSON(r.Body, &c.PanelClosingBody)
}

// PanelChange is what is added to a panel. Identifiers, places among the judges and
// times are set by the store.
type PanelChange struct {
	Judges []record.PanelJudge
	// Links are the SHA-256 of judges' keys, by the name of the judge; the link that
	// a judge had dies.
	Links   map[string]string
	Answer  *record.PanelAnswer
	Closing *record.PanelClosingBody
}

// OpenPanel adds a panel that is made of a trial as it stands, with its first
// judges. Nobody logs in the trial meanwhile.
func (s *Store) OpenPanel(ctx context.Context, trialID string, open func(record.Trial) (record.Panel, PanelChange, error)) (p record.Panel, err error) {
	err = s.inTx(ctx, "opening a panel", func(ctx context.Context, tx bun.Tx) error {
		trial, err := trialIn(ctx, tx, trialID, s.postgres)
		if err != nil {
			return err
		}
		var change PanelChange
		if p, change, err = open(trial); err != nil {
			return err
		}
		p.ID, p.TrialID, p.CreatedAt = newID(), trialID, s.instant()
		setup, err := jsonText(panelSetup{PanelFields: p.PanelFields, Glasses: p.Glasses, Serving: p.Serving})
		if err != nil {
			return err
		}
		row := &panelRow{ID: p.ID, TrialID: p.TrialID, Setup: setup, CreatedAt: p.CreatedAt}
		seal(row)
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		return s.grow(ctx, tx, &p, change)
	})
	return p, err
}

// ChangePanel adds to a panel what change makes of it as it stands; nobody else adds
// to it meanwhile. It returns the panel with what was added, or
// record.ErrNotFound.
func (s *Store) ChangePanel(ctx context.Context, id string, change func(record.Panel) (PanelChange, error)) (p record.Panel, err error) {
	err = s.inTx(ctx, fmt.Sprintf("panel %.64q", id), func(ctx context.Context, tx bun.Tx) error {
		if p, err = panelIn(ctx, tx, id, s.postgres); err != nil {
			return err
		}
		added, err := change(p)
		if err != nil {
			return err
		}
		return s.grow(ctx, tx, &p, added)
	})
	return p, err
}

// grow writes what is added to a panel, and adds it to p.
func (s *Store) grow(ctx context.Context, tx bun.Tx, p *record.Panel, added PanelChange) error {
	now := s.instant()
	for _, j := range added.Judges {
		j.ID, j.No, j.AddedAt = newID(), len(p.Judges)+1, now
		body, err := jsonText(panelJudgeBody{Name: j.Name, Codes: j.Codes})
		if err != nil {
			return err
		}
		row := &panelJudgeRow{ID: j.ID, PanelID: p.ID, JudgeNo: int64(j.No), Body: body, AddedAt: now}
		seal(row)
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		p.Judges = append(p.Judges, j)
	}
	for _, j := range p.Judges {
		if hash, ok := added.Links[j.Name]; ok {
			if err := link(ctx, tx, j.ID, hash, now); err != nil {
				return err
			}
		}
	}
	if added.Answer != nil {
		if err := s.addAnswer(ctx, tx, p, *added.Answer, now); err != nil {
			return err
		}
	}
	if added.Closing == nil {
		return nil
	}
	body, err := jsonText(added.Closing)
	if err != nil {
		return err
	}
	row := &panelClosingRow{PanelID: p.ID, Body: body, ClosedAt: now}
	seal(row)
	p.Closing = &record.PanelClosing{PanelClosingBody: *added.Closing, ClosedAt: now}
	_, err = tx.NewInsert().Model(row).Exec(ctx)
	return err
}

func (s *Store) addAnswer(ctx context.Context, tx bun.Tx, p *record.Panel, a record.PanelAnswer, now record.Instant) error {
	a.ID, a.RecordedAt = newID(), now
	body, err := jsonText(panelAnswerBody{Answers: a.Answers, By: a.By, Corrects: a.Corrects, Reason: a.Reason, AfterClosing: a.AfterClosing})
	if err != nil {
		return err
	}
	row := &panelAnswerRow{ID: a.ID, PanelID: p.ID, JudgeID: a.JudgeID, AnswerNo: int64(a.No), Source: a.Source, Body: body, RecordedAt: now}
	seal(row)
	p.Answers = append(p.Answers, a)
	_, err = tx.NewInsert().Model(row).Exec(ctx)
	return err
}

// Panel returns a panel with its judges and answers; record.ErrNotFound where there
// is none.
func (s *Store) Panel(ctx context.Context, id string) (p record.Panel, err error) {
	err = s.inSnapshot(ctx, fmt.Sprintf("panel %.64q", id), func(ctx context.Context, tx bun.Tx) error {
		p, err = panelIn(ctx, tx, id, false)
		return err
	})
	return p, err
}

// PanelsOf lists the panels of a trial in the order in which they were opened;
// record.ErrNotFound where there is no such trial.
func (s *Store) PanelsOf(ctx context.Context, trialID string, page record.Page) (list []record.Panel, err error) {
	err = s.inSnapshot(ctx, "listing panels", func(ctx context.Context, tx bun.Tx) error {
		there, err := tx.NewSelect().Model((*trialRow)(nil)).Where("id = ?", trialID).Exists(ctx)
		if err == nil && !there {
			err = record.ErrNotFound
		}
		if err != nil {
			return err
		}
		var rows []*panelRow
		err = tx.NewSelect().Model(&rows).Where("trial_id = ? AND id > ?", trialID, page.After).Order("id").Limit(int64(page.Limit)).Scan(ctx)
		if err == nil {
			list, err = withJudges(ctx, tx, rows)
		}
		return err
	})
	return list, err
}

// Panels lists all panels in the order in which they were opened.
func (s *Store) Panels(ctx context.Context, page record.Page) (list []record.Panel, err error) {
	err = s.inSnapshot(ctx, "listing panels", func(ctx context.Context, tx bun.Tx) error {
		var rows []*panelRow
		err := tx.NewSelect().Model(&rows).Where("id > ?", page.After).Order("id").Limit(int64(page.Limit)).Scan(ctx)
		if err == nil {
			list, err = withJudges(ctx, tx, rows)
		}
		return err
	})
	return list, err
}

// panelIn reads a panel; alone makes others who add to it wait.
func panelIn(ctx context.Context, tx bun.Tx, id string, alone bool) (record.Panel, error) {
	row := new(panelRow)
	q := tx.NewSelect().Model(row).Where("id = ?", id)
	if alone {
		q = q.For("UPDATE")
	}
	if err := q.Scan(ctx); err != nil {
		return record.Panel{}, err
	}
	list, err := withJudges(ctx, tx, []*panelRow{row})
	if err != nil {
		return record.Panel{}, err
	}
	return list[0], nil
}

// withJudges makes panels of rows, with their judges, answers and closings.
func withJudges(ctx context.Context, tx bun.Tx, rows []*panelRow) ([]record.Panel, error) {
	list, err := records(rows, (*panelRow).record)
	if err != nil || len(list) == 0 {
		return list, err
	}
	ids, at := make([]string, len(list)), map[string]*record.Panel{}
	for i := range list {
		ids[i], at[list[i].ID] = list[i].ID, &list[i]
	}
	var judges []*panelJudgeRow
	var answers []*panelAnswerRow
	var closings []*panelClosingRow
	of := func(model any, order ...string) error {
		return tx.NewSelect().Model(model).Where("panel_id IN (?)", bun.List(ids)).Order(order...).Scan(ctx)
	}
	if err := errors.Join(of(&judges, "panel_id", "judge_no"), of(&answers, "panel_id", "id"), of(&closings, "panel_id")); err != nil {
		return nil, err
	}
	for _, r := range judges {
		j, err := r.record()
		if err != nil {
			return nil, err
		}
		at[r.PanelID].Judges = append(at[r.PanelID].Judges, j)
	}
	for _, r := range answers {
		a, err := r.record()
		if err != nil {
			return nil, err
		}
		at[r.PanelID].Answers = append(at[r.PanelID].Answers, a)
	}
	for _, r := range closings {
		c, err := r.record()
		if err != nil {
			return nil, err
		}
		at[r.PanelID].Closing = &c
	}
	return list, nil
}
