package export

import (
	"context"
	"strconv"

	"pourpath/api/record"
)

var (
	// A specification has a row for each of its versions.
	specsHeader = []string{
		"spec_id", "version", "name", "rule", "max_risk", "target", "tolerance_delta_e_00", "limits", "view",
		"product", "valid_from", "valid_to", "approved_by", "reference", "reference_source", "reference_readings", "reference_state", "spec",
		"status", "created_at", "archived_at",
	}
	// A lot has a row for each sample with its first verdict, and one where there is
	// none yet.
	lotsHeader = []string{
		"lot_id", "lot", "wine_id", "spec_id", "spec_version", "product", "bottled_at", "notes",
		"sample_id", "stage", "bottle", "days_since_bottling", "verdict", "probability", "delta_e_00", "delta_e_ab", "L", "a", "b",
		"intensity", "tint", "a420", "a520", "a620", "illuminant", "observer", "path_mm", "instrument", "analyst", "taken_at",
		"free_so2_mg_per_l", "total_so2_mg_per_l", "filtered", "co2_mg_per_l", "wine_temperature_c", "acetaldehyde_added", "warnings",
		"recorded_at", "decided_at", "status", "created_at", "archived_at", "storage", "sample_storage",
	}
	verdictsHeader = []string{
		"verdict_id", "lot_id", "sample_id", "spec_id", "spec_version", "verdict", "probability", "delta_e_00", "delta_e_ab", "results", "warnings", "program", "decided_at",
	}
	decisionsHeader  = []string{"decision_id", "lot_id", "decision", "verdicts", "by", "at", "reason", "recorded_at"}
	statementsHeader = []string{"no", "lot_id", "verdict_id", "issued_at", "previous_sha256", "sha256", "content"}
	checksHeader     = []string{
		"check_id", "instrument", "kind", "reference", "nm", "certified", "limit", "reading", "passed", "checked_at", "by", "next_due", "notes", "recorded_at",
	}
)

// cells appends values as JSON, and empty cells for what is not there.
func cells(row []any, values ...any) ([]any, error) {
	for _, v := range values {
		text, err := asJSON(v)
		if err != nil {
			return row, err
		}
		if text == "null" {
			text = nil
		}
		row = append(row, text)
	}
	return row, nil
}

func (e *exporter) specTable() table {
	return table{name: string(Specs), header: specsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Specs, func(s record.Spec) string { return s.ID }, "", func(newest record.Spec) (bool, error) {
			versions, err := e.store.SpecVersions(ctx, newest.ID)
			if err != nil {
				return false, err
			}
			for _, s := range versions {
				row, err := specCells(s)
				if err == nil {
					err = put(row)
				}
				if err != nil {
					return false, err
				}
			}
			return true, nil
		})
	}}
}

func specCells(s record.Spec) ([]any, error) {
	row := []any{s.ID, s.Version, word(s.Name), word(s.Rule), given(s.MaxRisk)}
	row, err := cells(row, s.Target)
	if err != nil {
		return row, err
	}
	var tolerance any
	if s.Tolerance != nil && s.Tolerance.DeltaE00 > 0 {
		tolerance = s.Tolerance.DeltaE00
	}
	row, err = cells(append(row, tolerance), s.Limits, s.View)
	if err != nil {
		return row, err
	}
	row = append(row, word(s.Product), at(s.ValidFrom), at(s.ValidTo), word(s.ApprovedBy))
	if row, err = cells(row, s.Reference); err != nil {
		return row, err
	}
	row = append(row, word(s.ReferenceSource))
	if row, err = cells(row, s.ReferenceReadings, s.ReferenceState, s.Spec); err != nil {
		return row, err
	}
	return append(row, statusOf(s.ArchivedAt), s.CreatedAt.String(), at(s.ArchivedAt)), nil
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
				row, err := lotCells(l, &s)
				if err != nil {
					return false, err
				}
				return true, put(row)
			})
			if err == nil && samples == 0 {
				var row []any
				if row, err = lotCells(l, nil); err == nil {
					err = put(row)
				}
			}
			return true, err
		})
	}}
}

func lotCells(l record.Lot, s *record.Sample) ([]any, error) {
	row := []any{l.ID, l.Name, word(l.Wine), l.Spec, l.SpecVersion, word(l.Product), at(l.BottledAt), word(l.Notes)}
	if s == nil {
		row = append(row, make([]any, len(lotsHeader)-len(row)-5)...)
		return append(row, statusOf(l.ArchivedAt), l.CreatedAt.String(), at(l.ArchivedAt), word(l.Storage), nil), nil
	}
	row = append(row, s.ID, word(s.Stage), word(s.Bottle), given(s.DaysSinceBottling))
	row = append(row, verdictCells(s.Judgement)...)
	c, v := s.Colour.CIELAB, s.Colour.Conditions
	row = append(row, c.L, c.A, c.B, given(s.Colour.Intensity), given(s.Colour.Tint))
	if a := s.Colour.Absorbance; a != nil {
		row = append(row, a.A420, a.A520, a.A620)
	} else {
		row = append(row, nil, nil, nil)
	}
	row = append(row, v.Illuminant, v.Observer, v.PathMM, word(s.Instrument), word(s.Analyst), at(s.TakenAt))
	state := record.State{}
	if s.State != nil {
		state = *s.State
	}
	row = append(row, given(state.FreeSO2), given(state.TotalSO2), yesOrNo(state.Filtered), given(state.CO2), given(state.Temperature), yesOrNo(state.Acetaldehyde))
	row, err := cells(row, codesOf(s.Judgement))
	return append(row, s.RecordedAt.String(), s.DecidedAt.String(), statusOf(l.ArchivedAt), l.CreatedAt.String(), at(l.ArchivedAt), word(l.Storage), word(s.Storage)), err
}

// verdictCells are a verdict, its probability and its differences.
func verdictCells(j record.Judgement) []any {
	var de00, deAB any
	if d := j.Difference; d != nil {
		de00, deAB = given(d.DeltaE00), given(d.DeltaEab)
	}
	return []any{j.Verdict, given(j.Probability), de00, deAB}
}

// codesOf are the codes of a verdict's warnings; nil for none.
func codesOf(j record.Judgement) (codes []string) {
	for _, w := range j.Warnings {
		codes = append(codes, w.Code)
	}
	return codes
}

func yesOrNo(b *bool) any {
	if b == nil {
		return nil
	}
	return yesNo(*b)
}

func (e *exporter) verdictTable() table {
	return table{name: string(Verdicts), header: verdictsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Verdicts, func(v record.Verdict) string { return v.VerdictID }, "", func(v record.Verdict) (bool, error) {
			row := append([]any{v.VerdictID, v.LotID, v.SampleID, v.Spec, v.SpecVersion}, verdictCells(v.Judgement)...)
			row, err := cells(row, v.Results, codesOf(v.Judgement))
			if err != nil {
				return false, err
			}
			return true, put(append(row, word(v.Program), v.DecidedAt.String()))
		})
	}}
}

func (e *exporter) decisionTable() table {
	return table{name: string(Decisions), header: decisionsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Decisions, func(d record.Decision) string { return d.ID }, "", func(d record.Decision) (bool, error) {
			row, err := cells([]any{d.ID, d.LotID, d.Decision}, d.Verdicts)
			if err != nil {
				return false, err
			}
			return true, put(append(row, word(d.By), at(d.At), word(d.Reason), d.RecordedAt.String()))
		})
	}}
}

func (e *exporter) statementTable() table {
	return table{name: string(Statements), header: statementsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		list := func(ctx context.Context, p record.Page) ([]record.Statement, error) {
			after := 0
			if p.After != "" {
				var err error
				if after, err = strconv.Atoi(p.After); err != nil { // made below
					return nil, err
				}
			}
			return e.store.Statements(ctx, "", after, p.Limit)
		}
		return each(ctx, list, func(st record.Statement) string { return strconv.Itoa(st.No) }, "", func(st record.Statement) (bool, error) {
			return true, put([]any{st.No, st.LotID, st.VerdictID, st.IssuedAt.String(), word(st.Previous), st.SHA256, string(st.Content)})
		})
	}}
}

// checkTable has a row for each point of a check.
func (e *exporter) checkTable() table {
	return table{name: string(Checks), header: checksHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.InstrumentChecks, func(c record.InstrumentCheck) string { return c.ID }, "", func(c record.InstrumentCheck) (bool, error) {
			for _, p := range c.Points {
				err := put([]any{
					c.ID, c.Instrument, word(c.Kind), word(c.Reference), given(p.NM), p.Certified, p.Limit, p.Reading, yesOrNo(&c.Passed),
					at(c.CheckedAt), word(c.By), at(c.NextDue), word(c.Notes), c.RecordedAt.String(),
				})
				if err != nil {
					return false, err
				}
			}
			return true, nil
		})
	}}
}
