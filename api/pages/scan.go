package pages

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

// readScan reads one scan that was pasted from a spreadsheet or an instrument:
// lines of a wavelength and an ordinate with or without headers, or JCAMP-DX.
// What is wrong with it is in the faults, by line.
func readScan(pasted string) (record.Measurement, []calc.Fault, error) {
	lines, added := withHeader(pasted)
	file, err := labfile.Open(strings.NewReader(lines), int64(len(lines)), "pasted", labfile.Options{})
	if err != nil {
		list, err := faultsOf(err)
		return record.Measurement{}, byLine(list, added), err
	}
	defer func() { _ = file.Close() }() // it has nothing open but the text
	var found []record.Entry
	for entry, err := range file.Entries() {
		if err != nil {
			list, err := faultsOf(err)
			return record.Measurement{}, byLine(list, added), err
		}
		found = append(found, entry)
	}
	switch {
	case len(found) == 0:
		return record.Measurement{}, []calc.Fault{{Message: "no reading was found: paste lines of a wavelength in nm and an absorbance"}}, nil
	case len(found) > 1:
		return record.Measurement{}, []calc.Fault{{Message: fmt.Sprintf("%d wines were pasted: paste the scan of one", len(found))}}, nil
	}
	return found[0].Measurement, byLine(found[0].Faults, added), nil
}

var blanks = regexp.MustCompile(`[ \x{a0}]+`)

// withHeader gives bare columns of numbers the header that a file would have,
// and reports whether it did.
func withHeader(pasted string) (lines string, added bool) {
	pasted = strings.TrimSpace(pasted)
	first, _, _ := strings.Cut(pasted, "\n")
	if first == "" || first[0] < '0' || first[0] > '9' {
		return pasted, false
	}
	for _, separator := range []string{"\t", ";"} {
		if strings.Contains(first, separator) {
			return "nm" + separator + "absorbance\n" + pasted, true
		}
	}
	if blanks.MatchString(strings.TrimSpace(first)) {
		var out strings.Builder
		for line := range strings.Lines(pasted) {
			out.WriteString(blanks.ReplaceAllString(strings.TrimSpace(line), "\t") + "\n")
		}
		return "nm\tabsorbance\n" + out.String(), true
	}
	return "nm,absorbance\n" + pasted, true
}

var rowPlace = regexp.MustCompile(`^row (\d+)`)

// byLine names places by the line as it was pasted.
func byLine(list []calc.Fault, added bool) []calc.Fault {
	out := make([]calc.Fault, len(list))
	for i, f := range list {
		out[i] = f
		out[i].Location = rowPlace.ReplaceAllStringFunc(f.Location, func(place string) string {
			n, err := strconv.Atoi(place[len("row "):])
			if err != nil {
				return place
			}
			if added {
				n--
			}
			return fmt.Sprintf("line %d", n)
		})
	}
	return out
}
