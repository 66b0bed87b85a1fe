package reports_test

import (
	"math"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
	"pourpath/reports"
)

func spectrumOf(w spectrum.Wine) reports.SpectrumFigure {
	f := reports.SpectrumFigure{Source: string(w.Source), Version: "Pourpath 1.0"}
	for i, a := range w.Absorbance {
		variance := 0.0
		for _, term := range w.Terms {
			variance += term.Effect[i] * term.Effect[i]
		}
		f.Curve = append(f.Curve, reports.SpectrumPoint{NM: cie.Wavelength(i), A: a, U: math.Sqrt(variance)})
	}
	return f
}

// readSpectrum is of a red that was read at three wavelengths in a cell of 1 mm.
func readSpectrum(t testing.TB) reports.SpectrumFigure {
	t.Helper()
	r := reading.Readings{Cell: reading.Cell{PathMM: 1, Dilution: 1}, A420: 0.243, A520: 0.412, A620: 0.069, UAbsorbance: 0.002}
	w, err := spectrum.FromReadings(r)
	if err != nil {
		t.Fatal(err)
	}
	f := spectrumOf(w)
	f.Name, f.Conditions = "Red, barrel 7", "Read 2026-11-20 09:40 UTC, 1 mm cell"
	for _, at := range r.All() {
		f.Read = append(f.Read, reports.SpectrumPoint{NM: at.NM, A: at.Absorbance * r.Cell.Per10MM()})
	}
	return f
}

// scannedSpectrum is of a scan from 390 to 760 nm by 2 nm.
func scannedSpectrum(t testing.TB) reports.SpectrumFigure {
	t.Helper()
	scan := reading.Scan{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.004}
	for nm := 390.0; nm <= 760; nm += 2 {
		scan.NM = append(scan.NM, nm)
		scan.Absorbance = append(scan.Absorbance, 0.5*math.Exp(-(nm-380)/110)+0.11*math.Exp(-math.Pow((nm-519)/38, 2))+0.004)
	}
	w, err := spectrum.FromScan(scan)
	if err != nil {
		t.Fatal(err)
	}
	f := spectrumOf(w)
	f.Name = "Last year's rosé"
	for i, nm := range scan.NM {
		f.Read = append(f.Read, reports.SpectrumPoint{NM: nm, A: scan.Absorbance[i]})
	}
	return f
}

// The pictures were looked at by eye, in grey too.
func TestGoldenSpectrum(t *testing.T) {
	stated := readSpectrum(t)
	stated.Source, stated.Read = "cielab", nil
	for name, f := range map[string]reports.SpectrumFigure{"spectrum": readSpectrum(t), "spectrum_scan": scannedSpectrum(t), "spectrum_stated": stated} {
		for _, format := range everyFormat {
			if format.name == "svg" || name == "spectrum" {
				t.Run(name+"."+format.name, func(t *testing.T) { golden(t, name, format.name, written(t, f, format.write)) })
			}
		}
	}
}

func TestSpectrumFigureFaults(t *testing.T) {
	for want, spoil := range map[string]func(*reports.SpectrumFigure){
		"curve: 1 points":                func(f *reports.SpectrumFigure) { f.Curve = f.Curve[:1] },
		"380 nm after 380":               func(f *reports.SpectrumFigure) { f.Curve[1].NM = 380 },
		"curve point 3":                  func(f *reports.SpectrumFigure) { f.Curve[3].A = math.NaN() },
		"curve point 4 uncertainty":      func(f *reports.SpectrumFigure) { f.Curve[4].U = -1 },
		"read point 2":                   func(f *reports.SpectrumFigure) { f.Read[2].A = math.Inf(1) },
		"read: 20001 points":             func(f *reports.SpectrumFigure) { f.Read = make([]reports.SpectrumPoint, 20001) },
		"source: \"guess\": want":        func(f *reports.SpectrumFigure) { f.Source = "guess" },
		"name: 501 characters":           func(f *reports.SpectrumFigure) { f.Name = strings.Repeat("x", 501) },
		"curve point 0 wavelength: 0 is": func(f *reports.SpectrumFigure) { f.Curve[0].NM = 0 },
	} {
		f := readSpectrum(t)
		spoil(&f)
		if _, err := f.Drawing(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}
