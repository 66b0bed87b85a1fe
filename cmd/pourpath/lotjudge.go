package main

import (
	"encoding/json"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

func (s *session) lotJudge() *cobra.Command {
	f := form{use: "lot judge", of: "LOT", name: "L-31", example: []string{"--spec-version", "2"}, flags: []bodyFlag{
		aText("spec", "identifier of the specification; the lot's own where left out"), aNumber("spec-version", "its version; the newest of another specification where left out"),
	}}
	c := s.ofRecord("lot", "judge", "Judge the samples of a lot again", "Judges stored samples by another version of a specification: each gets a further verdict, and\nwhat it had stays.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return err
			}
			body, err := calc.DecodeWhole[record.JudgeBody](data)
			if err != nil {
				return err
			}
			again, err := r.Judge(c.Context(), id, body)
			return s.answered(err, again, func(p *page) {
				rows := make([]row, len(again.Items))
				for i, v := range again.Items {
					rows[i] = row{cells: []string{v.SampleID, v.Was, v.Verdict.Verdict, fixed(v.Probability, 3)}}
				}
				p.table([]string{"sample", "was", "is", "probability"}, rows)
				p.linef("%d changed.", again.Changed)
			})
		})
	f.add(s, c)
	return c
}

func (s *session) lotVerdicts() *cobra.Command {
	return s.ofRecord("lot", "verdicts", "List the verdicts on a lot", "Lists all verdicts on the lot's samples, the newest last.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			all, err := everyPage(func(p record.Page) ([]record.Verdict, error) { return r.Verdicts(c.Context(), id, p) }, func(v record.Verdict) string { return v.VerdictID }, false)
			return s.answered(err, struct {
				Items []record.Verdict `json:"items"`
			}{append([]record.Verdict{}, all...)}, func(p *page) {
				rows := make([]row, len(all))
				for i, v := range all {
					rows[i] = row{cells: []string{v.VerdictID, v.Verdict, fixed(v.Probability, 3), fmt.Sprintf("%s, version %d", v.Spec, v.SpecVersion), v.Program, v.DecidedAt.Format("2006-01-02 15:04")}}
				}
				p.table([]string{"verdict", "is", "probability", "specification", "program", "judged (UTC)"}, rows)
			})
		})
}

func (s *session) lotDecide() *cobra.Command {
	f := form{use: "lot decide", of: "LOT", name: "L-31", example: []string{"--decision", "released", "--by", "Bea"}, flags: []bodyFlag{
		aText("decision", "released, held or rejected"), aText("by", "`NAME` of who decides"), aText("reason", "why; needed unless it is released on passes alone"),
		aText("at", "`TIME` when it was decided, where that is not now"),
	}}
	c := s.ofRecord("lot", "decide", "Keep a decision about a lot",
		"Keeps what a person decided. Without \"verdicts\" in JSON a release rests on the newest verdict of each\nsample. It is of colour alone.", lotID,
		func(c *cobra.Command, r *release.Release, id string) error {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return err
			}
			if data, err = withVerdicts(c, r, id, data); err != nil {
				return err
			}
			body, err := calc.DecodeWhole[record.DecisionBody](data)
			if err != nil {
				return err
			}
			made, err := r.Decide(c.Context(), id, body)
			return s.answered(err, made, func(p *page) { p.linef("Decided: %s by %s%s", made.Decision, made.By, after(": ", made.Reason)) })
		})
	f.add(s, c)
	return c
}

// withVerdicts names the newest verdict of each sample where a decision names
// none.
func withVerdicts(c *cobra.Command, r *release.Release, id string, data []byte) ([]byte, error) {
	var body map[string]any
	if json.Unmarshal(data, &body) != nil || body["verdicts"] != nil {
		return data, nil // what is no JSON is told by whoever reads it
	}
	ids, err := r.NewestVerdicts(c.Context(), id)
	if err != nil || len(ids) == 0 {
		return data, err
	}
	body["verdicts"] = ids
	return json.Marshal(body)
}

// lotRecompute computes stored verdicts anew.
func (s *session) lotRecompute() *cobra.Command {
	var lot string
	c := &cobra.Command{
		Use: "recompute", Short: "Compute stored verdicts anew", Args: noArguments,
		Long: "Computes all verdicts, or those on one lot, anew from what is stored with them, and says which are\nnot found again: then it exits 1. Nothing is changed.",
		RunE: func(c *cobra.Command, _ []string) error {
			if !s.records.there() {
				return usage("there are no records in %s: say with --data where they are", s.records.data)
			}
			return s.atRelease(c, func(r *release.Release) error {
				ask := release.VerifyBody{Limit: -1}
				if lot != "" {
					id, err := lotID(c.Context(), r, lot)
					if err != nil {
						return err
					}
					ask.Lot = id
				}
				done, err := r.Verify(c.Context(), ask, s.progress(time.Now))
				if err := s.answered(err, done, func(p *page) { p.recomputed(done) }); err != nil {
					return err
				}
				if done.Differed > 0 {
					return status(exitFailure)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&lot, "lot", "", "identifier or `NAME` of a lot; all where left out")
	s.forRecords(c)
	return c
}

// progress tells how far a long work has come, where people see it.
func (s *session) progress(now func() time.Time) func(int) {
	if !terminal(s.err) {
		return nil
	}
	begun := now()
	return func(done int) {
		s.complain("%d verdicts, %.0f a second", done, float64(done)/max(now().Sub(begun).Seconds(), 1e-3))
	}
}

func (p *page) recomputed(done release.Recomputed) {
	p.linef("%d verdicts computed anew by %s: %d the same, %d not", done.Verdicts, done.Program, done.Same, done.Differed)
	for _, d := range done.Differ {
		p.linef("  verdict %s by %s%s", d.VerdictID, d.Program, after(": ", d.Problem))
		for _, x := range d.Differences {
			p.linef("    %s: stored %v, now %v", x.Location, x.Stored, x.Recomputed)
		}
	}
}
