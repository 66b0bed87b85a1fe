package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

const exampleTrial = `{
  "name": "First ladder",
  "base": {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}},
  "addition": {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},
  "base_ml": 100,
  "target": {"cielab": {"L": 85, "a": 16, "b": 4}, "tolerance": {"delta_e_00": 3}},
  "tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}],
  "glasses": ["A", "B", "C"]
}`

// trialCommand is the bench from a shell.
func (s *session) trialCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "trial", Short: "Trials at the bench: plan, pour log, readings, choice, documents", Args: noArguments,
		Long: "A trial is a base, what is poured into it, and the log of its glasses. TRIAL is its\nidentifier, the beginning of it, or its name, where only one trial has that.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.trialBegin(), s.trialList(), s.trialShow(), s.trialPlan(), s.trialArchive())
	for _, l := range logCommands() {
		c.AddCommand(l.command(s))
	}
	c.AddCommand(s.trialSheet(), s.trialReport(), s.trialOrder())
	return c
}

// atBench opens the store for a command and gives it its bench.
func (s *session) atBench(c *cobra.Command, work func(*bench.Bench) error) error {
	return s.records.withStore(c.Context(), func(st *store.Store) error {
		b := bench.New(st)
		b.Version = version
		return work(b)
	})
}

// ofTrial is a command about one trial, whose identifier work is given.
func (s *session) ofTrial(use, short, long string, work func(c *cobra.Command, b *bench.Bench, id string) error) *cobra.Command {
	c := &cobra.Command{
		Use: use + " TRIAL", Short: short, Long: long,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("%s takes one trial: its identifier, the beginning of it, or its name; pourpath trial list has them", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return s.atBench(c, func(b *bench.Bench) error {
				id, err := trialID(c.Context(), b, args[0])
				if err != nil {
					return err
				}
				return work(c, b, id)
			})
		},
	}
	s.forRecords(c)
	return c
}

// forRecords adds the flags of a command about records.
func (s *session) forRecords(c *cobra.Command) {
	c.Flags().BoolVar(&s.asJSON, "json", false, "print the answer, or the problem, as JSON")
	s.records.add(c)
}

// trialID finds the trial that a person means.
func trialID(ctx context.Context, b *bench.Bench, said string) (string, error) {
	var found []string
	page := record.Page{Limit: 1000, Archived: true}
	for {
		trials, err := b.Named(ctx, page)
		if err != nil {
			return "", err
		}
		for _, t := range trials {
			if t.ID == said {
				return said, nil
			}
			if strings.EqualFold(t.Name, said) || len(said) >= shortestID && strings.HasPrefix(t.ID, said) {
				found = append(found, t.ID)
			}
		}
		if len(trials) < page.Limit {
			break
		}
		page.After = trials[len(trials)-1].ID
	}
	switch len(found) {
	case 0:
		return "", usage("there is no trial %q; pourpath trial list has those there are", said)
	case 1:
		return found[0], nil
	}
	return "", usage("%q is the name or the beginning of %d trials: give one of the identifiers %s", said, len(found), strings.Join(found, ", "))
}

// shortestID is how much of an identifier names a trial.
const shortestID = 4

func (s *session) trialBegin() *cobra.Command {
	c := &cobra.Command{
		Use: "begin", Short: "Begin a trial", Args: noArguments,
		Long:    "Begins a trial of stored wines ({\"id\": ...}) or of wines that are given. What is known of\nthem and of the target now is copied and used from then on. An addition that was never read\nhas its name alone: the ladder is known once a glass is read.",
		Example: "  pourpath trial begin -f trial.json",
		RunE: func(c *cobra.Command, _ []string) error {
			data, err := calculation[record.TrialBody, bench.TrialAnswer]{use: "trial begin", example: exampleTrial}.request(s, c)
			if err != nil || data == nil {
				return err
			}
			asked, err := calc.DecodeWhole[record.TrialBody](data)
			if err != nil {
				return err
			}
			return s.atBench(c, func(b *bench.Bench) error {
				t, err := b.Begin(c.Context(), asked)
				return s.answered(err, t, func(p *page) { p.trial(t) })
			})
		},
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the trial from `FILE`; - is standard input")
	s.forRecords(c)
	return c
}

// answered prints an answer as JSON or for people.
func (s *session) answered(err error, answer any, show func(*page)) error {
	if err != nil {
		return err
	}
	if s.asJSON {
		return writeJSON(s.out, answer)
	}
	p := s.page()
	show(p)
	return p.err
}

func (s *session) trialList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List trials, the newest first", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return s.atBench(c, func(b *bench.Bench) error {
				trials, err := b.Named(c.Context(), record.Page{Newest: true, Limit: 1000})
				return s.answered(err, trials, func(p *page) { p.trials(trials) })
			})
		},
	}
	s.forRecords(c)
	return c
}

func (s *session) trialShow() *cobra.Command {
	return s.ofTrial("show", "Show a trial: glasses, log, ladder, choice", "Shows what is in the glasses, the log, the dose closest to the target, the choice and its final\ncheck.",
		func(c *cobra.Command, b *bench.Bench, id string) error {
			t, err := b.Trial(c.Context(), id)
			return s.answered(err, t, func(p *page) { p.trial(t) })
		})
}

func (s *session) trialArchive() *cobra.Command {
	return s.ofTrial("archive", "Archive a trial", "Takes a trial out of lists. It stays readable and takes no more entries.",
		func(c *cobra.Command, b *bench.Bench, id string) error {
			t, err := b.Archive(c.Context(), id)
			return s.answered(err, t, func(p *page) { p.linef("Archived: %s", t.ID) })
		})
}
