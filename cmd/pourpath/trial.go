package main

import (
	"context"
	"errors"
	"slices"

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
	err := s.records.withStore(c.Context(), func(st *store.Store) error {
		b := bench.New(st)
		b.Version = version
		return work(b)
	})
	if errors.Is(err, record.ErrArchived) {
		return usage("the trial is archived and takes no more entries: begin another")
	}
	return err
}

// ofTrial is a command about one trial, whose identifier work is given.
func (s *session) ofTrial(use, short, long string, work func(c *cobra.Command, b *bench.Bench, id string) error) *cobra.Command {
	c := &cobra.Command{
		Use: use + " TRIAL", Short: short, Long: long,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || args[0] == "" {
				return usage("%s takes one trial: its identifier, the beginning of it, or its name; pourpath trial list has them", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so there is no trial %q: say with --data where they are", s.records.data, args[0])
			}
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

// everyPage takes a list of records to its end.
func everyPage[T any](list func(record.Page) ([]T, error), id func(T) string, archived bool) (all []T, err error) {
	page := record.Page{Limit: 1000, Archived: archived}
	for {
		some, err := list(page)
		if err != nil {
			return nil, err
		}
		if all = append(all, some...); len(some) < page.Limit {
			return all, nil
		}
		page.After = id(some[len(some)-1])
	}
}

// allTrials lists trials as they are recorded, in the order in which they were
// begun.
func allTrials(ctx context.Context, b *bench.Bench, archived bool) ([]record.Trial, error) {
	list := func(p record.Page) ([]record.Trial, error) { return b.Named(ctx, p) }
	return everyPage(list, func(t record.Trial) string { return t.ID }, archived)
}

// trialID finds the trial that a person means: see meant.
func trialID(ctx context.Context, b *bench.Bench, said string) (string, error) {
	all, err := allTrials(ctx, b, true)
	if err != nil {
		return "", err
	}
	trials := make([]candidate, len(all))
	for i, t := range all {
		trials[i] = candidate{t.ID, t.Name, t.ArchivedAt != nil}
	}
	return meant(said, "trial", trials)
}

func (s *session) trialBegin() *cobra.Command {
	c := &cobra.Command{
		Use: "begin", Short: "Begin a trial", Args: noArguments,
		Long:    "Begins a trial of stored wines ({\"id\": ...}) or of wines that are given. What is known of\nthem and of the target now is copied and used from then on. An addition that was never read\nhas its name alone: the ladder is known once a glass is read.",
		Example: "  pourpath trial begin -f trial.json",
		RunE: func(c *cobra.Command, _ []string) error {
			data, err := s.request(c, asking{use: "trial begin", example: exampleTrial})
			if err != nil || data == nil {
				return err
			}
			asked, err := calc.DecodeWhole[record.TrialBody](data)
			if err != nil {
				return err
			}
			return s.atBench(c, func(b *bench.Bench) error {
				t, err := b.Begin(c.Context(), asked)
				return s.shown(t, err)
			})
		},
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the trial from `FILE`; - is standard input")
	s.forRecords(c)
	return c
}

// shown prints a trial.
func (s *session) shown(t bench.TrialAnswer, err error) error {
	if err != nil {
		return err
	}
	ahead, err := outlook(t)
	return s.answered(err, t, func(p *page) { p.trial(t, ahead) })
}

// outlook is the trial's ladder as far as it may yet be poured: one that ends at
// what is in the glasses would tell of no closest dose beyond it. It is nil where
// there is no ladder.
func outlook(t bench.TrialAnswer) (*calc.LadderResponse, error) {
	question, ok, err := t.Outlook()
	if err != nil || !ok || t.Ladder == nil {
		return nil, err
	}
	ahead, err := calc.Ladder(question)
	return &ahead, err
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
			if !s.records.there() {
				return s.listed(c, nil)
			}
			return s.atBench(c, func(b *bench.Bench) error { return s.listed(c, b) })
		},
	}
	s.forRecords(c)
	return c
}

// listed prints the trials of a bench, of which nil has none; as JSON each is as
// show prints it.
func (s *session) listed(c *cobra.Command, b *bench.Bench) error {
	var items []bench.TrialAnswer
	var rows []record.Trial
	var err error
	switch {
	case b == nil:
	case s.asJSON:
		list := func(p record.Page) ([]bench.TrialAnswer, error) { return b.Trials(c.Context(), p) }
		items, err = everyPage(list, func(t bench.TrialAnswer) string { return t.ID }, false)
	default:
		rows, err = allTrials(c.Context(), b, false)
	}
	slices.Reverse(items)
	slices.Reverse(rows)
	answer := struct {
		Items []bench.TrialAnswer `json:"items"`
	}{append([]bench.TrialAnswer{}, items...)}
	return s.answered(err, answer, func(p *page) { p.trials(rows) })
}

func (s *session) trialShow() *cobra.Command {
	return s.ofTrial("show", "Show a trial: glasses, log, ladder, choice", "Shows what is in the glasses, the log, the dose closest to the target, the choice and its final\ncheck.",
		func(c *cobra.Command, b *bench.Bench, id string) error {
			t, err := b.Trial(c.Context(), id)
			return s.shown(t, err)
		})
}

func (s *session) trialArchive() *cobra.Command {
	return s.ofTrial("archive", "Archive a trial", "Takes a trial out of lists. It stays readable and takes no more entries.",
		func(c *cobra.Command, b *bench.Bench, id string) error {
			t, err := b.Archive(c.Context(), id)
			return s.answered(err, t, func(p *page) { p.linef("Archived: %s%s", t.ID, after("  ", t.Name)) })
		})
}
