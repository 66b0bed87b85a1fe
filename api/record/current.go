package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"pourpath/api/calc"
)

// Current finds which of a wine's readings its present data are made of: the
// newest that is neither superseded nor archived, by the time it counts from,
// then by when it was recorded, then by its identifier. Where that one has a
// replicate number, the set holds its replicates too, the newest first: each of
// the same sample by all that is told of it, see sameSample; of one number the
// newest counts. ok is false where no reading counts.
func Current(readings []Reading) (set []Reading, ok bool) {
	superseded := map[string]bool{}
	for i := range readings {
		if old := readings[i].Supersedes; old != "" {
			superseded[old] = true
		}
	}
	var counting []*Reading
	for i := range readings {
		if r := &readings[i]; r.ArchivedAt == nil && r.SupersededBy == "" && !superseded[r.ID] {
			counting = append(counting, r)
		}
	}
	if len(counting) == 0 {
		return nil, false
	}
	slices.SortFunc(counting, newestFirst)
	newest := counting[0]
	set = []Reading{*newest}
	if newest.Replicate == nil {
		return set, true
	}
	numbers := map[int]bool{*newest.Replicate: true}
	for _, r := range counting[1:] {
		if r.Replicate != nil && !numbers[*r.Replicate] && sameSample(newest, r) {
			numbers[*r.Replicate] = true
			set = append(set, *r)
		}
	}
	return set, true
}

func newestFirst(a, b *Reading) int {
	return cmp.Or(b.At().Compare(a.At().Time), b.RecordedAt.Compare(a.RecordedAt.Time), strings.Compare(b.ID, a.ID))
}

// sameSample says whether two readings repeat each other: the same kind of
// measurement at the same wavelengths, in the same cell and dilution, with the
// same diluent, blank, instrument and analyst, taken at the same time or, where
// no time is told of either, recorded on the same day (UTC).
func sameSample(a, b *Reading) bool {
	return a.Diluent == b.Diluent && a.Blank == b.Blank && a.Instrument == b.Instrument && a.Analyst == b.Analyst &&
		sameTime(a, b) && a.Measurement.repeats(b.Measurement)
}

func sameTime(a, b *Reading) bool {
	if a.TakenAt != nil && b.TakenAt != nil {
		return a.TakenAt.Equal(b.TakenAt.Time)
	}
	return a.TakenAt == nil && b.TakenAt == nil &&
		a.RecordedAt.UTC().Format(time.DateOnly) == b.RecordedAt.UTC().Format(time.DateOnly)
}

// repeats says whether both were measured in the same way.
func (m Measurement) repeats(other Measurement) bool {
	path, dilution := m.Cell()
	otherPath, otherDilution := other.Cell()
	if path != otherPath || dilution != otherDilution {
		return false
	}
	switch {
	case m.Readings != nil && other.Readings != nil:
		return slices.Equal(furtherNM(m.Readings), furtherNM(other.Readings))
	case m.Spectrum != nil && other.Spectrum != nil:
		return slices.Equal(m.Spectrum.NM, other.Spectrum.NM)
	case m.CIELAB != nil && other.CIELAB != nil:
		return cmp.Or(m.CIELAB.Illuminant, "D65") == cmp.Or(other.CIELAB.Illuminant, "D65") &&
			cmp.Or(m.CIELAB.Observer, "10") == cmp.Or(other.CIELAB.Observer, "10")
	}
	return false
}

// furtherNM are the wavelengths beside the three, ascending.
func furtherNM(r *calc.Readings) []float64 {
	nm := make([]float64, len(r.Extra))
	for i, e := range r.Extra {
		nm[i] = e.NM
	}
	slices.Sort(nm)
	return nm
}

// errNotReplicates: Combine was given readings that do not repeat each other.
var errNotReplicates = errors.New("record: these readings are no replicates: they differ in kind, cell, dilution or wavelengths")

// Combine makes one wine of a set as Current gives it. A single reading passes as
// it stands, without statistics. Replicates are averaged: absorbances at each
// wavelength, transmittances as absorbances, and L*, a*, b* with one more
// decimal than they were given with. The uncertainty of averaged readings is the
// larger of what is stated and what they show, over √n (JCGM 100:2008, 4.2.3);
// that of scans stays, as it stands for what blank and baseline do to all of
// them. The error says that the set is none.
func Combine(name string, set []Reading) (calc.StoredWine, *Statistics, error) {
	if len(set) == 0 {
		return calc.StoredWine{}, nil, fmt.Errorf("record: combining readings: %w", calc.ErrNoReading)
	}
	ids := make([]string, len(set))
	for i := range set {
		ids[i] = set[i].ID
		if set[i].given() != 1 || i > 0 && !set[0].repeats(set[i].Measurement) {
			return calc.StoredWine{}, nil, errNotReplicates
		}
	}
	m := set[0].Measurement
	var statistics *Statistics
	if len(set) > 1 {
		var err error
		if m, statistics, err = average(ids, set); err != nil {
			return calc.StoredWine{}, nil, err
		}
	}
	return calc.StoredWine{Wine: m.Wine(name), ReadingIDs: ids}, statistics, nil
}
