package main

import (
	"github.com/spf13/cobra"

	"pourpath/api/record"
	"pourpath/api/release"
)

const exampleCheck = `{
  "instrument": "Spectrophotometer 2",
  "kind": "filter",
  "points": [{"nm": 520, "certified": 0.512, "limit": 0.008, "reading": 0.514}],
  "reference": "filter set 7, certificate of 2026",
  "by": "Ada",
  "next_due": "2027-01-31"
}`

// instrumentCommand keeps the checks of instruments from a shell.
func (s *session) instrumentCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "instrument", Short: "Checks of instruments", Args: noArguments,
		Long: "Keeps what instruments read of references. What is read while a check has failed or is overdue\ncarries a warning, and so do the verdicts.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.instrumentCheck(), s.instrumentList())
	return c
}

func (s *session) instrumentCheck() *cobra.Command {
	c := &cobra.Command{
		Use: "check", Short: "Record a check of an instrument", Args: noArguments,
		Example: "  pourpath instrument check -f check.json",
		RunE: func(c *cobra.Command, _ []string) error {
			body, err := asked[record.InstrumentCheckBody](s, c, "instrument check", exampleCheck)
			if err != nil || body == nil {
				return err
			}
			return s.atRelease(c, func(r *release.Release) error {
				made, err := r.AddCheck(c.Context(), *body)
				return s.answered(err, made, func(p *page) { p.linef("%s, %s: %s", made.Instrument, made.Kind, passed(made)) })
			})
		},
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the check from `FILE`; - is standard input")
	s.forRecords(c)
	return c
}

func passed(c record.InstrumentCheck) string {
	if c.Passed {
		return "passed"
	}
	return "FAILED"
}

func (s *session) instrumentList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List checks, the newest first", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return listing(s, c, func(r *release.Release, p record.Page) ([]record.InstrumentCheck, error) {
				return r.Checks(c.Context(), p)
			},
				func(x record.InstrumentCheck) string { return x.ID }, func(p *page, list []record.InstrumentCheck) {
					rows := make([]row, len(list))
					for i, x := range list {
						due := ""
						if x.NextDue != nil {
							due = x.NextDue.Format("2006-01-02")
						}
						rows[i] = row{cells: []string{x.Instrument, string(x.Kind), passed(x), x.At().Format("2006-01-02"), due, x.By}}
					}
					p.table([]string{"instrument", "checked with", "result", "checked", "next due", "by"}, rows)
				})
		},
	}
	s.forRecords(c)
	return c
}
