package main

import (
	"encoding/json"
	"math"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

// readingFlags are the flags that stand for a request, with the fields of a
// wine's readings that they fill.
var readingFlags = []struct{ flag, field, help string }{
	{"a420", "a420", "absorbance at 420 nm as read"},
	{"a520", "a520", "absorbance at 520 nm as read"},
	{"a620", "a620", "absorbance at 620 nm as read"},
	{"path-mm", "path_mm", "optical path of the cell in mm (default 10)"},
	{"dilution", "dilution", "total volume divided by wine volume (default 1)"},
	{"u-absorbance", "u_absorbance", "standard uncertainty of one reading (default 0.002)"},
}

func (s *session) colourCommand() *cobra.Command {
	c := calculation[calc.ColourRequest, calc.ColourResponse]{
		use: "colour", short: "Colour of one wine",
		long:    "The colour of a wine from its readings, its spectrum or its CIELAB values.\nThree readings may be given as flags instead of a request.",
		example: calc.ExampleColour,
		answer:  calc.Colour,
		typed:   s.typedReadings,
		show: func(p *page, r calc.ColourRequest, a calc.ColourResponse) {
			if r.Wine.Name != "" {
				p.linef("%s", r.Wine.Name)
			}
			p.colour(a.Colour)
			p.warnings(a.Colour.Warnings)
		},
	}.command(s)
	for _, f := range readingFlags {
		c.Flags().Float64(f.flag, 0, f.help)
	}
	c.Example += "\n  pourpath colour --a420 0.142 --a520 0.118 --a620 0.021 --path-mm 10"
	return c
}

// typedReadings makes a request of the flags, or nil when none was given. What
// is missing or out of range is left to the same checks that a file meets.
func (s *session) typedReadings(c *cobra.Command) ([]byte, error) {
	readings := map[string]float64{}
	for _, f := range readingFlags {
		if !c.Flags().Changed(f.flag) {
			continue
		}
		value, err := c.Flags().GetFloat64(f.flag)
		if err != nil {
			return nil, err
		}
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return nil, usage("--%s must be a number, not %g", f.flag, value)
		}
		readings[f.field] = value
	}
	if len(readings) == 0 {
		return nil, nil
	}
	if s.file != "" {
		return nil, usage("the wine is given twice: either -f or the flags of its readings")
	}
	return json.Marshal(map[string]any{"wine": map[string]any{"readings": readings}})
}
