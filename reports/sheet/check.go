package sheet

import (
	"encoding/hex"
	"errors"
	"fmt"
	"image/color"
	"math"
	"strings"
	"unicode/utf8"

	"pourpath/colour/cie"
	"pourpath/reports"
)

// checker collects the faults of an input by their place.
type checker struct {
	view   cie.View
	faults []error
}

// maxFaults keeps the error of a long log readable.
const maxFaults = 10

func (c *checker) fault(where, format string, args ...any) {
	if len(c.faults) < maxFaults {
		c.faults = append(c.faults, fmt.Errorf("sheet: %s: %s", where, fmt.Sprintf(format, args...)))
	}
}

func (c *checker) err() error { return errors.Join(c.faults...) }

// The largest values that a document takes. Beyond them a value is a slip of
// units, or more than anybody reads.
const (
	maxColour  = 1000  // |L*|, |a*|, |b*|, their uncertainties, and ΔE00
	maxDepthMM = 1000  // as a view
	maxML      = 1e6   // mL, and mL per 100 mL
	maxL       = 1e7   // litres
	maxText    = 10000 // characters of one text
	maxFoot    = 500   // characters of what stands on every page
	maxRows    = 5000  // of one table
	maxOther   = 1e6   // minutes, scores and the like
)

// within wants finite numbers from low to high.
func (c *checker) within(where string, low, high float64, values ...float64) {
	for _, v := range values {
		if !(v >= low && v <= high) { // NaN fails both
			c.fault(where, "%g is not a number from %g to %g", v, low, high)
			return
		}
	}
}

func (c *checker) text(where string, texts ...string) {
	for _, s := range texts {
		if n := utf8.RuneCountInString(s); n > maxText {
			c.fault(where, "%d characters: want at most %d", n, maxText)
		}
	}
}

// named wants a text that is not blank.
func (c *checker) named(where, s string) {
	if strings.TrimSpace(s) == "" {
		c.fault(where, "is empty: want a text")
	}
	c.text(where, s)
}

func (c *checker) rows(where string, n int) {
	if n > maxRows {
		c.fault(where, "%d rows: want at most %d", n, maxRows)
	}
}

func (c *checker) texts(where string, items []string) {
	c.rows(where, len(items))
	for i, s := range items {
		c.text(fmt.Sprintf("%s %d", where, i+1), s)
	}
}

func (c *checker) colour(where string, k *Colour) {
	if k == nil {
		return
	}
	c.within(where, -maxColour, maxColour, k.Lab.L, k.Lab.A, k.Lab.B)
	c.within(where+": uncertainty", 0, maxColour, k.U[:]...)
	if k.Lab.View != c.view {
		c.fault(where, "holds for %v, the document for %v: give all colours under one view", k.Lab.View, c.view)
	}
}

func (c *checker) dose(where string, d Dose) {
	c.within(where, 0, maxML, d.MLPer100ML)
	c.within(where+": uncertainty", 0, maxML, d.U)
}

func (c *checker) swatch(where string, s reports.Swatch) {
	for _, screen := range []cie.Screen{s.At10MM, s.InGlass} {
		if _, err := parseHex(screen.Hex); screen.Hex != "" && err != nil {
			c.fault(where, "%v", err)
		}
	}
}

func (c *checker) interval(where string, i *Interval, low, high float64) {
	if i == nil {
		return
	}
	c.within(where, low, high, i[0], i[1])
	if i[0] > i[1] {
		c.fault(where, "from %g to %g: want the lower end first", i[0], i[1])
	}
}

func (c *checker) optional(where string, low, high float64, v *float64) {
	if v != nil {
		c.within(where, low, high, *v)
	}
}

// newChecker checks what all documents have.
func newChecker(h Head) *checker {
	c := &checker{view: h.View}
	if err := h.View.Validate(); err != nil {
		c.fault("view", "%v", err)
	}
	c.named("trial", h.Trial)
	c.named("date", h.Date)
	for where, s := range map[string]string{"conditions": h.Conditions, "version": h.Version} {
		if n := utf8.RuneCountInString(s); n > maxFoot {
			c.fault(where, "%d characters: want at most %d", n, maxFoot)
		}
	}
	c.within("glass depth", 0, maxDepthMM, h.GlassDepthMM)
	return c
}

func (c *checker) wines(w Wines) {
	c.wine("base", w.Base)
	if len(w.Additions) == 0 {
		c.fault("additions", "there is none: want the one that is dosed, and after it those that are held in the base")
	}
	c.rows("additions", len(w.Additions))
	for i, a := range w.Additions {
		at := fmt.Sprintf("addition %d", i+1)
		c.wine(at, a)
		c.within(at+": held", 0, maxML, a.HeldMLPer100ML)
		if (a.HeldMLPer100ML > 0) != (i > 0) {
			c.fault(at+": held", "%g mL per 100 mL: the first addition is dosed (0), the others are held in the base (above 0)", a.HeldMLPer100ML)
		}
	}
	if w.Blend != nil {
		c.wine("blend", *w.Blend)
	}
	if t := w.Target; t != nil {
		c.named("target: name", t.Name)
		c.colour("target: colour", t.Colour)
		c.within("target: tolerance", 0, maxColour, t.Tolerance)
		c.swatch("target: swatch", t.Swatch)
	}
}

func (c *checker) wine(where string, w Wine) {
	c.named(where+": name", w.Name)
	c.text(where+": lot", w.Lot)
	c.text(where+": how it is known", w.Known)
	c.colour(where+": colour", w.Colour)
	c.swatch(where+": swatch", w.Swatch)
}

// recipe wants volumes that add up to within a hundredth of a percent and meet
// the dose to within a tenth: more than rounding makes, less than any slip.
func (c *checker) recipe(where string, r Recipe, d Dose) {
	c.within(where, 0, maxL, r.BaseL, r.AdditionL, r.BlendL)
	if math.Abs(r.BaseL+r.AdditionL-r.BlendL) > 1e-4*math.Abs(r.BlendL) {
		c.fault(where, "base %g L and addition %g L are not the blend's %g L", r.BaseL, r.AdditionL, r.BlendL)
	}
	if wants := r.BaseL * d.MLPer100ML / 100; math.Abs(r.AdditionL-wants) > 1e-3*wants {
		c.fault(where, "addition %g L in base %g L is not the dose of %g mL per 100 mL, which wants %g L", r.AdditionL, r.BaseL, d.MLPer100ML, wants)
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
