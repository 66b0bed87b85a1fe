package labfile

import (
	"bytes"
	_ "embed" // the table of header names
	"encoding/csv"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

//go:embed headers.csv
var headersCSV []byte

// known is the table of header names by their compared form.
var known = sync.OnceValue(func() map[string]meaning {
	in := csv.NewReader(bytes.NewReader(headersCSV))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		panic("labfile: headers.csv: " + err.Error())
	}
	out := make(map[string]meaning, 2*len(rows))
	for _, row := range rows[1:] {
		f := noField
		for i, name := range fieldNames {
			if name == row[0] {
				f = field(i)
			}
		}
		m := meaning{field: f, weak: row[2] == "weak", by: "name", quantity: quantityOf(f)}
		if row[2] == "cells" {
			m = meaning{field: noField, by: "none", maybe: f}
		}
		for h := range strings.SplitSeq(row[4], "|") {
			if h = folded(h); h != "" {
				out[h] = m
			}
		}
		if row[2] == "cells" {
			continue // the field's own name says what it is
		}
		out[folded(row[0])] = meaning{field: f, weak: m.weak, by: "name", quantity: m.quantity}
	}
	return out
})

// folded is a header's compared form: lower case, without accents, blanks
// and punctuation but the per cent sign.
func folded(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		switch {
		case r == 'ß':
			b.WriteString("ss")
		case r == '%' || unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}

// relativeWords mark a spectrum that was divided by something, in compared form.
var relativeWords = []string{"relativ", "normalis", "normaliz", "normalizz", "normiert", "arbitrary", "arbunits", "%max", "%ofmax", "normed"}

// meaningOf tells what a column holds by its header.
func meaningOf(header string) meaning {
	if m, ok := bareNumber(header); ok {
		return m
	}
	base, bracket := withoutBrackets(header)
	u, pathMM := unitOf(bracket)
	m := meaning{field: noField, by: "none"}
	key := folded(base)
	if found, ok := known()[key]; ok {
		m = found
	} else if found, tail := withTrailingUnit(key); tail != noUnit {
		m = found
		u = tail
	} else if nm, q, ok := wavelength(base); ok {
		m = meaning{field: fWave, nm: nm, quantity: q, by: "name"}
	}
	m.unit = u
	m.relative = isRelative(folded(header), u, m)
	m = byUnit(m, key, u)
	if pathMM > 0 && (m.field == fWave || m.field == fAbsorbance) {
		m.unit = unitOther // the path in a header is told as not understood
	}
	return m
}

// bareNumber takes a header that is a number alone, as those of a scan's many
// columns are, without comparing it with names.
func bareNumber(header string) (meaning, bool) {
	if header == "" || header[0] < '-' || header[0] > '9' {
		return meaning{}, false
	}
	x, err := strconv.ParseFloat(strings.Replace(header, ",", ".", 1), 64)
	if err != nil {
		return meaning{}, false
	}
	if x >= minHeaderNM && x <= maxHeaderNM {
		return meaning{field: fWave, nm: x, by: "name"}, true
	}
	return meaning{field: noField, by: "none"}, true
}

// shortName is a name of one letter, or none, with its unit.
type shortName struct {
	key string
	unit
}

// short are the names that a unit makes clear; b is the path's symbol in
// OIV-MA-AS2-07B.
var short = map[shortName]field{
	{"b", unitMM}: fPath, {"b", unitCM}: fPath, {"d", unitMM}: fPath, {"d", unitCM}: fPath, {"l", unitMM}: fPath, {"l", unitCM}: fPath,
	{"t", unitCelsius}: fTemperature, {"t", unitFahrenheit}: fTemperature,
	{"t", unitPercent}: fTransmittance, {"t", unitFraction}: fTransmittance,
	{"", unitNM}: fNM,
}

// byUnit lets the unit decide where the name is short or wrong.
func byUnit(m meaning, key string, u unit) meaning {
	if f, ok := short[shortName{key, u}]; ok {
		return meaning{field: f, quantity: quantityOf(f), unit: u, by: "name"}
	}
	if m.field == fWave && m.quantity == unnamed {
		switch u {
		case unitAU, unitMilliAU:
			m.quantity = absorbance
		case unitPercent:
			m.quantity = transmittance
		}
	}
	return m
}

// withoutBrackets cuts the first bracket off a header.
func withoutBrackets(header string) (base, bracket string) {
	open := strings.IndexAny(header, "([{")
	if open < 0 {
		return header, ""
	}
	end := strings.IndexAny(header[open:], ")]}")
	if end < 0 {
		return header[:open], header[open+1:]
	}
	return header[:open] + " " + header[open+end+1:], header[open+1 : open+end]
}

// withTrailingUnit reads headers such as "path_cm" and "Schichtdicke in mm".
func withTrailingUnit(key string) (meaning, unit) {
	for _, tail := range []string{"mm", "cm", "nm", "min", "c", "l", "hl", "%"} {
		stem, ok := strings.CutSuffix(key, tail)
		if !ok {
			continue
		}
		for _, stem := range []string{stem, strings.TrimSuffix(stem, "in"), strings.TrimSuffix(stem, "en")} {
			if m, ok := known()[stem]; ok && len(stem) > 1 {
				return m, units[tail]
			}
		}
	}
	return meaning{}, noUnit
}

// ordinateWords are what may stand before or after a wavelength in a header, in
// compared form.
var ordinateWords = map[string]quantity{
	"": unnamed, "x": unnamed, "nm": unnamed, "wl": unnamed, "lambda": unnamed, "λ": unnamed,
	"a": absorbance, "abs": absorbance, "absorbance": absorbance, "absorbancia": absorbance, "assorbanza": absorbance,
	"absorption": absorbance, "absorbanz": absorbance, "extinktion": absorbance, "ext": absorbance, "e": absorbance,
	"od": absorbance, "do": absorbance, "d": absorbance, "opticaldensity": absorbance, "densiteoptique": absorbance,
	"densidadoptica": absorbance, "densitaottica": absorbance, "optischedichte": absorbance,
	"t": transmittance, "%t": transmittance, "t%": transmittance, "transmittance": transmittance, "transmission": transmittance,
	"transmitancia": transmittance, "trasmittanza": transmittance, "durchlassigkeit": transmittance, "transmissionsgrad": transmittance, "%": transmittance,
}

// wavelength reads headers such as "420", "A420", "Abs. 420 nm", "380,5 nm" and
// "Absorbance at 520 nm".
func wavelength(base string) (nm float64, q quantity, ok bool) {
	first := strings.IndexFunc(base, unicode.IsDigit)
	if first < 0 {
		return 0, 0, false
	}
	last := first
	for last < len(base) && (base[last] >= '0' && base[last] <= '9' || base[last] == '.' || base[last] == ',') {
		last++
	}
	number := strings.TrimRight(strings.Replace(base[first:last], ",", ".", 1), ".")
	nm, err := strconv.ParseFloat(number, 64)
	if err != nil || !(nm >= minHeaderNM && nm <= maxHeaderNM) {
		return 0, 0, false
	}
	before, okBefore := ordinateWord(folded(base[:first]), "at", "bei", "a", "en")
	tail := strings.TrimPrefix(folded(base[last:]), "nm")
	after, okAfter := ordinateWord(tail)
	return nm, max(before, after), okBefore && okAfter
}

// ordinateWord looks a word up, with and without a preposition at its end.
func ordinateWord(word string, prepositions ...string) (quantity, bool) {
	if q, ok := ordinateWords[word]; ok {
		return q, true
	}
	for _, p := range prepositions {
		if stem, cut := strings.CutSuffix(word, p); cut {
			if q, ok := ordinateWords[stem]; ok {
				return q, true
			}
		}
	}
	return 0, false
}

// isRelative says whether a header names a spectrum without a scale. A header
// that speaks of something else, such as the relative humidity, does not.
func isRelative(key string, u unit, m meaning) bool {
	if u == unitArbitrary && (m.field == fWave || m.quantity != unnamed || m.field == fOrdinate) {
		return true
	}
	for _, word := range relativeWords {
		i := strings.Index(key, word)
		if i < 0 {
			continue
		}
		if m.field == fWave || m.quantity != unnamed || i == 0 && len(key) <= len(word)+4 {
			return true
		}
		for _, stem := range []string{"abs", "assorb", "extin", "transm", "trasm", "durchl", "spect", "spekt", "spett", "espec", "intens", "densit", "densid"} {
			if strings.Contains(key, stem) {
				return true
			}
		}
	}
	return false
}
