package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/reports"
)

const exampleDriftAim = `{
  "product": "House rosé",
  "release_days": 120,
  "target": {"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}},
  "base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}},
  "addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}
}`

// driftCommand tells how the colour of lots drifts.
func (s *session) driftCommand() *cobra.Command {
	var product, storage, plot string
	c := &cobra.Command{
		Use: "drift", Short: "How the colour of lots drifts after bottling", Args: noArguments,
		Long: "What the winery's own lots say of how A420, A520 and A620 change with the days since\n" +
			"bottling, for each class of storage. With too few data it says what there is and what\n" +
			"it takes, and nothing else.",
		Example: "  pourpath drift --product 'House rosé' --plot drift.svg\n  pourpath drift aim --release-days 120 --spec SPEC --trial TRIAL\n  pourpath drift lot L-2026-31",
		RunE: func(c *cobra.Command, _ []string) error {
			return s.atLots(c, func(r *release.Release) error {
				d, err := r.Drift(c.Context(), product)
				if err == nil && plot != "" {
					err = drawDrift(c.Context(), r, product, storage, plot)
				}
				return s.answered(err, d, func(p *page) { p.drift(d) })
			})
		},
	}
	c.Flags().StringVar(&product, "product", "", "the lots of one `PRODUCT`; all lots together where left out")
	c.Flags().StringVar(&plot, "plot", "", "also draw it to `FILE`: .svg, .png or .pdf")
	c.Flags().StringVar(&storage, "storage", "", "with --plot: the class of `STORAGE` to draw, where there is more than one")
	s.forRecords(c)
	c.AddCommand(s.driftAim(), s.driftLot(), s.driftLots())
	return c
}

// atLots is atRelease for a command that makes no records.
func (s *session) atLots(c *cobra.Command, work func(*release.Release) error) error {
	if err := s.needLots(); err != nil {
		return err
	}
	return s.atRelease(c, work)
}

// needLots refuses where there are no records.
func (s *session) needLots() error {
	if !s.records.there() {
		return usage("there are no records in %s, so there are no lots: say with --data where they are", s.records.data)
	}
	return nil
}

// namedInAim puts identifiers in place of the names of a trial and a specification.
func namedInAim(ctx context.Context, d desk, asked *release.DriftAimBody) (err error) {
	if said := asked.Trial; said != "" {
		if asked.Trial, err = trialID(ctx, d.bench, said); err != nil {
			return at("/trial", said, err)
		}
	}
	if asked.Spec != "" {
		asked.Spec, err = specNamed(ctx, d, asked.Spec)
	}
	return err
}

// drawDrift writes the picture to a file; its name says the form.
func drawDrift(ctx context.Context, r *release.Release, product, storage, name string) error {
	write, ok := map[string]func(*reports.Drawing, *bytes.Buffer) error{
		".svg": func(d *reports.Drawing, b *bytes.Buffer) error { return d.WriteSVG(b) },
		".png": func(d *reports.Drawing, b *bytes.Buffer) error { return d.WritePNG(b) },
		".pdf": func(d *reports.Drawing, b *bytes.Buffer) error { return d.WritePDF(b) },
	}[strings.ToLower(filepath.Ext(name))]
	if !ok {
		return usage("--plot %s: the name must end in .svg, .png or .pdf", name)
	}
	figure, err := r.DriftFigure(ctx, product, storage, nil)
	if err != nil {
		return err
	}
	drawing, err := figure.Drawing()
	if err != nil {
		return err
	}
	var picture bytes.Buffer
	if err := write(drawing, &picture); err != nil {
		return err
	}
	return os.WriteFile(name, picture.Bytes(), 0o666)
}

// aimFlags are those of an aim; wines come by -f.
func aimFlags() []bodyFlag {
	return []bodyFlag{
		aText("product", "learn from the lots of one `PRODUCT`"), aText("storage", "how the lot will be kept, in the `WORDS` of the lots"),
		aNumber("from-days", "days from bottling to when the colour that is asked for holds, `DAYS`"),
		aNumber("release-days", "days from bottling to release, `DAYS`"),
		aText("spec", "the reference of a `SPEC` is the target: its identifier, the beginning of it, or its name"),
		aText("trial", "the dose in a `TRIAL`: its identifier, the beginning of it, or its name"),
		aNumber("largest-dose", "the largest dose to look at, `ML` per 100 mL of base", "largest_dose_ml_per_100ml"),
	}
}

func (s *session) driftAim() *cobra.Command {
	f := form{use: "drift aim", flags: aimFlags()}
	c := &cobra.Command{
		Use: "aim", Short: "What to aim at today, to be at the target on the day of release", Args: noArguments,
		Long: "Says what the lot's colour should be today, so that it is the target on the day of release,\nand with two wines or a trial the dose, in mL per 100 mL of base. Nothing is stored.",
		RunE: func(c *cobra.Command, _ []string) error {
			data, err := s.request(c, asking{f.use, exampleDriftAim, func(c *cobra.Command) ([]byte, error) { return f.typed(s, c) }})
			if err != nil || data == nil {
				return err
			}
			asked, err := calc.DecodeWhole[release.DriftAimBody](data)
			if err != nil {
				return err
			}
			if err := s.needLots(); err != nil {
				return err
			}
			return s.atDesk(c, func(d desk) error {
				if err := namedInAim(c.Context(), d, &asked); err != nil {
					return err
				}
				aim, err := d.DriftAim(c.Context(), asked)
				return s.answered(err, aim, func(p *page) { p.driftAim(aim) })
			})
		},
	}
	f.add(s, c)
	c.Example = "  pourpath drift aim --release-days 120 --spec SPEC --trial TRIAL\n  pourpath drift aim -f aim.json"
	s.forRecords(c)
	return c
}

func (s *session) driftLot() *cobra.Command {
	c := &cobra.Command{
		Use: "lot LOT", Short: "When a lot is expected to leave its specification",
		Long: "From the newest reading of a lot and how lots like it drift: the day on which it is expected\nto leave its specification, with a 95 % interval. LOT is its identifier, the beginning of it,\nor its name, where only one lot has that.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || args[0] == "" {
				return usage("%s takes one lot: its identifier, the beginning of it, or its name", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return s.atLots(c, func(r *release.Release) error {
				id, err := lotMeant(c.Context(), r, args[0])
				if err != nil {
					return err
				}
				d, err := r.LotDrift(c.Context(), id, r.Now())
				return s.answered(err, d, func(p *page) { p.lotDrift(d) })
			})
		},
	}
	s.forRecords(c)
	return c
}

func (s *session) driftLots() *cobra.Command {
	var product string
	c := &cobra.Command{
		Use: "lots", Short: "The lots that are about to leave their specification", Args: noArguments,
		Long: "Forecasts of the newest 100 lots in use, those first that are expected to leave first.",
		RunE: func(c *cobra.Command, _ []string) error {
			return s.atLots(c, func(r *release.Release) error {
				d, err := r.DriftLots(c.Context(), product, r.Now())
				return s.answered(err, d, func(p *page) { p.driftLots(d) })
			})
		},
	}
	c.Flags().StringVar(&product, "product", "", "the lots of one `PRODUCT`; all lots where left out")
	s.forRecords(c)
	return c
}

// lotMeant finds the lot that a person means, archived or not.
func lotMeant(ctx context.Context, r *release.Release, said string) (string, error) {
	all, err := everyPage(func(p record.Page) ([]record.Lot, error) { return r.NamedLots(ctx, p) }, func(l record.Lot) string { return l.ID }, true)
	if err != nil {
		return "", err
	}
	var found []string
	for _, l := range all {
		switch {
		case l.ID == said:
			return said, nil
		case strings.EqualFold(l.Name, said), len(said) >= shortestID && strings.HasPrefix(l.ID, said):
			found = append(found, l.ID)
		}
	}
	switch len(found) {
	case 0:
		return "", usage("there is no lot %q", said)
	case 1:
		return found[0], nil
	}
	return "", usage("%q is the name or the beginning of %d lots: give one of the identifiers %s", said, len(found), strings.Join(found, ", "))
}
