package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/muesli/termenv"

	"pourpath/api/calc"
)

// page writes an answer for people: rounded, with units and conditions. It keeps
// the first error of its writer.
type page struct {
	w       io.Writer
	profile termenv.Profile
	err     error
}

func (p *page) linef(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", harmless(args)...)
	}
}

// swatch is a patch of colour, or nothing where the output has no colours.
func (p *page) swatch(hex string) drawn {
	if p.profile == termenv.Ascii {
		return ""
	}
	return drawn(p.profile.String("      ").Background(p.profile.Color(hex)).String() + "  ")
}

// row is a line of a table with the colour that it is about; hex may be empty.
type row struct {
	hex   string
	cells []string
}

// table writes rows below a heading. Escape sequences would upset the widths of
// the columns, so swatches are put before the lines once these are laid out.
func (p *page) table(heading []string, rows []row) {
	var text bytes.Buffer
	columns := tabwriter.NewWriter(&text, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, cells := range append([][]string{heading}, cellsOf(rows)...) {
		_, err := fmt.Fprintln(columns, strings.Join(seenAll(cells), "\t")+"\t")
		p.err = errors.Join(p.err, err)
	}
	p.err = errors.Join(p.err, columns.Flush())
	for i, line := range strings.Split(strings.TrimRight(text.String(), "\n"), "\n") {
		margin := drawn(strings.Repeat(" ", visible(p.swatch("#ffffff"))))
		if i > 0 && rows[i-1].hex != "" {
			margin = p.swatch(rows[i-1].hex)
		}
		p.linef("%s%s", margin, strings.TrimRight(line, " "))
	}
}

func cellsOf(rows []row) [][]string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = r.cells
	}
	return out
}

// visible is how many columns a swatch takes.
func visible(swatch drawn) int {
	if swatch == "" {
		return 0
	}
	return 8
}

// warnings tells what must be known, each once.
func (p *page) warnings(lists ...[]calc.Warning) {
	told := map[calc.Warning]bool{}
	for _, list := range lists {
		for _, w := range list {
			if !told[w] {
				told[w] = true
				p.linef("Note (%s): %s", w.Code, w.Message)
			}
		}
	}
}

// colour writes one colour as a list of its values.
func (p *page) colour(c calc.WineColour) {
	v, u := c.CIELAB, c.Uncertainty
	p.linef("Colour under %s, %s° observer, %g mm of wine, from %s:", c.Conditions.Illuminant, c.Conditions.Observer, c.Conditions.PathMM, c.Source)
	for _, l := range []struct {
		name, value string
		u           *float64
	}{
		{"L*", fmt.Sprintf("%.1f", v.L), u.L},
		{"a*", fmt.Sprintf("%.2f", v.A), u.A},
		{"b*", fmt.Sprintf("%.2f", v.B), u.B},
		{"C*", fmt.Sprintf("%.2f", v.C), nil},
		{"h", fmt.Sprintf("%.2f°", v.H), nil},
		{"Intensity", fixed(c.Intensity, 3), u.Intensity},
		{"Tint", fixed(c.Tint, 3), u.Tint},
	} {
		p.linef("  %-10s %8s%s", l.name, l.value, plusMinus(l.u))
	}
	if a := c.Absorbance; a != nil {
		p.linef("  %-10s A420 %.3f, A520 %.3f, A620 %.3f for 10 mm", "Absorbance", a.A420, a.A520, a.A620)
		p.linef("  %-10s yellow %s %%, red %s %%, blue %s %%", "Shares", fixed(c.YellowPercent, 1), fixed(c.RedPercent, 1), fixed(c.BluePercent, 1))
	}
	if c.SRGB != nil {
		p.linef("  %-10s %s%s%s", "Screen", p.swatch(*c.SRGB), *c.SRGB, clipped(c))
	}
	p.linef("  ± is one standard uncertainty (k = 1).")
}

func clipped(c calc.WineColour) string {
	if c.InSRGBGamut != nil && !*c.InSRGBGamut {
		return " (beyond what a screen shows; clipped)"
	}
	return ""
}

// difference writes how a colour differs from its target.
func (p *page) difference(d *calc.Difference) {
	switch {
	case d == nil:
	case d.DeltaE00 != nil:
		p.linef("Against the target: ΔE00 %.2f, ΔE*ab %.2f; %s.", *d.DeltaE00, *d.DeltaEab, strings.Join([]string{
			signed("ΔL*", *d.DL, 1), signed("Δa*", *d.DA, 2), signed("Δb*", *d.DB, 2), signed("ΔC*", *d.DC, 2), signed("ΔH*", *d.DH, 2),
		}, ", "))
	default:
		p.linef("Against the target: intensity %s, tint %s.", fixedSigned(d.DIntensity, 3), fixedSigned(d.DTint, 3))
	}
}

// signed rounds a difference; one that rounds to nothing has no sign.
func signed(name string, x float64, decimals int) string {
	return name + " " + fixedSigned(&x, decimals)
}

func fixedSigned(x *float64, decimals int) string {
	if x == nil {
		return "not known"
	}
	text := fmt.Sprintf("%+.*f", decimals, *x)
	if !strings.ContainsAny(text, "123456789") {
		return text[1:]
	}
	return text
}

// fixed rounds a value that may be missing.
func fixed(x *float64, decimals int) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.*f", decimals, *x)
}

// plusMinus gives an uncertainty with two significant digits.
func plusMinus(u *float64) string {
	if u == nil {
		return ""
	}
	return fmt.Sprintf(" ± %.2g", *u)
}

// srgb is the screen colour of c, or nothing.
func srgb(c calc.WineColour) string {
	if c.SRGB == nil {
		return ""
	}
	return *c.SRGB
}

// doseBoth tells a dose in both conventions, which are never left apart.
func doseBoth(mlPer100ML, fraction float64) string {
	return fmt.Sprintf("%.2f mL per 100 mL of base = %.2f %% of the blend", mlPer100ML, 100*fraction)
}
