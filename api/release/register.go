package release

import (
	"context"
	"encoding/json"

	"pourpath/api/record"
	"pourpath/api/store"
)

// Entry is a statement in the register with what it says. Where Fault tells that
// it is not what was issued, neither is what it says.
type Entry struct {
	store.Registered
	Says record.StatementContent
}

// Register lists the register from its newest statement back, or from before the
// one with a number; 0 starts. What is damaged is among them and says so.
func (r *Release) Register(ctx context.Context, before, limit int) ([]Entry, error) {
	rows, err := r.store.Register(ctx, before, limit)
	if err != nil {
		return nil, err
	}
	out := make([]Entry, len(rows))
	for i, row := range rows {
		out[i].Registered = row
		if err := json.Unmarshal(row.Content, &out[i].Says); err != nil && row.Fault == "" {
			out[i].Fault = "this version of the program cannot read what it says: " + err.Error()
		}
	}
	return out, nil
}

// Registered is one statement of the register, whole or not; record.ErrNotFound
// where there is none of this number.
func (r *Release) Registered(ctx context.Context, no int) (Entry, error) {
	rows, err := r.Register(ctx, no+1, 1)
	switch {
	case err != nil:
		return Entry{}, err
	case no < 1 || len(rows) == 0 || rows[0].No != no:
		return Entry{}, record.ErrNotFound
	}
	return rows[0], nil
}
