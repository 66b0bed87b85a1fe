package export

import (
	"context"
	"encoding/json"
	"fmt"

	"pourpath/api/record"
)

var (
	// A trial has a row for each entry of its log, and one where there is none yet.
	trialsHeader = []string{
		"trial_id", "trial", "base", "addition", "base_ml", "held", "tools", "entry", "kind", "glass", "volume_ml", "tool", "fills",
		"poured_total_ml", "dose_ml_per_100ml", "u_dose_ml_per_100ml", "stated_total_ml", "stated_dose_ml_per_100ml", "undoes", "undone_by",
		"why", "note", "score", "scale", "chosen_dose_ml_per_100ml", "reasons", "stayed_clear", "look_note", "who",
		"a420", "a520", "a620", "path_mm", "dilution", "measurement", "minutes_since_blending", "temperature_c", "instrument", "analyst",
		"at", "recorded_at", "status", "created_at", "archived_at",
	}
	specsHeader = []string{"spec_id", "version", "name", "rule", "max_risk", "target", "tolerance_delta_e_00", "limits", "view", "status", "created_at", "archived_at"}
	// A lot has a row for each sample with its verdict, and one where there is none
	// yet.
	lotsHeader = []string{
		"lot_id", "lot", "wine_id", "spec_id", "spec_version", "sample_id", "verdict", "probability", "delta_e_00", "delta_e_ab", "L", "a", "b",
		"illuminant", "observer", "path_mm", "instrument", "analyst", "taken_at", "recorded_at", "decided_at", "status", "created_at", "archived_at",
	}
)

func (e *exporter) trialTable() table {
	return table{name: string(Trials), header: trialsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Trials, func(t record.Trial) string { return t.ID }, "", func(t record.Trial) (bool, error) {
			progress, err := t.Progress()
			if err != nil {
				return false, err
			}
			log := progress.Log
			if len(log) == 0 {
				log = []record.Logged{{}}
			}
			for _, entry := range log {
				cells, err := trialCells(t, entry)
				if err != nil {
					return false, err
				}
				if err := put(cells); err != nil {
					return false, err
				}
			}
			return true, nil
		})
	}}
}

func trialCells(t record.Trial, l record.Logged) ([]any, error) {
	setup, err := setupCells(t)
	if err != nil {
		return nil, err
	}
	var no, recorded, path, dilution any
	if l.ID != "" {
		no, recorded = l.No, l.RecordedAt.String()
	}
	var a420, a520, a620 any
	if l.Readings != nil {
		a420, a520, a620 = l.Readings.A420, l.Readings.A520, l.Readings.A620
		path, dilution = l.Cell()
	}
	var total, dose, u, clearIs, seen any
	if l.Glass != "" || l.Kind == record.Choosing || l.Kind == record.Checking {
		total, dose, u = l.PouredTotalML, l.DoseMLPer100ML, l.UDose
	}
	if l.LookedAgain != nil {
		clearIs, seen = "no", word(l.LookedAgain.Note)
		if l.LookedAgain.Clear {
			clearIs = "yes"
		}
	}
	done := l.At
	if done == nil {
		done = l.TakenAt
	}
	whole, err := measurement(l.Measurement)
	return append(setup, no, word(l.Kind), word(l.Glass), given(l.VolumeML), word(l.Tool), unlessZero(l.Fills),
		total, dose, u, given(l.StatedTotalML), given(l.StatedDose), unlessZero(l.Undoes), unlessZero(l.UndoneBy),
		word(l.Why), word(l.Note), given(l.Score), word(l.Scale), given(l.ChosenDose), word(l.Reasons), clearIs, seen, word(l.Who),
		a420, a520, a620, path, dilution, whole, given(l.MinutesSinceBlending), given(l.TemperatureC), word(l.Instrument), word(l.Analyst),
		at(done), recorded, statusOf(t.ArchivedAt), t.CreatedAt.String(), at(t.ArchivedAt)), err
}

// setupCells are how a trial was set up.
func setupCells(t record.Trial) ([]any, error) {
	var held, tools any
	var err error
	if len(t.Held) > 0 {
		if held, err = asJSON(t.Held); err != nil {
			return nil, err
		}
	}
	if len(t.Tools) > 0 {
		if tools, err = asJSON(t.Tools); err != nil {
			return nil, err
		}
	}
	return []any{t.ID, word(t.Name), word(t.Base.Name), word(t.Addition.Name), t.BaseML, held, tools}, nil
}

// unlessZero is a count, or an empty cell where there is none.
func unlessZero(n int) any {
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

func (e *exporter) specTable() table {
	return table{name: string(Specs), header: specsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Specs, func(s record.Spec) string { return s.ID }, "", func(s record.Spec) (bool, error) {
			cells := []any{s.ID, s.Version, word(s.Name), word(s.Rule), given(s.MaxRisk)}
			var tolerance any
			if s.Tolerance != nil {
				tolerance = s.Tolerance.DeltaE00
			}
			var written [3]any
			for i, part := range []struct {
				there bool
				value any
			}{{s.Target != nil, s.Target}, {s.Limits != nil, s.Limits}, {s.View != nil, s.View}} {
				if !part.there {
					continue
				}
				var err error
				if written[i], err = asJSON(part.value); err != nil {
					return false, err
				}
			}
			return true, put(append(cells, written[0], tolerance, written[1], written[2], statusOf(s.ArchivedAt), s.CreatedAt.String(), at(s.ArchivedAt)))
		})
	}}
}

func (e *exporter) lotTable() table {
	return table{name: string(Lots), header: lotsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Lots, func(l record.Lot) string { return l.ID }, "", func(l record.Lot) (bool, error) {
			samples := 0
			list := func(ctx context.Context, p record.Page) ([]record.Sample, error) {
				return e.store.SamplesOf(ctx, l.ID, p)
			}
			err := each(ctx, list, func(s record.Sample) string { return s.ID }, "", func(s record.Sample) (bool, error) {
				samples++
				return true, put(lotCells(l, &s))
			})
			if err == nil && samples == 0 {
				err = put(lotCells(l, nil))
			}
			return true, err
		})
	}}
}

func lotCells(l record.Lot, s *record.Sample) []any {
	cells := []any{l.ID, l.Name, word(l.Wine), l.Spec, l.SpecVersion}
	if s == nil {
		cells = append(cells, make([]any, len(lotsHeader)-len(cells)-3)...)
	} else {
		var de00, deAB any
		if d := s.Difference; d != nil {
			de00, deAB = given(d.DeltaE00), given(d.DeltaEab)
		}
		c, v := s.Colour.CIELAB, s.Colour.Conditions
		cells = append(cells, s.ID, s.Verdict, given(s.Probability), de00, deAB, c.L, c.A, c.B, v.Illuminant, v.Observer, v.PathMM,
			word(s.Instrument), word(s.Analyst), at(s.TakenAt), s.RecordedAt.String(), s.DecidedAt.String())
	}
	return append(cells, statusOf(l.ArchivedAt), l.CreatedAt.String(), at(l.ArchivedAt))
}
