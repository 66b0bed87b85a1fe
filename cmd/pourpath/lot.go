package main

import (
	"context"

	"github.com/spf13/cobra"

	"pourpath/api/record"
	"pourpath/api/release"
)

// lotCommand is the release check of lots from a shell.
func (s *session) lotCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "lot", Short: "Lots: samples, verdicts, the bottling run, release", Args: noArguments,
		Long: "A lot is held against one version of a specification. What is read of its samples is judged\nand kept; a verdict is a finding, and what is done about it is decided by a person. LOT is its\nidentifier, the beginning of it, or its name, where only one lot has that.\n\n" +
			"A release is of colour alone: sulphur dioxide, alcohol, allergens and what local codes and\nlabels allow are for others to find.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	archive := s.about(aLot, "archive", "Archive a lot", "Takes a lot out of lists. It and its samples stay readable, and it takes no more of them.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			lot, err := d.ArchiveLot(c.Context(), id)
			return s.answered(err, lot, func(p *page) { p.linef("Archived: %s%s", lot.ID, after("  ", lot.Name)) })
		})
	run := s.about(aLot, "run", "Whether to stop the bottling run", "Says what the newest samples of the bottling run say of going on. It advises: whoever runs the\nline decides.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			advice, err := d.Run(c.Context(), id)
			return s.answered(err, advice, func(p *page) { p.advice(advice) })
		})
	c.AddCommand(s.lotAdd(), s.lotBottled(), s.lotList(), s.lotShow(), archive, s.lotSample(), s.lotJudge(), s.lotVerdicts(), run, s.lotDecide(), s.lotDecisions())
	return c
}

func (s *session) lotAdd() *cobra.Command {
	f := form{use: "lot add", example: []string{"--name", "L-2026-31", "--spec", "House rosé", "--bottled-at", "2026-03-12"}, flags: []bodyFlag{
		aText("name", "what the lot is called"), aText("spec", "`SPEC` that it is held against"), aText("wine", "`ID` of the wine that was filled"),
		aText("product", "what it is a lot of: without --spec, the one specification of that product that holds"),
		aText("bottled-at", "`TIME` when it was or will be bottled (RFC 3339, or a date)"), aText("storage", "how its bottles are kept, in `WORDS` of your own"), aText("notes", "anything else"),
	}}
	c := &cobra.Command{
		Use: "add", Short: "Add a lot", Args: noArguments,
		Long: "Adds a lot with the version of its specification that holds when it is bottled, or now.",
		RunE: func(c *cobra.Command, _ []string) error {
			body, ok, err := bodyOf[record.LotBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			if !s.records.there() {
				return usage("there are no records in %s, so there is no specification to hold a lot against: say with --data where they are, or begin with pourpath spec add", s.records.data)
			}
			return s.atDesk(c, func(d desk) error {
				if body.Spec != "" {
					if body.Spec, err = specNamed(c.Context(), d, body.Spec); err != nil {
						return err
					}
				}
				lot, err := d.AddLot(c.Context(), body)
				return s.shownLot(c, d, lot, err)
			})
		},
	}
	f.add(s, c)
	s.forRecords(c)
	return c
}

func (s *session) lotBottled() *cobra.Command {
	f := form{use: "lot bottled", of: aLot, example: []string{"--at", "2026-03-14", "--by", "Ada", "--reason", "two days later than planned"}, flags: []bodyFlag{
		aText("at", "`TIME` when it was or will be bottled (RFC 3339, or a date)", "bottled_at"), aText("by", "`NAME` of who says so"),
		aText("reason", "why; needed where the lot has a bottling date that is corrected"),
	}}
	c := s.about(aLot, "bottled", "Record when a lot was bottled", "Records when a lot was bottled, where that was not known when it was added, or is corrected. What\nstood before is kept; days since bottling, charts and drift go by the newest.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			body, ok, err := bodyOf[record.BottlingBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			now, err := d.Lot(c.Context(), id)
			if err != nil {
				return err
			}
			lot, err := d.Bottled(c.Context(), id, now.Version(), body)
			return s.shownLot(c, d, lot, err)
		})
	f.add(s, c)
	return c
}

// shownLot prints a lot.
func (s *session) shownLot(c *cobra.Command, d desk, lot release.LotAnswer, err error) error {
	if err != nil || s.asJSON {
		return s.answered(err, lot, nil)
	}
	spec, err := d.records.SpecVersion(c.Context(), lot.Spec, lot.SpecVersion)
	if err != nil {
		return err
	}
	newest, err := newestVerdicts(c.Context(), d, lot.ID)
	return s.answered(err, lot, func(p *page) { p.lot(lot, spec, newest) })
}

// newestVerdicts are the newest verdict on each sample of a lot, the newest first.
func newestVerdicts(ctx context.Context, d desk, lot string) (newest []record.Verdict, err error) {
	seen := map[string]bool{}
	list := func(p record.Page) ([]record.Verdict, error) {
		p.Newest = true
		return d.records.VerdictsOf(ctx, lot, p)
	}
	all, err := everyPage(list, func(v record.Verdict) string { return v.VerdictID }, true)
	for _, v := range all {
		if !seen[v.SampleID] {
			newest = append(newest, v)
		}
		seen[v.SampleID] = true
	}
	return newest, err
}

func (s *session) lotList() *cobra.Command {
	c := &cobra.Command{Use: "list", Short: "List lots", Args: noArguments}
	c.RunE = func(c *cobra.Command, _ []string) error {
		rows, items := []record.Lot{}, []release.LotAnswer{}
		if s.records.there() {
			err := s.atDesk(c, func(d desk) (err error) {
				if s.asJSON {
					items, err = everyPage(func(p record.Page) ([]release.LotAnswer, error) { return d.Lots(c.Context(), p) }, func(l release.LotAnswer) string { return l.ID }, false)
					return err
				}
				rows, err = everyPage(func(p record.Page) ([]record.Lot, error) { return d.Named(c.Context(), p) }, func(l record.Lot) string { return l.ID }, false)
				return err
			})
			if err != nil {
				return err
			}
		}
		return s.answered(nil, itemsOf[release.LotAnswer]{append([]release.LotAnswer{}, items...)}, func(p *page) { p.lots(rows) })
	}
	s.forRecords(c)
	return c
}

func (s *session) lotShow() *cobra.Command {
	return s.about(aLot, "show", "Show a lot: samples, verdicts, run, decision", "Shows a lot with its samples and the newest verdict on each, what they say of the bottling run,\nand what was decided.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			lot, err := d.Lot(c.Context(), id)
			return s.shownLot(c, d, lot, err)
		})
}

// sampleFlags are those of what was read of a sample, and how.
func sampleFlags() []bodyFlag {
	flags := []bodyFlag{
		aText("stage", "where it was taken: first_bottles, beginning, middle, end or retained"), aText("bottle", "which bottle, or from where on the line"), aText("storage", "how this bottle was kept, where that is not how the lot is, in `WORDS`"),
		aNumber("u-absorbance", "standard uncertainty of one reading (0.002)", "readings", "u_absorbance"),
		aText("diluent", "what it was diluted with: water, model_wine, acid, wine or other"), aText("blank", "what the instrument was set to zero on"),
		aNumber("replicate", "`NUMBER` of this reading among repeated ones"),
		aTruth("same-session", "`true` where sample and reference wine were read in one session on one instrument"),
		aNumber("cielab-L", "instead of readings: L*, with the digits of the report", "cielab", "L"), aNumber("cielab-a", "a*", "cielab", "a"), aNumber("cielab-b", "b*", "cielab", "b"),
		aNumber("cielab-path-mm", "depth of wine that they are stated for, `MM`", "cielab", "path_mm"),
		aText("cielab-illuminant", "illuminant that they are stated for (D65)", "cielab", "illuminant"), aText("cielab-observer", "observer, 2 or 10 (10)", "cielab", "observer"),
	}
	return append(append(flags, readingOf...), stateFlags("state", "")...)
}

func (s *session) lotSample() *cobra.Command {
	f := form{use: "lot sample", of: aLot, example: []string{"--a420", "0.142", "--a520", "0.118", "--a620", "0.021", "--stage", "beginning", "--instrument", "bench 2", "--free-so2-mg-per-l", "28"}, flags: sampleFlags()}
	var exitVerdict bool
	c := s.about(aLot, "sample", "Judge a sample of a lot, and keep it",
		"Judges what was read of a sample by the lot's version of its specification, and keeps both;\nneither ever changes. The sample is given as flags, or as JSON with -f or on standard input, as\nthe service takes it: a scan goes that way. It exits 0 whatever the verdict, unless\n--exit-verdict is given: then 0 is pass, 3 fail and 4 inconclusive.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			body, ok, err := bodyOf[record.SampleBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			sample, err := d.AddSample(c.Context(), id, body)
			if err != nil {
				return err
			}
			var advice *record.RunAdvice
			if sample.Stage.InRun() {
				found, err := d.Run(c.Context(), id)
				if err != nil {
					return err
				}
				advice = &found
			}
			err = s.answered(nil, sample, func(p *page) { p.sample(sample, advice) })
			if err == nil && exitVerdict {
				err = exitOf(sample.Verdict)
			}
			return err
		})
	c.Flags().BoolVar(&exitVerdict, "exit-verdict", false, "exit 3 when the verdict is fail, 4 when inconclusive")
	f.add(s, c)
	return c
}

func (s *session) lotJudge() *cobra.Command {
	f := form{use: "lot judge", of: aLot, example: []string{"--version", "2"}, flags: []bodyFlag{
		aText("spec", "`SPEC` to judge by; the lot's own where left out"),
		aNumber("version", "`NUMBER` of its version; needed with the lot's own specification, else the newest", "spec_version"),
		aList("samples", "identifiers of the samples, `ID,ID`; all where left out"),
	}}
	c := s.about(aLot, "judge", "Judge stored samples again, by another version", "Judges samples of a lot by another version of its specification, or by another specification.\nEach gets another verdict; those that it has stay.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			body, ok, err := bodyOf[record.JudgeBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			if body.Spec != "" {
				if body.Spec, err = specNamed(c.Context(), d, body.Spec); err != nil {
					return err
				}
			}
			again, err := d.Judge(c.Context(), id, body)
			return s.answered(err, again, func(p *page) { p.again(again) })
		})
	f.add(s, c)
	return c
}

// specNamed is specID for a specification that a request names.
func specNamed(ctx context.Context, d desk, said string) (string, error) {
	id, err := specID(ctx, d, said)
	return id, at("/spec", said, err)
}

func (s *session) lotVerdicts() *cobra.Command {
	return s.about(aLot, "verdicts", "List the verdicts on a lot", "Lists all verdicts on a lot's samples in the order in which they were given.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			all, err := everyPage(func(p record.Page) ([]record.Verdict, error) { return d.records.VerdictsOf(c.Context(), id, p) }, func(v record.Verdict) string { return v.VerdictID }, false)
			return s.answered(err, itemsOf[record.Verdict]{append([]record.Verdict{}, all...)}, func(p *page) { p.verdicts(all) })
		})
}

func (s *session) lotDecisions() *cobra.Command {
	return s.about(aLot, "decisions", "List the decisions about a lot", "Lists what was decided about a lot, in the order in which it was recorded; the newest counts.", lotAtDesk,
		func(c *cobra.Command, d desk, id string) error {
			all, err := everyPage(func(p record.Page) ([]record.Decision, error) { return d.records.DecisionsOf(c.Context(), id, p) }, func(d record.Decision) string { return d.ID }, false)
			return s.answered(err, itemsOf[record.Decision]{append([]record.Decision{}, all...)}, func(p *page) { p.decisions(all) })
		})
}

// exitOf is the exit status of a verdict.
func exitOf(verdict string) error {
	switch verdict {
	case "fail":
		return status(exitFail)
	case "inconclusive":
		return status(exitInconclusive)
	}
	return nil
}
