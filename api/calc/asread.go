package calc

import (
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// Core is r as it was read, in the core's type, with what it leaves out filled
// in.
func (r Readings) Core() reading.Readings {
	in := reading.Readings{
		Cell: cellOf(r.PathMM, r.Dilution),
		A420: r.A420, A520: r.A520, A620: r.A620,
		UAbsorbance: orDefault(r.UAbsorbance, reading.DefaultU),
	}
	for _, e := range r.Extra {
		in.Extra = append(in.Extra, reading.At{NM: e.NM, Absorbance: e.Absorbance})
	}
	return in
}

// Wine is the spectrum of a scan. The error is a *Problem with places in s.
func (s Spectrum) Wine() (spectrum.Wine, error) {
	var f Faults
	wine := s.resolve("", &f)
	return wine, f.Err()
}

// CheckAsRead appends the faults that w shows without its spectrum being
// estimated: thousands of rows of a file are checked in the time that one
// estimate takes. What it passes may still be no colour of a wine.
func CheckAsRead(w Wine, f *Faults) {
	if !w.oneInput("", f) {
		return
	}
	switch {
	case w.Readings != nil:
		f.Add("/readings", w.Readings.Core().Validate())
	case w.Spectrum != nil:
		w.Spectrum.core("/spectrum", f)
	case w.CIELAB != nil:
		before := len(f.list)
		stated := w.CIELAB.stated("/cielab", f)
		if len(f.list) == before {
			f.Add("/cielab", stated.Validate())
		}
	}
}
