package jcampdx

import (
	"fmt"
	"strings"
	"time"
)

// describe fills in what the labels say about the measurement.
func (s *section) describe() {
	b := &s.block
	text := func(label string) string { return s.fields[label].text }
	b.Version, b.DataType, b.DataClass, b.Origin = text("JCAMPDX"), text("DATATYPE"), text("DATACLASS"), text("ORIGIN")
	b.XUnits, b.YUnits, b.Concentrations = text("XUNITS"), text("YUNITS"), text("CONCENTRATIONS")
	for _, label := range []string{"SPECTROMETERDATASYSTEM", "SPECTROMETER", "INSTRUMENT"} {
		if b.Instrument == "" {
			b.Instrument = text(label)
		}
	}
	if b.Date = text("LONGDATE"); b.Date == "" {
		b.Date = strings.TrimSpace(text("DATE") + " " + text("TIME"))
	}
	if b.Date != "" {
		var ok bool
		if b.Measured, ok = measured(b.Date); !ok {
			b.warn("date_unread", fmt.Sprintf("The date %s is in none of the forms YYYY/MM/DD and YY/MM/DD, with HH:MM:SS after it or without; it was kept as text only.", quoted(b.Date)))
		}
	}
	b.PathLength = text("PATHLENGTH")
	s.readPath()
}

// dayForms are the standard's (5.01 LONGDATE, 4.24 DATE) and ISO 8601's; a day
// or a month before the year is not guessed at. Fractions of a second are read
// by time.Parse where they stand.
var (
	dayForms   = []string{"2006/1/2", "06/1/2", "2006-01-02"}
	clockForms = []string{"", " 15:04:05 -0700", " 15:04:05", " 15:04", "T15:04:05Z07:00", "T15:04:05", " 15:04:05 -07:00"}
)

// measured reads a date. Zones are those of the text, never of the machine.
func measured(text string) (time.Time, bool) {
	text = strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "/ ", "/") // 81/ 1/ 3 is written too
	for _, day := range dayForms {
		for _, clock := range clockForms {
			if t, err := time.ParseInLocation(day+clock, text, time.UTC); err == nil {
				return t, true
			}
		}
	}
	return time.Time{}, false
}

// lengths are the units of a path length in millimetres.
var lengths = map[string]float64{
	"MM": 1, "MILLIMETER": 1, "MILLIMETERS": 1, "MILLIMETRE": 1, "MILLIMETRES": 1,
	"CM": 10, "CENTIMETER": 10, "CENTIMETERS": 10, "CENTIMETRE": 10, "CENTIMETRES": 10,
	"M": 1000, "METER": 1000, "METERS": 1000, "METRE": 1000, "METRES": 1000,
	"UM": 0.001, "µM": 0.001, "μM": 0.001, "MICROMETER": 0.001, "MICROMETERS": 0.001,
	"MICROMETRE": 0.001, "MICROMETRES": 0.001, "MICRONS": 0.001,
}

// readPath turns ##PATHLENGTH= into millimetres. The standard gives it as a
// number in centimetres (McDonald and Wilks 1988, from memory); files also
// write a unit after it.
func (s *section) readPath() {
	b := &s.block
	if b.PathLength == "" {
		return
	}
	end := strings.IndexFunc(b.PathLength, func(r rune) bool { return !strings.ContainsRune("0123456789+-.,eE", r) })
	if end < 0 {
		end = len(b.PathLength)
	}
	value, _, err := decimal(b.PathLength[:end])
	unit := strings.ToUpper(strings.Trim(b.PathLength[end:], " ."))
	mm, known := lengths[unit]
	switch {
	case err != nil || value <= 0 || value > 1e6 || unit != "" && !known:
		b.warn("path_unread", fmt.Sprintf("The path length %s was not understood: a number above 0 is needed, with mm or cm after it. Give the cell by hand.", quoted(b.PathLength)))
	case unit == "":
		b.PathMM = value * 10
		b.warn("path_unit", fmt.Sprintf("The path length %s has no unit; centimetres were taken, as the standard has it: a cell of %g mm. Put it right if the cell was another.", quoted(b.PathLength), b.PathMM))
	default:
		b.PathMM = value * mm
	}
}
