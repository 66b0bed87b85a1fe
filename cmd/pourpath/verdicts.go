package main

import (
	"time"

	"github.com/spf13/cobra"

	"pourpath/api/release"
)

func (s *session) verdictsCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "verdicts", Short: "Stored verdicts: compute them anew", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.verdictsVerify())
	return c
}

func (s *session) verdictsVerify() *cobra.Command {
	var lot string
	c := &cobra.Command{
		Use: "verify", Short: "Compute stored verdicts anew and say which differ", Args: noArguments,
		Long: "Computes verdicts from the specifications and samples that are stored with them, and says how\nmany have the same figures and what differs in the others. Nothing is stored. Exits with 1\nwhere some differ.",
		RunE: func(c *cobra.Command, _ []string) error {
			ask := release.VerifyBody{Limit: -1}
			work := func(d desk) error { return s.verifyVerdicts(c, d, ask) }
			if !c.Flags().Changed("lot") {
				if !s.records.there() {
					return usage("there are no records in %s: say with --data where they are", s.records.data)
				}
				return s.atDesk(c, work)
			}
			return s.withRecord(c, aLot, lot, lotAtDesk, func(d desk, id string) error {
				ask.Lot = id
				return work(d)
			})
		},
	}
	c.Flags().StringVar(&lot, "lot", "", "`LOT` whose verdicts they are: its identifier, the beginning of it, or its name; all where left out")
	s.forRecords(c)
	return c
}

// verifyVerdicts computes verdicts anew and shows a person how far it is.
func (s *session) verifyVerdicts(c *cobra.Command, d desk, ask release.VerifyBody) error {
	begun := time.Now()
	var told func(int)
	if terminal(s.err) {
		told = func(done int) { s.progress("\r%d verdicts, %.0f a second", done, perSecond(done, begun)) }
	}
	out, err := d.Verify(c.Context(), ask, told)
	if told != nil {
		s.progress("\n")
	}
	err = s.answered(err, out, func(p *page) { p.recomputed(out) })
	if err == nil && out.Differed > 0 {
		err = status(exitFailure)
	}
	return err
}

func perSecond(done int, begun time.Time) float64 {
	return float64(done) / max(time.Since(begun).Seconds(), 1e-3)
}

// recomputed is what computing verdicts anew came to.
func (p *page) recomputed(r release.Recomputed) {
	p.linef("%d verdicts computed anew: %d have the same figures, %d differ.", r.Verdicts, r.Same, r.Differed)
	for _, d := range r.Differ {
		p.linef("Verdict %s on sample %s of lot %s, by program %s%s", d.VerdictID, d.SampleID, d.LotID, d.Program, after(": ", d.Problem))
		for _, change := range d.Differences {
			p.linef("  %s: stored %v, now %v", change.Location, change.Stored, change.Recomputed)
		}
	}
	if n := r.Differed - len(r.Differ); n > 0 {
		p.linef("and %d more", n)
	}
}
