package reports

import (
	"encoding/hex"
	"errors"
	"fmt"
	"image/color"
	"math"
	"strings"
	"unicode/utf8"

	"pourpath/colour/cie"
)

// checker collects the faults of a figure by their place.
type checker struct {
	view   cie.View
	faults []error
}

// maxFaults keeps the error of a long ladder readable.
const maxFaults = 10

func (c *checker) fault(where, format string, args ...any) {
	if len(c.faults) < maxFaults {
		c.faults = append(c.faults, fmt.Errorf("reports: %s: %s", where, fmt.Sprintf(format, args...)))
	}
}

// The largest values that a figure takes. Beyond them a value is a slip of
// units, and the page could not show it.
const (
	maxColour  = 1000 // |L*|, |a*|, |b*|, their uncertainties, and ΔE00
	maxDepthMM = 1000 // as a view
	maxML      = 1e6  // mL, and mL per 100 mL
	maxText    = 500  // characters of a name or a sentence
)

// within wants finite numbers from min to max.
func (c *checker) within(where string, min, max float64, values ...float64) {
	for _, v := range values {
		if !(v >= min && v <= max) { // NaN fails both
			c.fault(where, "%g is not a number from %g to %g", v, min, max)
			return
		}
	}
}

func (c *checker) text(where, s string) {
	if n := utf8.RuneCountInString(s); n > maxText {
		c.fault(where, "%d characters: want at most %d", n, maxText)
	}
}

func (c *checker) lab(where string, l cie.Lab) {
	c.within(where, -maxColour, maxColour, l.L, l.A, l.B)
	if l.View != c.view {
		c.fault(where, "holds for %v, the figure for %v: give all colours under one view", l.View, c.view)
	}
}

func (c *checker) swatch(where string, s Swatch) {
	for _, screen := range []cie.Screen{s.At10MM, s.InGlass} {
		if screen.Hex == "" {
			continue
		}
		if _, err := parseHex(screen.Hex); err != nil {
			c.fault(where, "%v", err)
		}
	}
}

func (c *checker) interval(where string, i *[2]float64) {
	if i == nil {
		return
	}
	c.within(where, 0, maxML, i[0], i[1])
	if i[0] > i[1] {
		c.fault(where, "from %g to %g: want the lower dose first", i[0], i[1])
	}
}

func (c *checker) path(where string, points []PathPoint, withTarget bool) {
	last := math.Inf(-1)
	for i, p := range points {
		at := fmt.Sprintf("%s %d", where, i)
		c.within(at+" dose", 0, maxML, p.DoseMLPer100ML)
		if p.DoseMLPer100ML < last {
			c.fault(at+" dose", "%g after %g: want rising doses", p.DoseMLPer100ML, last)
		}
		last = p.DoseMLPer100ML
		c.lab(at+" colour", p.Lab)
		c.within(at+" uncertainty", 0, maxColour, p.U[:]...)
		if withTarget {
			c.within(at+" ΔE00", 0, maxColour, p.DeltaE00)
		}
	}
}

// check returns every fault of f, up to maxFaults.
func (f LadderFigure) check() error {
	if err := f.View.Validate(); err != nil {
		return fmt.Errorf("reports: view: %w", err)
	}
	c := &checker{view: f.View}
	c.text("title", f.Title)
	c.text("base", f.Base)
	c.text("addition", f.Addition)
	c.text("conditions", f.Conditions)
	c.text("version", f.Version)
	c.within("glass depth", 0, maxDepthMM, f.GlassDepthMM)
	c.within("held in the base", 0, maxML, f.HeldMLPer100ML)
	c.path("curve point", f.Curve, f.Target != nil)
	c.path("predicted point", f.Predicted, f.Target != nil)
	f.checkMarks(c)
	c.interval("acceptable doses", f.Acceptable)
	c.interval("nominal doses", f.Nominal)
	return errors.Join(c.faults...)
}

func (f LadderFigure) checkMarks(c *checker) {
	last := math.Inf(-1)
	for i, r := range f.Rungs {
		at := fmt.Sprintf("rung %d", i)
		c.within(at+" dose", 0, maxML, r.DoseML, r.DoseMLPer100ML)
		if r.DoseMLPer100ML < last {
			c.fault(at+" dose", "%g after %g: want rising doses", r.DoseMLPer100ML, last)
		}
		last = r.DoseMLPer100ML
		c.lab(at+" colour", r.Lab)
		c.swatch(at+" swatch", r.Swatch)
	}
	for i, m := range f.Measured {
		at := fmt.Sprintf("measured blend %d", i)
		c.within(at+" dose", 0, maxML, m.DoseMLPer100ML)
		c.lab(at+" colour", m.Lab)
		c.within(at+" uncertainty", 0, maxColour, m.U[:]...)
		for _, path := range []*cie.Lab{m.OnPath, m.Before} {
			if path != nil {
				c.lab(at+" path", *path)
			}
		}
	}
	if t := f.Target; t != nil {
		c.lab("target colour", t.Lab)
		c.within("target tolerance", 0, maxColour, t.Tolerance)
		c.swatch("target swatch", t.Swatch)
	}
	if n := f.Nearest; n != nil {
		c.within("nearest dose", 0, maxML, n.DoseMLPer100ML)
		c.lab("nearest colour", n.Lab)
		if f.Target != nil {
			c.within("nearest ΔE00", 0, maxColour, n.DeltaE00)
		}
		c.interval("nearest dose's 95 % interval", n.Interval95)
		c.swatch("nearest swatch", n.Swatch)
	}
	if f.BaseSwatch != nil {
		c.swatch("base swatch", *f.BaseSwatch)
	}
}

// parseHex reads "#rrggbb".
func parseHex(s string) (color.NRGBA, error) {
	rgb, err := hex.DecodeString(strings.TrimPrefix(s, "#"))
	if err != nil || len(rgb) != 3 || len(s) != 7 {
		return color.NRGBA{}, fmt.Errorf("%q is not a colour: want #rrggbb, such as #e8b4b8", s)
	}
	return color.NRGBA{R: rgb[0], G: rgb[1], B: rgb[2], A: 255}, nil
}
