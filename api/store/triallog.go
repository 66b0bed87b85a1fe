package store

import (
	"context"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// entryRow is a row of the table trial_entry.
type entryRow struct {
	bun.BaseModel `bun:"table:trial_entry,alias:e"`

	ID         string `bun:",pk"`
	TrialID    string `bun:"trial_id"`
	EntryNo    int64
	Kind       string
	Glass      *string
	VolumeML   *float64 `bun:"volume_ml"`
	Body       string
	SentKey    *string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *entryRow) values() []any {
	return []any{r.ID, r.TrialID, r.EntryNo, r.Kind, r.Glass, r.VolumeML, r.Body, r.SentKey, r.RecordedAt}
}

func (r *entryRow) stored() *int64 { return &r.Checksum }

// entryBody is what the table's columns do not hold of an entry.
type entryBody struct {
	StatedTotalML *float64            `json:"stated_total_ml,omitempty"`
	StatedDose    *float64            `json:"stated_dose_ml_per_100ml,omitempty"`
	Why           string              `json:"why,omitempty"`
	Undoes        int                 `json:"undoes,omitempty"`
	Note          string              `json:"note,omitempty"`
	Score         *float64            `json:"score,omitempty"`
	Scale         string              `json:"scale,omitempty"`
	ChosenDose    *float64            `json:"chosen_dose_ml_per_100ml,omitempty"`
	Reasons       string              `json:"reasons,omitempty"`
	LookedAgain   *record.LookedAgain `json:"looked_again,omitempty"`
	record.Said
	record.Measurement
	record.Circumstances
}

func entryRowOf(trialID string, e record.LogEntry) (*entryRow, error) {
	r := &entryRow{
		ID: e.ID, TrialID: trialID, EntryNo: int64(e.No), Kind: string(e.Kind), Glass: text(e.Glass), VolumeML: e.VolumeML,
		SentKey: text(e.Key), RecordedAt: e.RecordedAt,
	}
	var err error
	r.Body, err = jsonText(entryBody{
		StatedTotalML: e.StatedTotalML, StatedDose: e.StatedDose, Why: e.Why, Undoes: e.Undoes,
		Note: e.Note, Score: e.Score, Scale: e.Scale, ChosenDose: e.ChosenDose, Reasons: e.Reasons, LookedAgain: e.LookedAgain,
		Said: e.Said, Measurement: e.Measurement, Circumstances: e.Circumstances,
	})
	if err != nil {
		return nil, err
	}
	seal(r)
	return r, nil
}

func (r *entryRow) record() (record.LogEntry, error) {
	e := record.LogEntry{
		ID: r.ID, No: int(r.EntryNo), Kind: record.EntryKind(r.Kind), Glass: orEmpty(r.Glass), VolumeML: r.VolumeML, RecordedAt: r.RecordedAt,
	}
	e.Key = orEmpty(r.SentKey)
	if err := intact("trial_entry", r.ID, r); err != nil {
		return e, err
	}
	var b entryBody
	if err := fromJSON(r.Body, &b); err != nil {
		return e, err
	}
	e.StatedTotalML, e.StatedDose, e.Why, e.Undoes = b.StatedTotalML, b.StatedDose, b.Why, b.Undoes
	e.Note, e.Score, e.Scale, e.ChosenDose, e.Reasons, e.LookedAgain = b.Note, b.Score, b.Scale, b.ChosenDose, b.Reasons, b.LookedAgain
	e.Said, e.Measurement, e.Circumstances = b.Said, b.Measurement, b.Circumstances
	return e, nil
}

// same reports whether r says what another entry says, whenever it was recorded.
func (r *entryRow) same(other *entryRow) bool {
	alike := *other
	alike.ID, alike.EntryNo, alike.RecordedAt = r.ID, r.EntryNo, r.RecordedAt
	return checksum(alike.values()) == checksum(r.values())
}

// AddEntry adds an entry to a trial's log, if the trial accepts it after all
// that others have logged by then. An entry that was sent with the same key
// before is not added again. It returns the trial with its log up to the entry,
// which is the last.
func (s *Store) AddEntry(ctx context.Context, trialID string, e record.LogEntry) (t record.Trial, err error) {
	err = s.inTx(ctx, "logging in a trial", func(ctx context.Context, tx bun.Tx) error {
		// In SQLite whoever writes is alone; in PostgreSQL within one trial.
		if t, err = trialIn(ctx, tx, trialID, s.postgres); err != nil {
			return err
		}
		for i, known := range t.Log {
			if e.Key != "" && known.Key == e.Key {
				t.Log = t.Log[:i+1]
				return sentAgain(trialID, known, e)
			}
		}
		if err := t.Accept(e); err != nil {
			return err
		}
		e.ID, e.No, e.RecordedAt = newID(), len(t.Log)+1, s.instant()
		row, err := entryRowOf(trialID, e)
		if err != nil {
			return err
		}
		t.Log = append(t.Log, e)
		_, err = tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
	return t, err
}

// sentAgain returns nil where a known entry says what e says.
func sentAgain(trialID string, known, e record.LogEntry) error {
	was, err := entryRowOf(trialID, known)
	if err != nil {
		return err
	}
	is, err := entryRowOf(trialID, e)
	if err != nil {
		return err
	}
	if was.same(is) {
		return nil
	}
	return calc.Refuse(calc.Fault{Location: "/key", Value: e.Key, Message: "another entry of this trial was sent with this key: take a new key for each entry"})
}
