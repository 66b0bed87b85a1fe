package reports

import (
	"errors"
	"fmt"
	"image/color"
	"math"

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

func (c *checker) finite(where string, values ...float64) {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			c.fault(where, "%g is not a finite number", v)
			return
		}
	}
}

// notNegative wants finite values of at least 0: doses, volumes, uncertainties.
func (c *checker) notNegative(where string, values ...float64) {
	for _, v := range values {
		if !(v >= 0) || math.IsInf(v, 0) {
			c.fault(where, "%g is not a finite number of at least 0", v)
			return
		}
	}
}

func (c *checker) lab(where string, l cie.Lab) {
	c.finite(where, l.L, l.A, l.B)
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
	c.notNegative(where, i[0], i[1])
	if i[0] > i[1] {
		c.fault(where, "from %g to %g: want the lower dose first", i[0], i[1])
	}
}

func (c *checker) path(where string, points []PathPoint, withTarget bool) {
	last := math.Inf(-1)
	for i, p := range points {
		at := fmt.Sprintf("%s %d", where, i)
		c.notNegative(at+" dose", p.DoseMLPer100ML)
		if p.DoseMLPer100ML < last {
			c.fault(at+" dose", "%g after %g: want rising doses", p.DoseMLPer100ML, last)
		}
		last = p.DoseMLPer100ML
		c.lab(at+" colour", p.Lab)
		c.notNegative(at+" uncertainty", p.U[:]...)
		if withTarget {
			c.notNegative(at+" ΔE00", p.DeltaE00)
		}
	}
}

// check returns every fault of f, up to maxFaults.
func (f LadderFigure) check() error {
	if err := f.View.Validate(); err != nil {
		return fmt.Errorf("reports: view: %w", err)
	}
	c := &checker{view: f.View}
	c.notNegative("glass depth", f.GlassDepthMM)
	c.notNegative("base volume", f.BaseML)
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
		c.notNegative(at+" dose", r.DoseML, r.DoseMLPer100ML)
		if r.DoseMLPer100ML < last {
			c.fault(at+" dose", "%g after %g: want rising doses", r.DoseMLPer100ML, last)
		}
		last = r.DoseMLPer100ML
		c.lab(at+" colour", r.Lab)
		c.swatch(at+" swatch", r.Swatch)
	}
	for i, m := range f.Measured {
		at := fmt.Sprintf("measured blend %d", i)
		c.notNegative(at+" dose", m.DoseMLPer100ML)
		c.lab(at+" colour", m.Lab)
		c.notNegative(at+" uncertainty", m.U[:]...)
	}
	if t := f.Target; t != nil {
		c.lab("target colour", t.Lab)
		c.notNegative("target tolerance", t.Tolerance)
		c.swatch("target swatch", t.Swatch)
	}
	if n := f.Nearest; n != nil {
		c.notNegative("nearest dose", n.DoseMLPer100ML)
		c.lab("nearest colour", n.Lab)
		c.notNegative("nearest ΔE00", n.DeltaE00)
		c.interval("nearest dose's 95 % interval", n.Interval95)
		c.swatch("nearest swatch", n.Swatch)
	}
	if f.BaseSwatch != nil {
		c.swatch("base swatch", *f.BaseSwatch)
	}
}

// parseHex reads "#rrggbb".
func parseHex(hex string) (color.NRGBA, error) {
	var r, g, b uint8
	if len(hex) == 7 {
		if n, err := fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b); err == nil && n == 3 {
			return color.NRGBA{R: r, G: g, B: b, A: 255}, nil
		}
	}
	return color.NRGBA{}, fmt.Errorf("%q is not a colour: want #rrggbb, such as #e8b4b8", hex)
}
