package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// lotCommand is the release check of lots from a shell.
func (s *session) lotCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "lot", Short: "Bottling lots: samples, verdicts, decisions", Args: noArguments,
		Long: "Holds the samples of bottling lots against their specification. A verdict is a finding about\ncolour; a person decides. SO2, alcohol, allergens and what a label may claim are for their own\ntests and local codes.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.lotAdd(), s.lotList(), s.lotShow(), s.lotSample(), s.lotJudge(), s.lotVerdicts(), s.lotRun(), s.lotDecide(), s.lotArchive(), s.lotRecompute())
	return c
}

func (s *session) lotAdd() *cobra.Command {
	f := form{use: "lot add", example: []string{"--name", "L-31", "--product", "House rosé 750 mL", "--bottled-at", "2026-11-25"}, flags: []bodyFlag{
		aText("name", "what the lot is called"), aText("spec", "identifier or `NAME` of its specification; or give --product"), aText("product", "what it is a lot of, in the words of the specifications"),
		aText("bottled-at", "`TIME` when it was or will be bottled (RFC 3339, or a date)"), aText("wine", "identifier of the wine that was filled"), aText("notes", "anything else"),
	}}
	c := &cobra.Command{
		Use: "add", Short: "Set up a lot", Args: noArguments,
		Long: "Sets up a lot, against the version of its specification that holds when it is bottled.",
		RunE: func(c *cobra.Command, _ []string) error {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return err
			}
			body, err := calc.DecodeWhole[record.LotBody](data)
			if err != nil {
				return err
			}
			return s.atRelease(c, func(r *release.Release) error {
				if body.Spec != "" {
					if body.Spec, err = specID(c.Context(), r, body.Spec); err != nil {
						return err
					}
				}
				lot, err := r.AddLot(c.Context(), body)
				return s.lotShown(lot, err)
			})
		},
	}
	f.add(s, c)
	s.forRecords(c)
	return c
}

func (s *session) lotList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List lots, the newest first", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return listing(s, c, func(r *release.Release, p record.Page) ([]release.LotAnswer, error) { return r.Lots(c.Context(), p) },
				func(l release.LotAnswer) string { return l.ID }, func(p *page, list []release.LotAnswer) {
					rows := make([]row, len(list))
					for i, l := range list {
						rows[i] = row{cells: []string{l.ID, l.Name, l.Product, bottledOn(l.Lot), fmt.Sprint(len(l.Samples)), newestVerdict(l), decisionOf(l)}}
					}
					p.table([]string{"identifier", "name", "product", "bottled", "samples", "newest verdict", "decided"}, rows)
				})
		},
	}
	s.forRecords(c)
	return c
}

func bottledOn(l record.Lot) string {
	if l.BottledAt == nil {
		return ""
	}
	return l.BottledAt.Format("2006-01-02")
}

func newestVerdict(l release.LotAnswer) string {
	if n := len(l.Samples); n > 0 {
		return l.Samples[n-1].Verdict
	}
	return "-"
}

func decisionOf(l release.LotAnswer) string {
	if l.Decision == nil {
		return "-"
	}
	return l.Decision.Decision
}

func (s *session) lotShow() *cobra.Command {
	return s.ofRecord("lot", "show", "Show a lot with its samples", "Shows the samples with their first verdicts, what the run advice is, and what was decided.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			lot, err := r.Lot(c.Context(), id)
			return s.lotShown(lot, err)
		})
}

// lotShown prints a lot.
func (s *session) lotShown(lot release.LotAnswer, err error) error {
	return s.answered(err, lot, func(p *page) {
		p.linef("%s  %s%s%s", lot.ID, lot.Name, after(", ", lot.Product), after(", bottled ", bottledOn(lot.Lot)))
		p.linef("  against specification %s, version %d", lot.Spec, lot.SpecVersion)
		if len(lot.Samples) == 0 {
			p.linef("No sample was read yet.")
			return
		}
		rows := make([]row, len(lot.Samples))
		for i, x := range lot.Samples {
			v := x.Colour.CIELAB
			rows[i] = row{cells: []string{x.ID, string(x.Stage), x.Bottle, x.Verdict, fixed(x.Probability, 3), fmt.Sprintf("%.1f", v.L), fmt.Sprintf("%.1f", v.A), fmt.Sprintf("%.1f", v.B), x.At().Format("2006-01-02 15:04")}}
		}
		p.table([]string{"sample", "stage", "bottle", "verdict", "probability", "L*", "a*", "b*", "taken (UTC)"}, rows)
		if lot.Next != "" {
			p.linef("These are the first %d; --json and GET /v1/lots/%s/samples have the others.", len(lot.Samples), lot.ID)
		}
		if lot.Run.Advice != "none" {
			p.linef("Run: %s. %s", map[string]string{"stop": "STOP", "go_on": "go on"}[lot.Run.Advice], lot.Run.Reason)
		}
		if d := lot.Decision; d != nil {
			p.linef("Decided: %s by %s%s", d.Decision, d.By, after(": ", d.Reason))
		}
	})
}

func (s *session) lotSample() *cobra.Command {
	var exitVerdict bool
	f := form{
		use: "lot sample", of: "LOT", name: "L-31", example: []string{"--a420", "0.196", "--a520", "0.216", "--a620", "0.043", "--stage", "first_bottles"},
		flags: append([]bodyFlag{
			aText("stage", "first_bottles, beginning, middle, end or retained"), aText("bottle", "which bottle, or from where on the line"),
			aNumber("free-so2", "free SO2, `MG_PER_L`", "state", "free_so2_mg_per_l"), aNumber("total-so2", "total SO2, `MG_PER_L`", "state", "total_so2_mg_per_l"),
			aNumber("co2", "dissolved CO2, `MG_PER_L`", "state", "co2_mg_per_l"), aTruth("filtered", "`true` or false", "state", "filtered"),
			aTruth("acetaldehyde", "`true` where excess acetaldehyde was added before reading", "state", "acetaldehyde_added"), aTruth("same-session", "`true` where it was read in one session with the reference"),
		}, readingOf...),
	}
	c := s.ofRecord("lot", "sample", "Judge a sample of a lot",
		"Keeps what was read of a sample and judges it. The reading is given as flags, or as JSON with -f or on\nstandard input, as the service takes it: a scan or L*a*b* goes that way. It exits 0 whatever the\nverdict, unless --exit-verdict is given: then 0 is pass, 3 fail and 4 inconclusive.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return err
			}
			body, err := calc.DecodeWhole[record.SampleBody](data)
			if err != nil {
				return err
			}
			sample, err := r.AddSample(c.Context(), id, body)
			if err := s.answered(err, sample, func(p *page) {
				p.linef("Sample %s", sample.ID)
				showCheck(p, calc.CheckRequest{}, sample.CheckResponse)
			}); err != nil {
				return err
			}
			return verdictStatus(exitVerdict, sample.Verdict)
		})
	f.add(s, c)
	c.Flags().BoolVar(&exitVerdict, "exit-verdict", false, "exit 3 when the verdict is fail, 4 when inconclusive")
	return c
}

func (s *session) lotArchive() *cobra.Command {
	return s.ofRecord("lot", "archive", "Archive a lot", "Takes a lot out of lists. It stays readable and takes no more samples.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			lot, err := r.ArchiveLot(c.Context(), id)
			return s.answered(err, lot, func(p *page) { p.linef("Archived: %s  %s", lot.ID, lot.Name) })
		})
}

func (s *session) lotRun() *cobra.Command {
	return s.ofRecord("lot", "run", "Say whether to stop the bottling run", "Says what the newest samples of the run say of going on. It advises: whoever runs the line decides.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			advice, err := r.Run(c.Context(), id)
			return s.answered(err, advice, func(p *page) { p.linef("%s: %s", advice.Advice, advice.Reason) })
		})
}
