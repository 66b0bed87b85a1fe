package export

import (
	"context"
	"slices"

	"pourpath/api/record"
)

// survey is what must be known of all readings before the first row is written:
// at which wavelengths they were read.
type survey struct {
	// last is the identifier of the last reading that was looked at, "" for
	// none: readings that are recorded after it are left out.
	last string
	// extra are the wavelengths of readings beside 420, 520 and 620 nm,
	// ascending.
	extra []float64
	parts []part
}

// part is a run of scans, in the order of their records, that one table holds.
type part struct {
	after, last string // as survey.last; last belongs to the part
	// The wavelengths of scans in absorbance and in transmittance, ascending.
	absorbance, transmittance []float64
}

// surveyed looks at all readings, once for an export.
func (e *exporter) surveyed(ctx context.Context) (*survey, error) {
	if e.survey != nil {
		return e.survey, nil
	}
	s, extra, waves := &survey{}, waveSet{}, partWaves{waveSet{}, waveSet{}}
	after := ""
	closePart := func() {
		s.parts = append(s.parts, part{after: after, last: s.last, absorbance: waves[0].ascending(), transmittance: waves[1].ascending()})
		after, waves = s.last, partWaves{waveSet{}, waveSet{}}
	}
	err := each(ctx, e.store.Readings, readingID, "", func(r record.Reading) (bool, error) {
		if r.Readings != nil {
			for _, x := range r.Readings.Extra {
				extra[x.NM] = true
			}
		}
		if r.Spectrum != nil {
			if more := waves.lacks(r); more > 0 && waves.size() > 0 && waves.size()+more > e.mostWaves {
				closePart()
			}
			waves.add(r)
		}
		s.last = r.ID
		return true, nil
	})
	if err != nil {
		return nil, err
	}
	closePart()
	s.extra = extra.ascending()
	e.survey = s
	return s, nil
}

func readingID(r record.Reading) string { return r.ID }

// waveSet holds wavelengths in nm.
type waveSet map[float64]bool

func (s waveSet) ascending() []float64 {
	list := make([]float64, 0, len(s))
	for nm := range s {
		list = append(list, nm)
	}
	slices.Sort(list)
	return list
}

// partWaves are the wavelengths of scans in absorbance and in transmittance.
type partWaves [2]waveSet

// of is the set that a scan's wavelengths belong to.
func (w partWaves) of(r record.Reading) waveSet {
	if r.Spectrum.TransmittancePercent != nil {
		return w[1]
	}
	return w[0]
}

func (w partWaves) size() int { return len(w[0]) + len(w[1]) }

func (w partWaves) lacks(r record.Reading) (n int) {
	set := w.of(r)
	for _, nm := range r.Spectrum.NM {
		if !set[nm] {
			n++
		}
	}
	return n
}

func (w partWaves) add(r record.Reading) {
	set := w.of(r)
	for _, nm := range r.Spectrum.NM {
		set[nm] = true
	}
}
