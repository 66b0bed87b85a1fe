package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/reports"
)

func (s *session) ladderCommand() *cobra.Command {
	var plot string
	c := calculation[calc.LadderRequest, calc.LadderResponse]{
		use: "ladder", short: "Colours of a base with rising doses, and the dose closest to a target",
		long:    "The colour of each rung of a ladder, and the dose that comes closest to a target.\nRungs that were poured and read recalibrate it.",
		example: calc.ExampleLadder,
		answer:  calc.Ladder,
		show:    showLadder,
		extra:   func(r calc.LadderRequest) error { return draw(r, plot) },
	}.command(s)
	c.Flags().StringVar(&plot, "plot", "", "also draw the ladder to `FILE`: .svg, .png or .pdf")
	return c
}

// draw writes the picture of a ladder to a file; its name says the form. An
// empty name draws nothing.
func draw(r calc.LadderRequest, name string) error {
	if name == "" {
		return nil
	}
	write, ok := map[string]func(reports.LadderFigure, io.Writer) error{
		".svg": reports.LadderFigure.WriteSVG,
		".png": reports.LadderFigure.WritePNG,
		".pdf": reports.LadderFigure.WritePDF,
	}[strings.ToLower(filepath.Ext(name))]
	if !ok {
		return usage("--plot %s: the name must end in .svg, .png or .pdf", name)
	}
	figure, err := calc.LadderFigure(r, version, nil)
	if err != nil {
		return err
	}
	var picture bytes.Buffer
	if err := write(figure, &picture); err != nil {
		return err
	}
	return os.WriteFile(name, picture.Bytes(), 0o666)
}

func showLadder(p *page, r calc.LadderRequest, a calc.LadderResponse) {
	c := a.Rungs[0].Colour.Conditions
	p.linef("Ladder in %g mL of base, under %s, %s° observer, %g mm of wine:", r.BaseML, c.Illuminant, c.Observer, c.PathMM)
	heading := []string{"mL", "mL per 100 mL of base", "% of the blend", "L*", "±", "a*", "±", "b*", "±", "C*", "h", "intensity", "tint", "ΔE00 step"}
	against := a.Rungs[0].Difference
	switch {
	case against == nil:
	case against.DeltaE00 != nil:
		heading = append(heading, "ΔE00 target")
	default:
		heading = append(heading, "Δ intensity", "Δ tint")
	}
	rows := make([]row, len(a.Rungs))
	for i, rung := range a.Rungs {
		rows[i] = row{hex: srgb(rung.Colour), cells: rungCells(rung)}
	}
	p.table(heading, rows)
	p.linef("± is one standard uncertainty (k = 1); ΔE00 step is from the rung before.")
	if n := a.Nearest; n != nil {
		p.nearest(n)
	}
	lists := [][]calc.Warning{a.Warnings}
	for _, rung := range a.Rungs {
		lists = append(lists, rung.Colour.Warnings)
	}
	p.warnings(lists...)
}

func rungCells(r calc.Rung) []string {
	v, u := r.Colour.CIELAB, r.Colour.Uncertainty
	cells := []string{
		fmt.Sprintf("%.2f", r.DoseML), fmt.Sprintf("%.2f", r.DoseMLPer100ML), fmt.Sprintf("%.2f", 100*r.AdditionFraction),
		fmt.Sprintf("%.1f", v.L), fixed(u.L, 1), fmt.Sprintf("%.2f", v.A), fixed(u.A, 2), fmt.Sprintf("%.2f", v.B), fixed(u.B, 2),
		fmt.Sprintf("%.2f", v.C), fmt.Sprintf("%.2f", v.H),
		fixed(r.Colour.Intensity, 3), fixed(r.Colour.Tint, 3), fixed(r.FromPrevious, 2),
	}
	switch d := r.Difference; {
	case d == nil:
	case d.DeltaE00 != nil:
		cells = append(cells, fixed(d.DeltaE00, 2))
	default:
		cells = append(cells, fixedSigned(d.DIntensity, 3), fixedSigned(d.DTint, 3))
	}
	return cells
}

// nearest tells the dose closest to the target and how sure it is.
func (p *page) nearest(n *calc.Nearest) {
	p.linef("%sClosest to the target: %s", p.swatch(srgb(n.Colour)), doseBoth(n.DoseMLPer100ML, n.AdditionFraction))
	p.difference(n.Difference)
	if n.AtEndOfLadder {
		p.linef("It is at an end of the ladder: the target may lie beyond.")
	}
	for _, interval := range []struct {
		what  string
		doses *[2]float64
	}{
		{"95 % interval of the closest dose", n.DoseInterval95},
		{"Doses within tolerance with a probability of at least 0.95", n.AcceptableDoses},
		{"Doses within tolerance at face value", n.NominalDoses},
	} {
		if interval.doses != nil {
			p.linef("%s: %.2f to %.2f mL per 100 mL of base", interval.what, interval.doses[0], interval.doses[1])
		}
	}
}
