package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// decisionWords are what a person types for a decision.
var decisionWords = map[string]string{
	"release": "released", "released": "released", "hold": "held", "held": "held", "reject": "rejected", "rejected": "rejected",
}

func (s *session) lotDecide() *cobra.Command {
	f := form{use: "lot decide", flags: []bodyFlag{
		aText("by", "`NAME` of who decided"), aText("reason", "why; needed but for a release on passes alone"), aText("at", "`TIME` when, where that is not now (RFC 3339, or a date)"),
		aList("verdicts", "identifiers of the verdicts that it rests on, `ID,ID`; the newest on each sample where left out"),
	}}
	c := &cobra.Command{
		Use: "decide LOT release|hold|reject", Short: "Decide about a lot: release, hold or reject",
		Long: "Keeps what was decided about a lot: release, hold or reject. It rests on the newest verdict on\neach sample, unless --verdicts or -f names others. A release needs a reason where one of these\nis no pass. Decisions are never changed: the newest counts.",
		Args: func(c *cobra.Command, args []string) error {
			switch {
			case len(args) == 2 && s.file != "":
				return usage("the decision is given twice: either -f, or %q", args[1])
			case len(args) == 2 && decisionWords[args[1]] == "":
				return usage("%q is no decision: want release, hold or reject", args[1])
			case len(args) == 2 && args[0] != "", len(args) == 1 && args[0] != "" && s.file != "":
				return nil
			}
			return usage("%s takes one lot and what was decided about it: release, hold or reject", c.CommandPath())
		},
		RunE: func(c *cobra.Command, args []string) error {
			return s.withRecord(c, aLot, args[0], lotAtDesk, func(d desk, id string) error {
				data, err := s.decision(c, d, id, f, args[1:])
				if err != nil {
					return err
				}
				body, err := calc.DecodeWhole[record.DecisionBody](data)
				if err != nil {
					return err
				}
				made, err := d.Decide(c.Context(), id, body)
				return s.answered(err, made, func(p *page) { p.decisions([]record.Decision{made}) })
			})
		},
	}
	f.add(s, c)
	s.forRecords(c)
	c.Example = "  pourpath lot decide L-2026-31 release --by Ada\n  pourpath lot decide L-2026-31 hold --by Ada --reason 'the end of the run is read again tomorrow'"
	return c
}

// decision is the body of a decision: from a file as it stands, or of what was
// typed, with the newest verdicts where none was named.
func (s *session) decision(c *cobra.Command, d desk, lot string, f form, word []string) ([]byte, error) {
	if len(word) == 0 {
		return f.request(s, c)
	}
	body := map[string]any{}
	typed, err := f.typed(s, c)
	if err == nil && typed != nil {
		body, err = members(typed)
	}
	if err != nil {
		return nil, err
	}
	body["decision"] = decisionWords[word[0]]
	if _, named := body["verdicts"]; !named {
		newest, err := newestVerdicts(c.Context(), d, lot)
		if err != nil {
			return nil, err
		}
		ids := []string{}
		for _, v := range newest {
			ids = append(ids, v.VerdictID)
		}
		if len(ids) > 0 {
			body["verdicts"] = ids
		}
	}
	data, err := json.Marshal(body)
	if err != nil {
		return nil, fmt.Errorf("writing the decision: %w", err)
	}
	return data, nil
}
