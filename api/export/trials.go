package export

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"pourpath/api/record"
)

var (
	// A trial has a row for each entry of its log, and one where there is none yet.
	trialsHeader = []string{
		"trial_id", "trial", "base", "addition", "base_ml", "held", "tools", "sample_volumes_ml", "visible_step",
		"entry", "kind", "glass", "volume_ml", "stated_total_ml", "stated_dose_ml_per_100ml", "dose_ml_per_100ml", "undoes", "undone_by",
		"why", "who", "tool", "fills", "note", "score", "scale", "chosen_dose_ml_per_100ml", "reasons",
		"looked_again_at", "looked_again_clear", "looked_again_note",
		"a420", "a520", "a620", "path_mm", "dilution", "measurement",
		"taken_at", "instrument", "analyst", "diluent", "blank", "temperature_c", "minutes_since_blending", "replicate",
		"at", "key", "recorded_at", "status", "created_at", "archived_at",
	}
)

func (e *exporter) trialTable() table {
	return table{name: string(Trials), header: trialsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Trials, func(t record.Trial) string { return t.ID }, "", func(t record.Trial) (bool, error) {
			setup, err := setupCells(t)
			if err != nil {
				return false, err
			}
			progress, err := t.Progress()
			if err != nil {
				return false, err
			}
			log := progress.Log
			if len(log) == 0 {
				log = []record.Logged{{}}
			}
			for _, entry := range log {
				cells, err := entryCells(entry)
				if err != nil {
					return false, err
				}
				row := append(slices.Clone(setup), cells...)
				if err := put(append(row, statusOf(t.ArchivedAt), t.CreatedAt.String(), at(t.ArchivedAt))); err != nil {
					return false, err
				}
			}
			return true, nil
		})
	}}
}

// setupCells are what a trial was begun with.
func setupCells(t record.Trial) ([]any, error) {
	cells := []any{t.ID, word(t.Name), word(t.Base.Name), word(t.Addition.Name), t.BaseML}
	for _, list := range []struct {
		there bool
		value any
	}{{t.Held != nil, t.Held}, {t.Tools != nil, t.Tools}, {t.Samples != nil, t.Samples}} {
		var cell any
		if list.there {
			var err error
			if cell, err = asJSON(list.value); err != nil {
				return nil, err
			}
		}
		cells = append(cells, cell)
	}
	return append(cells, given(t.Visible)), nil
}

// entryCells are an entry of a log; of none they are empty.
func entryCells(l record.Logged) ([]any, error) {
	var no, recorded, dose any
	if l.ID != "" {
		no, recorded = l.No, l.RecordedAt.String()
		if l.Glass != "" || l.Kind == record.Choosing || l.Kind == record.Checking { // else it is about no dose
			dose = l.DoseMLPer100ML
		}
	}
	cells := []any{
		no, word(l.Kind), word(l.Glass), given(l.VolumeML), given(l.StatedTotalML), given(l.StatedDose), dose, aboveZero(l.Undoes), aboveZero(l.UndoneBy),
		word(l.Why), word(l.Who), word(l.Tool), aboveZero(l.Fills), word(l.Note), given(l.Score), word(l.Scale), given(l.ChosenDose), word(l.Reasons),
	}
	var again [3]any
	if seen := l.LookedAgain; seen != nil {
		again = [3]any{at(seen.At), yesNo(seen.Clear), word(seen.Note)}
	}
	cells = append(cells, again[:]...)
	var path, dilution, a420, a520, a620 any
	if l.Readings != nil {
		a420, a520, a620 = l.Readings.A420, l.Readings.A520, l.Readings.A620
		path, dilution = l.Cell()
	}
	whole, err := measurement(l.Measurement)
	return append(cells, a420, a520, a620, path, dilution, whole,
		at(l.TakenAt), word(l.Instrument), word(l.Analyst), word(l.Diluent), word(l.Blank), given(l.TemperatureC), given(l.MinutesSinceBlending), given(l.Replicate),
		at(l.At), word(l.Key), recorded), err
}

// aboveZero is a number that is counted from 1, and an empty cell for none.
func aboveZero(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// measurement is what was read as JSON, where columns of their own do not hold
// it.
func measurement(m record.Measurement) (any, error) {
	if m.Spectrum == nil && m.CIELAB == nil && (m.Readings == nil || len(m.Readings.Extra) == 0) {
		return nil, nil //nolint:nilnil // an empty cell
	}
	return asJSON(m)
}

// asJSON is a value that a table has no columns for.
func asJSON(v any) (any, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("export: %w", err)
	}
	return string(text), nil
}
