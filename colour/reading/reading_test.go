package reading

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour"
)

func neat(path float64) Cell { return Cell{PathMM: path, Dilution: 1} }

func TestReadingsValidate(t *testing.T) {
	good := Readings{Cell: neat(10), A420: 0.142, A520: 0.118, A620: 0.021, UAbsorbance: DefaultU}
	for _, row := range []struct {
		name   string
		change func(*Readings)
		field  string // where the fault is; empty for none
		words  string
	}{
		{"good", func(*Readings) {}, "", ""},
		{"noise below zero", func(r *Readings) { r.A620 = -0.003 }, "", ""},
		{"zero path", func(r *Readings) { r.PathMM = 0 }, "path_mm", "from 0.01 to 100"},
		{"negative path", func(r *Readings) { r.PathMM = -10 }, "path_mm", "from 0.01 to 100"},
		{"path not a number", func(r *Readings) { r.PathMM = math.NaN() }, "path_mm", "from 0.01 to 100"},
		{"dilution below 1", func(r *Readings) { r.Dilution = 0.1 }, "dilution", "total volume over wine volume"},
		{"saturated", func(r *Readings) { r.A520 = 6.5 }, "a520", "saturated"},
		{"negative", func(r *Readings) { r.A420 = -0.2 }, "a420", "blank"},
		{"not a number", func(r *Readings) { r.A620 = math.NaN() }, "a620", "not a number"},
		{"infinite", func(r *Readings) { r.A620 = math.Inf(1) }, "a620", "not a number"},
		{"no uncertainty", func(r *Readings) { r.UAbsorbance = 0 }, "u_absorbance", "above 0"},
		{"far ultraviolet", func(r *Readings) { r.Extra = []At{{280, 0.5}} }, "extra/0/nm", "380 to 780"},
		{"doubled wavelength", func(r *Readings) { r.Extra = []At{{520, 0.1}} }, "extra/0/nm", "twice"},
		{"doubled further wavelength", func(r *Readings) { r.Extra = []At{{570, 0.1}, {570, 0.1}} }, "extra/1/nm", "twice"},
		{"saturated further reading", func(r *Readings) { r.Extra = []At{{570, 7}} }, "extra/0/absorbance", "saturated"},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := good
			row.change(&r)
			checkFault(t, r.Validate(), row.field, row.words)
		})
	}
}

// checkFault wants exactly one fault, at field, saying words; or none.
func checkFault(t *testing.T, err error, field, words string) {
	t.Helper()
	if field == "" {
		if err != nil {
			t.Fatalf("fault %v, want none", err)
		}
		return
	}
	var faults colour.FieldErrors
	if !errors.As(err, &faults) || len(faults) != 1 {
		t.Fatalf("faults %v, want one at %s", err, field)
	}
	if faults[0].Field != field || !strings.Contains(faults[0].Message, words) {
		t.Errorf("fault %q, want it at %s and to say %q", faults[0], field, words)
	}
}

func TestReadingsReportAllFaults(t *testing.T) {
	r := Readings{Cell: Cell{PathMM: -1, Dilution: 0}, A420: math.NaN(), A520: 9, A620: -1, UAbsorbance: -1}
	var faults colour.FieldErrors
	if !errors.As(r.Validate(), &faults) || len(faults) != 6 {
		t.Errorf("%d faults %v, want 6", len(faults), faults)
	}
}

func scanOf(first, last, step float64) Scan {
	s := Scan{Cell: neat(10), UAbsorbance: DefaultU}
	for nm := first; nm <= last; nm += step {
		s.NM = append(s.NM, nm)
		s.Absorbance = append(s.Absorbance, 0.1)
	}
	return s
}

func TestScanValidate(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*Scan)
		field  string
		words  string
	}{
		{"good", func(*Scan) {}, "", ""},
		{"10 nm", func(s *Scan) { *s = scanOf(400, 700, 10) }, "", ""},
		{"from the ultraviolet, saturated there", func(s *Scan) { *s = scanOf(250, 780, 5); s.Absorbance[0] = 9 }, "", ""},
		{"starts late", func(s *Scan) { *s = scanOf(420, 700, 5) }, "nm", "400-700"},
		{"ends early", func(s *Scan) { *s = scanOf(400, 650, 5) }, "nm", "400-700"},
		{"20 nm", func(s *Scan) {
			*s = scanOf(400, 700, 20)
			s.NM = s.NM[:2]
			s.Absorbance = s.Absorbance[:2]
			s.NM[1] = 700
		}, "nm/1", "nothing is given"},
		{"unsorted", func(s *Scan) { s.NM[3], s.NM[4] = s.NM[4], s.NM[3] }, "nm/4", "ascend"},
		{"doubled", func(s *Scan) { s.NM[4] = s.NM[3] }, "nm/4", "twice"},
		{"empty", func(s *Scan) { s.NM, s.Absorbance = nil, nil }, "nm", "2 to"},
		{"lengths differ", func(s *Scan) { s.Absorbance = s.Absorbance[1:] }, "absorbance", "each wavelength"},
		{"saturated", func(s *Scan) { s.Absorbance[20] = 8 }, "absorbance/20", "saturated"},
		{"not a number", func(s *Scan) { s.Absorbance[20] = math.NaN() }, "absorbance/20", "not a number"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := scanOf(380, 780, 5)
			row.change(&s)
			checkFault(t, s.Validate(), row.field, row.words)
		})
	}
}

func TestTransmittance(t *testing.T) {
	good := scanOf(400, 700, 10)
	percent := make([]float64, len(good.NM))
	for i := range percent {
		percent[i] = 100 * math.Pow(10, -0.3)
	}
	s, err := FromTransmittance(neat(10), good.NM, percent, DefaultU)
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range s.Absorbance {
		if math.Abs(a-0.3) > 1e-12 {
			t.Fatalf("absorbance %d = %g, want 0.3", i, a)
		}
	}
	percent[7] = 0
	_, err = FromTransmittance(neat(10), good.NM, percent, DefaultU)
	checkFault(t, err, "transmittance_percent/7", "no light")
	percent[7] = 140
	_, err = FromTransmittance(neat(10), good.NM, percent, DefaultU)
	checkFault(t, err, "transmittance_percent/7", "darker than the wine")
}

// TestUncertaintyWidens: in the middle of the scale u is the instrument's, at
// high absorbance stray light takes over.
func TestUncertaintyWidens(t *testing.T) {
	for _, row := range []struct{ a, want, tolerance float64 }{
		{0.3, 0.002, 0.0001}, {0.7, 0.0021, 0.0001}, {2, 0.0132, 0.0002}, {3, 0.130, 0.001},
	} {
		if got := Uncertainty(row.a, DefaultU); math.Abs(got-row.want) > row.tolerance {
			t.Errorf("Uncertainty(%g) = %g, want %g ± %g", row.a, got, row.want, row.tolerance)
		}
	}
}

func ExampleCell_Per10MM() {
	red := Cell{PathMM: 1, Dilution: 1}
	fmt.Println(0.5 * red.Per10MM())
	// Output: 5
}
