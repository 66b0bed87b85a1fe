package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

const exampleSpec = `{
  "name": "House rosé",
  "product": "House rosé 750 mL",
  "target": {"cielab": {"L": 87, "a": 13, "b": 5}},
  "tolerance": {"delta_e_00": 3},
  "limits": {"tint": [0.7, 1.1]},
  "rule": "guarded",
  "reading_method": {"source": "readings", "extra_nm": [460, 560]},
  "approved_by": "Bea"
}`

// specCommand keeps specifications from a shell.
func (s *session) specCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "spec", Short: "Specifications of colour, by version", Args: noArguments,
		Long: "Keeps what lots are held against. A version is never changed: a change is another version.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.specAdd(), s.specList(), s.specShow(), s.specVersions(), s.specNewVersion(), s.specArchive())
	return c
}

// ofRecord is a command about one record of a kind, such as lot, whose identifier
// find makes of what was said.
func (s *session) ofRecord(kind, use, short, long string, find func(context.Context, *release.Release, string) (string, error), work func(c *cobra.Command, r *release.Release, id string) error) *cobra.Command {
	c := &cobra.Command{
		Use: use + " " + strings.ToUpper(kind), Short: short, Long: long,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || args[0] == "" {
				return usage("%s takes one %s: its identifier, the beginning of it, or its name; pourpath %s list has them", c.CommandPath(), kind, kind)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if !s.records.there() {
				return usage("there are no records in %s, so there is no %s %q: say with --data where they are", s.records.data, kind, args[0])
			}
			return s.atRelease(c, func(r *release.Release) error {
				id, err := find(c.Context(), r, args[0])
				if err != nil {
					return err
				}
				return work(c, r, id)
			})
		},
	}
	s.forRecords(c)
	return c
}

// specID finds the specification that a person means: see meant.
func specID(ctx context.Context, r *release.Release, said string) (string, error) {
	if _, err := r.Spec(ctx, said); !errors.Is(err, record.ErrNotFound) {
		return said, err
	}
	list := func(p record.Page) ([]record.Spec, error) { return r.Specs(ctx, p) }
	all, err := everyPage(list, func(x record.Spec) string { return x.ID }, true)
	if err != nil {
		return "", err
	}
	specs := make([]candidate, len(all))
	for i, x := range all {
		specs[i] = candidate{x.ID, x.Name, x.ArchivedAt != nil}
	}
	return meant(said, "spec", specs)
}

func (s *session) specAdd() *cobra.Command {
	c := &cobra.Command{
		Use: "add", Short: "Add a specification", Args: noArguments,
		Long:    "Adds a specification, with what its target or reference is now copied in. It says at once where\nno lot, read as the specification says, could pass.",
		Example: "  pourpath spec add -f spec.json",
		RunE: func(c *cobra.Command, _ []string) error {
			body, err := asked[record.SpecBody](s, c, "spec add", exampleSpec)
			if err != nil || body == nil {
				return err
			}
			return s.atRelease(c, func(r *release.Release) error {
				spec, err := r.AddSpec(c.Context(), *body)
				return s.specShown(spec, err)
			})
		},
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the specification from `FILE`; - is standard input")
	s.forRecords(c)
	return c
}

// asked is a request that comes as JSON alone, or nil after an example was
// printed.
func asked[Body calc.Request](s *session, c *cobra.Command, use, example string) (*Body, error) {
	data, err := s.request(c, asking{use: use, example: example})
	if err != nil || data == nil {
		return nil, err
	}
	body, err := calc.DecodeWhole[Body](data)
	return &body, err
}

func (s *session) specNewVersion() *cobra.Command {
	var seen int64
	c := s.ofRecord("spec", "new-version", "Add a version of a specification",
		"Adds a version after the one that you have seen: --seen is its number. What is left out is not\ntaken from the version before; pourpath spec show --json has that.", specID,
		func(c *cobra.Command, r *release.Release, id string) error {
			if seen < 1 {
				return usage("--seen says which version yours comes after: pourpath spec show has the newest")
			}
			body, err := asked[record.SpecBody](s, c, "spec new-version SPEC --seen 1", exampleSpec)
			if err != nil || body == nil {
				return err
			}
			spec, err := r.AddVersion(c.Context(), id, seen, *body)
			if errors.Is(err, record.ErrChanged) {
				newest, _ := r.Spec(c.Context(), id)
				return usage("version %d is not the newest any more, that is %d%s: look at it and say --seen %d", seen, newest.Version, after(", approved by ", newest.ApprovedBy), newest.Version)
			}
			return s.specShown(spec, err)
		})
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the version from `FILE`; - is standard input")
	c.Flags().Int64Var(&seen, "seen", 0, "`NUMBER` of the version that you have seen")
	c.Example = "  pourpath spec new-version 'House rosé' --seen 1 -f spec.json"
	return c
}

func (s *session) specList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List specifications, the newest first", Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			return listing(s, c, func(r *release.Release, p record.Page) ([]record.Spec, error) { return r.Specs(c.Context(), p) },
				func(x record.Spec) string { return x.ID }, func(p *page, list []record.Spec) {
					rows := make([]row, len(list))
					for i, x := range list {
						rows[i] = row{cells: []string{x.ID, x.Name, fmt.Sprint(x.Version), ruleOf(x), x.Product, x.ApprovedBy}}
					}
					p.table([]string{"identifier", "name", "version", "rule", "product", "approved by"}, rows)
				})
		},
	}
	s.forRecords(c)
	return c
}

// listing prints a list of records, the newest first; without a store it is empty.
func listing[T any](s *session, c *cobra.Command, list func(*release.Release, record.Page) ([]T, error), id func(T) string, show func(*page, []T)) error {
	items := []T{}
	work := func(r *release.Release) (err error) {
		all, err := everyPage(func(p record.Page) ([]T, error) { return list(r, p) }, id, false)
		for i := len(all) - 1; i >= 0; i-- {
			items = append(items, all[i])
		}
		return err
	}
	var err error
	if s.records.there() {
		err = s.atRelease(c, work)
	}
	return s.answered(err, struct {
		Items []T `json:"items"`
	}{items}, func(p *page) { show(p, items) })
}

func (s *session) specShow() *cobra.Command {
	var wanted int
	c := s.ofRecord("spec", "show", "Show a specification", "Shows the newest version, or another one, and whether any lot could pass it.", specID,
		func(c *cobra.Command, r *release.Release, id string) error {
			if wanted == 0 {
				spec, err := r.Spec(c.Context(), id)
				return s.specShown(spec, err)
			}
			versions, err := r.Versions(c.Context(), id)
			if err == nil && (wanted < 1 || wanted > len(versions)) {
				return usage("there is no version %d: the newest is %d", wanted, len(versions))
			}
			if err != nil {
				return err
			}
			return s.specShown(versions[wanted-1], nil)
		})
	c.Flags().IntVar(&wanted, "version", 0, "`NUMBER` of the version; the newest where left out")
	return c
}

func (s *session) specVersions() *cobra.Command {
	return s.ofRecord("spec", "versions", "List the versions of a specification", "Lists all versions and when each holds.", specID,
		func(c *cobra.Command, r *release.Release, id string) error {
			versions, err := r.Versions(c.Context(), id)
			return s.answered(err, struct {
				Items []record.Spec `json:"items"`
			}{versions}, func(p *page) {
				rows := make([]row, len(versions))
				for i, v := range versions {
					rows[i] = row{cells: []string{fmt.Sprint(v.Version), v.Term(), ruleOf(v), v.ApprovedBy}}
				}
				p.table([]string{"version", "holds", "rule", "approved by"}, rows)
			})
		})
}

func (s *session) specArchive() *cobra.Command {
	return s.ofRecord("spec", "archive", "Archive a specification", "Takes a specification out of lists. It and its verdicts stay readable.", specID,
		func(c *cobra.Command, r *release.Release, id string) error {
			spec, err := r.ArchiveSpec(c.Context(), id)
			return s.answered(err, spec, func(p *page) { p.linef("Archived: %s%s", spec.ID, after("  ", spec.Name)) })
		})
}

func (s *session) feasibilityCommand() *cobra.Command {
	return calculation[calc.FeasibilityRequest, calc.FeasibilityResponse]{
		use: "feasibility", short: "Whether any lot could pass a specification",
		long:    "Says before anything is measured whether a lot of exactly the right colour, read as the\nspecification says, would pass it; if not, what would help.",
		example: calc.ExampleFeasibility,
		answer:  calc.Feasibility,
		show:    func(p *page, _ calc.FeasibilityRequest, a calc.FeasibilityResponse) { p.outlook(a) },
	}.command(s)
}

func ruleOf(x record.Spec) string {
	if x.Rule == "" {
		return "simple"
	}
	return x.Rule
}

// specShown prints a specification, and whether any lot could pass it.
func (s *session) specShown(spec record.Spec, err error) error {
	return s.answered(err, spec, func(p *page) {
		p.linef("%s%s, version %d, holds %s", spec.ID, after("  ", spec.Name), spec.Version, spec.Term())
		p.linef("  rule %s%s%s", ruleOf(spec), after(", product ", spec.Product), after(", approved by ", spec.ApprovedBy))
		if spec.ReferenceSource != "" {
			p.linef("  reference: %s", spec.ReferenceSource)
		}
		if spec.Reading == nil {
			p.linef("It does not say how lots are read (reading_method), so it cannot be told whether one could pass.")
			return
		}
		p.linef("  lots are read as %s", spec.Reading.Text())
		answer, err := calc.Feasibility(calc.FeasibilityRequest{Spec: spec.Spec, View: spec.View})
		if err != nil {
			p.linef("Whether a lot could pass cannot be told: %v", err)
			return
		}
		p.outlook(answer)
	})
}

// outlook says whether any lot could pass.
func (p *page) outlook(a calc.FeasibilityResponse) {
	switch {
	case a.CanNeverPass:
		p.linef("NO LOT COULD PASS: one of exactly the right colour would be within with probability %s only.", fixed(a.BestProbability, 3))
		if a.NeededDeltaE00 != nil {
			p.linef("The least tolerance that it would pass is ΔE00 %.1f.", *a.NeededDeltaE00)
		}
	case a.BestProbability != nil:
		p.linef("A lot of exactly the right colour would be within with probability %s.", fixed(a.BestProbability, 3))
	}
	showCauses(p, a.Causes)
	showRemedies(p, a.WouldSettle)
	p.warnings(a.Warnings)
}
