package store

import (
	"context"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// trialRow is a row of the table trial.
type trialRow struct {
	bun.BaseModel `bun:"table:trial,alias:t"`

	ID         string `bun:",pk"`
	Name       string
	BaseML     float64 `bun:"base_ml"`
	BaseID     *string `bun:"base_id"`
	AdditionID *string `bun:"addition_id"`
	TargetID   *string `bun:"target_id"`
	Setup      string
	CreatedAt  record.Instant
	ArchivedAt *record.Instant
	Checksum   int64
}

func (r *trialRow) values() []any {
	return []any{r.ID, r.Name, r.BaseML, r.BaseID, r.AdditionID, r.TargetID, r.Setup, r.CreatedAt, r.ArchivedAt}
}

func (r *trialRow) stored() *int64 { return &r.Checksum }

// setup is what a trial was begun with, as it was then.
type setup struct {
	Base         record.TrialWine    `json:"base"`
	Addition     record.TrialWine    `json:"addition"`
	Target       *calc.Target        `json:"target,omitempty"`
	View         *calc.View          `json:"view,omitempty"`
	ReadingsUsed []calc.ReadingsUsed `json:"readings_used,omitempty"`
	Held         []record.TrialHeld  `json:"held,omitempty"`
	Tools        []calc.Tool         `json:"tools,omitempty"`
	Samples      []float64           `json:"sample_volumes_ml,omitempty"`
	Visible      *float64            `json:"visible_step,omitempty"`
}

func trialRowOf(t record.Trial) (*trialRow, error) {
	r := &trialRow{
		ID: t.ID, Name: t.Name, BaseML: t.BaseML, BaseID: text(t.Base.ID), AdditionID: text(t.Addition.ID), TargetID: text(t.TargetID),
		CreatedAt: t.CreatedAt, ArchivedAt: t.ArchivedAt,
	}
	var err error
	r.Setup, err = jsonText(setup{
		Base: t.Base, Addition: t.Addition, Target: t.Target, View: t.View, ReadingsUsed: t.ReadingsUsed,
		Held: t.Held, Tools: t.Tools, Samples: t.Samples, Visible: t.Visible,
	})
	if err != nil {
		return nil, err
	}
	seal(r)
	return r, nil
}

func (r *trialRow) record() (record.Trial, error) {
	t := record.Trial{ID: r.ID, TargetID: orEmpty(r.TargetID), CreatedAt: r.CreatedAt, ArchivedAt: r.ArchivedAt}
	t.Name, t.BaseML = r.Name, r.BaseML
	if err := intact("trial", r.ID, r); err != nil {
		return t, err
	}
	var s setup
	if err := fromJSON(r.Setup, &s); err != nil {
		return t, err
	}
	t.Base, t.Addition, t.Target, t.View, t.ReadingsUsed = s.Base, s.Addition, s.Target, s.View, s.ReadingsUsed
	t.Held, t.Tools, t.Samples, t.Visible = s.Held, s.Tools, s.Samples, s.Visible
	return t, nil
}

// glassRow is a row of the table trial_glass.
type glassRow struct {
	bun.BaseModel `bun:"table:trial_glass,alias:g"`

	TrialID  string `bun:"trial_id,pk"`
	Glass    string `bun:",pk"`
	GlassNo  int64
	Checksum int64
}

func (r *glassRow) values() []any  { return []any{r.TrialID, r.Glass, r.GlassNo} }
func (r *glassRow) stored() *int64 { return &r.Checksum }

// CreateTrial adds a trial with its glasses. The data of its wines and target
// are in it.
func (s *Store) CreateTrial(ctx context.Context, t record.Trial) (record.Trial, error) {
	t.ID, t.CreatedAt, t.ArchivedAt, t.Log = newID(), s.instant(), nil, nil
	row, err := trialRowOf(t)
	if err != nil {
		return t, err
	}
	glasses := make([]*glassRow, len(t.Glasses))
	for i, label := range t.Glasses {
		glasses[i] = &glassRow{TrialID: t.ID, Glass: label, GlassNo: int64(i + 1)}
		seal(glasses[i])
	}
	return t, s.inTx(ctx, "adding a trial", func(ctx context.Context, tx bun.Tx) error {
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		_, err := tx.NewInsert().Model(&glasses).Exec(ctx)
		return err
	})
}

// Trial returns a trial with its log; record.ErrNotFound where there is none.
func (s *Store) Trial(ctx context.Context, id string) (t record.Trial, err error) {
	err = s.inSnapshot(ctx, fmt.Sprintf("trial %.64q", id), func(ctx context.Context, tx bun.Tx) error {
		t, err = trialIn(ctx, tx, id, false)
		return err
	})
	return t, err
}

// trialIn reads a trial; alone makes others who write to it wait.
func trialIn(ctx context.Context, tx bun.Tx, id string, alone bool) (record.Trial, error) {
	row := new(trialRow)
	q := tx.NewSelect().Model(row).Where("id = ?", id)
	if alone {
		q = q.For("UPDATE")
	}
	if err := q.Scan(ctx); err != nil {
		return record.Trial{}, err
	}
	list, err := withLogs(ctx, tx, []*trialRow{row})
	if err != nil {
		return record.Trial{}, err
	}
	return list[0], nil
}

// withLogs makes trials of rows, with their glasses and logs.
func withLogs(ctx context.Context, tx bun.Tx, rows []*trialRow) ([]record.Trial, error) {
	list, err := records(rows, (*trialRow).record)
	if err != nil || len(list) == 0 {
		return list, err
	}
	ids, at := make([]string, len(list)), map[string]*record.Trial{}
	for i := range list {
		ids[i], at[list[i].ID] = list[i].ID, &list[i]
	}
	var glasses []*glassRow
	if err := tx.NewSelect().Model(&glasses).Where("trial_id IN (?)", bun.List(ids)).Order("trial_id", "glass_no").Scan(ctx); err != nil {
		return nil, err
	}
	for _, g := range glasses {
		if err := intact("trial_glass", g.TrialID+" "+g.Glass, g); err != nil {
			return nil, err
		}
		t := at[g.TrialID]
		t.Glasses = append(t.Glasses, g.Glass)
	}
	var entries []*entryRow
	if err := tx.NewSelect().Model(&entries).Where("trial_id IN (?)", bun.List(ids)).Order("trial_id", "entry_no").Scan(ctx); err != nil {
		return nil, err
	}
	for _, r := range entries {
		e, err := r.record()
		if err != nil {
			return nil, err
		}
		t := at[r.TrialID]
		t.Log = append(t.Log, e)
	}
	return list, nil
}

// Trials lists trials with their logs.
func (s *Store) Trials(ctx context.Context, p record.Page) (list []record.Trial, err error) {
	err = s.inSnapshot(ctx, "listing trials", func(ctx context.Context, tx bun.Tx) error {
		var rows []*trialRow
		if err := inOrder(tx.NewSelect().Model(&rows), p).Scan(ctx); err != nil {
			return err
		}
		list, err = withLogs(ctx, tx, rows)
		return err
	})
	return list, err
}

// ArchiveTrial takes a trial out of lists; it stays readable and takes no more
// entries.
func (s *Store) ArchiveTrial(ctx context.Context, id string) (t record.Trial, err error) {
	err = s.inTx(ctx, "archiving a trial", func(ctx context.Context, tx bun.Tx) error {
		if t, err = trialIn(ctx, tx, id, s.postgres); err != nil {
			return err
		}
		if t.ArchivedAt != nil {
			return record.ErrArchived
		}
		now := s.instant()
		t.ArchivedAt = &now
		row, err := trialRowOf(t)
		if err != nil {
			return err
		}
		_, err = tx.NewUpdate().Model(row).Column("archived_at", "checksum").WherePK().Exec(ctx)
		return err
	})
	return t, err
}
