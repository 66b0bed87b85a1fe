package labfile

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

// TestHeaderTable holds headers.csv to what it promises: every name is found as
// its field, no name has two, and all five languages have the fields that a
// table of readings needs.
func TestHeaderTable(t *testing.T) {
	in := csv.NewReader(bytes.NewReader(headersCSV))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	owner, languages := map[string]string{}, map[string][]string{}
	for _, r := range rows[1:] {
		if !slices.Contains(fieldNames[:], r[0]) || !slices.Contains([]string{"strong", "weak", "cells"}, r[2]) || !slices.Contains([]string{"OIV", "practice"}, r[3]) {
			t.Errorf("%q", r)
		}
		languages[r[0]] = append(languages[r[0]], r[1])
		for h := range strings.SplitSeq(r[4], "|") {
			if h == "" {
				continue
			}
			if had, ok := owner[folded(h)]; ok && had != r[0] {
				t.Errorf("%q is %s and %s", h, had, r[0])
			}
			owner[folded(h)] = r[0]
			got := meaningOf(h)
			if r[2] == "cells" {
				got.field = got.maybe
			}
			if got.field.String() != r[0] {
				t.Errorf("%q: %s, want %s", h, got.field, r[0])
			}
		}
	}
	for _, f := range []string{"name", "path_mm", "dilution", "diluent", "nm", "absorbance", "transmittance", "date", "instrument", "analyst"} {
		for _, l := range []string{"en", "fr", "es", "it", "de"} {
			if !slices.Contains(languages[f], l) {
				t.Errorf("%s has no name in %s", f, l)
			}
		}
	}
}

func TestMeaningOf(t *testing.T) {
	for header, want := range map[string]string{
		"A420": "a420", "a_420": "a420", "A 420 nm": "a420", "Abs. 420 nm (AU)": "a420", "A420 (AU)": "a420", "DO 420": "a420", "OD420": "a420",
		"Absorbance at 520 nm": "a520", "Absorbance à 520 nm": "a520", "Absorbancia a 520": "a520", "Assorbanza 520": "a520", "Extinktion bei 520 nm": "a520",
		"520": "a520", "520 nm": "a520", "380,5": "a380.5", "460 (nm)": "a460", "%T 520": "t520", "T520 (%)": "t520", "Transmission 520 nm": "t520",
		"Path [mm]": "path_mm", "Trajet (mm)": "path_mm", "b (cm)": "path_mm", "path_cm": "path_mm", "Schichtdicke in mm": "path_mm", "Küvette/mm": "path_mm",
		"λ (nm)": "nm", "Wavelength (nm)": "nm", "WELLENLÄNGE": "nm", "Longueur d’onde": "nm", "L*": "L", "a*": "a", "b*": "b",
		"T (°C)": "temperature_c", "Temp. [°C]": "temperature_c", "Nom du vin": "name", "Proben-Nr.": "name", "20": "", "12000": "", "pH": "", "Alcohol (%)": "",
		"A420_derived": "", "2025": "", "Lot": "lot",
	} {
		if got := meaningOf(header).name(); got != want {
			t.Errorf("%q: %q, want %q", header, got, want)
		}
	}
}

func TestRelativeHeaders(t *testing.T) {
	for header, want := range map[string]bool{
		"relative absorbance": true, "Absorbance (relative)": true, "normalised": true, "Absorbance normalisée": true, "relative Absorption": true,
		"Absorbancia normalizada": true, "Assorbanza relativa": true, "A420 (a.u.)": true, "A420 (%max)": true, "normiert": true, "Relative spectrum": true,
		"A420 (AU)": false, "A420 (A.U.)": false, "Relative humidity (%)": false, "Absorbance": false, "Wine": false,
	} {
		if got := meaningOf(header).relative; got != want {
			t.Errorf("%q: %v", header, got)
		}
	}
}

func TestParseNumber(t *testing.T) {
	for _, c := range []struct {
		text  string
		sign  decimalSign
		want  float64
		fault string
	}{
		{"0.142", point, 0.142, ""}, {"0,142", comma, 0.142, ""}, {" 12 ", comma, 12, ""}, {"-0,002", comma, -0.002, ""}, {"−0.002", point, -0.002, ""},
		{"1,234", comma, 1.234, ""}, {"1,234", either, 1.234, ""}, {"1.234", either, 1.234, ""}, {"1.5E-3", point, 0.0015, ""}, {"1,5e-3", comma, 0.0015, ""},
		{"1,234", point, 0, "thousands"}, {"1.234", comma, 0, "thousands"}, {"1.234,5", comma, 0, "thousands"}, {"1,234.5", either, 0, "thousands"}, {"1 234,5", comma, 0, "thousands"},
		{"inf", point, 0, "not a number"}, {"NaN", point, 0, "not a number"}, {"0x1p4", point, 0, "not a number"}, {"1_000", point, 0, "not a number"}, {"<0.01", point, 0, "not a number"},
		{"1e999", point, 0, "not a number"}, {"", point, 0, "not a number"}, {"0.1 AU", point, 0, "not a number"},
	} {
		got, fault := parseNumber(c.text, c.sign)
		if got != c.want || !strings.Contains(fault, c.fault) || (fault == "") != (c.fault == "") {
			t.Errorf("%q (%d): %g, %q", c.text, c.sign, got, fault)
		}
	}
}

func TestParseMoment(t *testing.T) {
	for _, c := range []struct {
		text  string
		order dateOrder
		want  string // "" for none
	}{
		{"2026-11-25", dayFirst, "2026-11-25T00:00:00Z"}, {"25/11/2026", dayFirst, "2026-11-25T00:00:00Z"}, {"11/25/2026", monthFirst, "2026-11-25T00:00:00Z"},
		{"25.11.2026", monthFirst, "2026-11-25T00:00:00Z"}, {"5.1.26", dayFirst, "2026-01-05T00:00:00Z"}, {"31/12/99", dayFirst, "1999-12-31T00:00:00Z"},
		{"2026/11/25 14:30", dayFirst, "2026-11-25T14:30:00Z"}, {"2026-11-25T14:30:05.5+01:00", dayFirst, "2026-11-25T13:30:05.5Z"}, {"25.11.2026, 14:30", dayFirst, "2026-11-25T14:30:00Z"},
		{"11/25/2026 12:05 AM", monthFirst, "2026-11-25T00:05:00Z"}, {"11/25/2026 2:30:01 pm", monthFirst, "2026-11-25T14:30:01Z"}, {"2026-02-29", dayFirst, ""}, {"2024-02-29", dayFirst, "2024-02-29T00:00:00Z"},
		{"31/02/2026", dayFirst, ""}, {"13/13/2026", dayFirst, ""}, {"25:11:2026", dayFirst, ""}, {"2026-11-25 25:00", dayFirst, ""}, {"0001-01-01", dayFirst, ""}, {"today", dayFirst, ""}, {"", dayFirst, ""}, {"12", dayFirst, ""},
	} {
		m, ok := parseMoment(c.text, c.order)
		got := ""
		if ok {
			got = m.at().UTC().Format("2006-01-02T15:04:05.999Z07:00")
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestDateCodes(t *testing.T) {
	for code, want := range map[string]bool{
		"yyyy-mm-dd": true, "DD/MM/YYYY": true, "[$-409]h:mm AM/PM": true, "[h]:mm": true, `0.00" days"`: false, "0.00": false, "General": false,
		"#,##0.00_);[Red](#,##0.00)": false, "0.00E+00": false, `0\d`: false, "@": false, "Standard": false,
	} {
		if got := isDateCode(code); got != want {
			t.Errorf("%q: %v", code, got)
		}
	}
}
