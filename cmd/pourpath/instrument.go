package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/record"
)

// instrumentCommand is the checks of instruments from a shell.
func (s *session) instrumentCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "instrument", Short: "Checks of instruments: filters, blanks, stray light, wavelengths", Args: noArguments,
		Long: "What was read of a reference with certified values. Samples that were read while the newest\ncheck of a kind had failed or was overdue carry a warning, and verdicts repeat it.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	list := listOfAll(s, "list", "List checks of instruments", func(ctx context.Context, d desk) ([]record.InstrumentCheck, error) {
		return everyPage(func(p record.Page) ([]record.InstrumentCheck, error) { return d.records.InstrumentChecks(ctx, p) }, func(k record.InstrumentCheck) string { return k.ID }, false)
	}, (*page).instrumentChecks)
	c.AddCommand(s.instrumentAddCheck(), list, s.instrumentShow())
	return c
}

func (s *session) instrumentAddCheck() *cobra.Command {
	f := form{use: "instrument add-check", example: []string{
		"--instrument", "bench 2", "--kind", "filter", "--points", "nm=440,certified=0.503,limit=0.005,reading=0.505", "--points", "nm=546.1,certified=0.498,limit=0.005,reading=0.496", "--by", "Ada",
	}, flags: []bodyFlag{
		aText("instrument", "`NAME` of the instrument, as samples call it"), aText("kind", "what it was checked with: filter, dye, blank, stray_light or wavelength"),
		flagOf("points", "what was read, `nm=..,certified=..,limit=..,reading=..`; give it again for each", objects, nil),
		aText("reference", "which filter or solution, and its certificate"), aText("checked-at", "`TIME` when, where that is not now (RFC 3339, or a date)"),
		aText("by", "`NAME` of who checked it"), aText("next-due", "`TIME` by when the next check of this kind is due"), aText("notes", "anything else"),
	}}
	c := &cobra.Command{
		Use: "add-check", Short: "Record a check of an instrument", Args: noArguments,
		Long: "Records a check. It passes where every reading is within its limit; it exits 0 either way.\nValues are absorbances for filter, dye and blank, transmittances in % for stray_light,\nwavelengths in nm for wavelength.",
		RunE: func(c *cobra.Command, _ []string) error {
			body, ok, err := bodyOf[record.InstrumentCheckBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			return s.atDesk(c, func(d desk) error {
				made, err := d.AddCheck(c.Context(), body)
				return s.answered(err, made, func(p *page) { p.instrumentCheck(made) })
			})
		},
	}
	f.add(s, c)
	s.forRecords(c)
	return c
}

func (s *session) instrumentShow() *cobra.Command {
	c := &cobra.Command{
		Use: "show NAME|ID", Short: "Show the newest check of each kind of an instrument, or one check",
		Long: "Shows the checks that count now for the instrument of this name, or the one check with this\nidentifier.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || strings.TrimSpace(args[0]) == "" {
				return usage("%s takes the name of one instrument, or the identifier of one check; pourpath instrument list has them", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so there is no check of %q: say with --data where they are", s.records.data, args[0])
			}
			return s.atDesk(c, func(d desk) error {
				one, err := d.records.InstrumentCheck(c.Context(), args[0])
				if !errors.Is(err, record.ErrNotFound) {
					return s.answered(err, one, func(p *page) { p.instrumentCheck(one) })
				}
				checks, err := d.records.ChecksAt(c.Context(), args[0], d.records.Now())
				if err == nil && len(checks) == 0 {
					return usage("no check of an instrument %q is recorded; pourpath instrument list has those there are", args[0])
				}
				return s.answered(err, itemsOf[record.InstrumentCheck]{checks}, func(p *page) {
					for _, check := range checks {
						p.instrumentCheck(check)
					}
					p.warnings(record.InstrumentWarnings(checks, d.records.Now()))
				})
			})
		},
	}
	s.forRecords(c)
	return c
}

func passedWord(passed bool) string {
	if passed {
		return "passed"
	}
	return "FAILED"
}

// instrumentChecks is the list.
func (p *page) instrumentChecks(list []record.InstrumentCheck) {
	if len(list) == 0 {
		p.linef("There is no check yet; pourpath instrument add-check adds one.")
		return
	}
	for _, k := range list {
		due := ""
		if k.NextDue != nil {
			due = "  next due " + minute(*k.NextDue)
		}
		p.linef("%s  %s  %s  %s  %s%s", k.ID, minute(k.At()), k.Instrument, k.Kind, passedWord(k.Passed), due)
	}
}

// instrumentCheck is one check with what was read.
func (p *page) instrumentCheck(k record.InstrumentCheck) {
	p.linef("%s check of %s, %s: %s", k.Kind, k.Instrument, minute(k.At()), passedWord(k.Passed))
	if said := after("  by ", k.By) + after("  reference: ", k.Reference) + after("  notes: ", k.Notes); said != "" {
		p.linef("%s", said)
	}
	rows := make([]row, len(k.Points))
	for i, point := range k.Points {
		at := "-"
		if point.NM != nil {
			at = fmt.Sprintf("%g", *point.NM)
		}
		rows[i].cells = []string{at, fmt.Sprintf("%g", point.Certified), fmt.Sprintf("%g", point.Reading), fmt.Sprintf("%.3g", point.Reading-point.Certified), fmt.Sprintf("%g", point.Limit)}
	}
	p.table([]string{"nm", "certified", "read", "off by", "limit ±"}, rows)
	if k.NextDue != nil {
		p.linef("  next due: %s", minute(*k.NextDue))
	}
	p.linef("  %s", k.ID)
}
