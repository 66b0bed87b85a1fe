package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
)

var exampleSpecFlags = []string{
	"--name", "House rosé", "--target-L", "84.2", "--target-a", "13.1", "--target-b", "8.4", "--delta-e-00", "3",
	"--reading-method", "readings", "--reading-path-mm", "20", "--rule", "guarded", "--approved-by", "Ada",
}

// specCommand is specifications from a shell.
func (s *session) specCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "spec", Short: "Specifications: what a lot must meet, in versions", Args: noArguments,
		Long: "A specification is never changed: a change is another version, and lots and verdicts keep\nthe one that they go by. SPEC is its identifier, the beginning of it, or its name, where\nonly one specification has that.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	list := listOfAll(s, "list", "List specifications, each in its newest version",
		func(ctx context.Context, d desk) ([]record.Spec, error) { return allSpecs(ctx, d, false) }, (*page).specs)
	archive := s.about(aSpec, "archive", "Archive a specification", "Takes a specification out of lists. It stays readable, and lots that have it keep it.", specID,
		func(c *cobra.Command, d desk, id string) error {
			spec, err := d.records.ArchiveSpec(c.Context(), id)
			return s.answered(err, spec, func(p *page) { p.linef("Archived: %s%s", spec.ID, after("  ", spec.Name)) })
		})
	c.AddCommand(s.specAdd(), list, s.specShow(), s.specVersions(), s.specNewVersion(), archive, s.specFeasibility())
	return c
}

func (s *session) specAdd() *cobra.Command {
	f := form{use: "spec add", example: exampleSpecFlags, flags: specFlags()}
	c := &cobra.Command{
		Use: "add", Short: "Add a specification", Args: noArguments,
		Long: "Adds a specification, given as flags, or as JSON with -f or on standard input, as the service\ntakes it. What a stored target or wine, a trial's chosen dose or released lots are at this\nmoment is copied into it. Where it says how lots are read and no wine read so could pass, it\nsays so at once.",
		RunE: func(c *cobra.Command, _ []string) error {
			body, ok, err := bodyOf[record.SpecBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			return s.atDesk(c, func(d desk) error {
				if err := nameReference(c.Context(), d, &body); err != nil {
					return err
				}
				spec, err := d.AddSpec(c.Context(), body)
				return s.specified(spec, err)
			})
		},
	}
	f.add(s, c)
	s.forRecords(c)
	return c
}

// nameReference puts identifiers where a person gave names.
func nameReference(ctx context.Context, d desk, body *record.SpecBody) error {
	if body.Reference == nil {
		return nil
	}
	if said := body.Reference.Trial; said != "" {
		id, err := trialID(ctx, d.bench, said)
		if err != nil {
			return at("/reference/trial", said, err)
		}
		body.Reference.Trial = id
	}
	for i, said := range body.Reference.Lots {
		id, err := lotAtDesk(ctx, d, said)
		if err != nil {
			return at(fmt.Sprintf("/reference/lots/%d", i), said, err)
		}
		body.Reference.Lots[i] = id
	}
	return nil
}

// specified prints a specification.
func (s *session) specified(spec record.Spec, err error) error {
	if err != nil || s.asJSON {
		return s.answered(err, spec, nil)
	}
	outlook, problem, err := outlookOf(spec)
	return s.answered(err, spec, func(p *page) { p.spec(spec, outlook, problem) })
}

// outlookOf is what a specification can come to: nil where it does not say how lots
// are read, or with the problem that it cannot be told.
func outlookOf(spec record.Spec) (*calc.FeasibilityResponse, *calc.Problem, error) {
	if spec.Reading == nil {
		return nil, nil, nil
	}
	answer, err := calc.Feasibility(calc.FeasibilityRequest{Spec: spec.Spec, View: spec.View})
	if p := calc.AsProblem(err); p != nil {
		return nil, p, nil
	}
	return &answer, nil, err
}

func (s *session) specShow() *cobra.Command {
	var version int
	var body bool
	c := s.about(aSpec, "show", "Show a specification, and whether any wine could pass", "Shows the newest version, or the one that --version names. With --body it prints what\nnew-version takes, to be saved, changed and given back.", specID,
		func(c *cobra.Command, d desk, id string) error {
			spec, err := versionOf(c, d, id, version)
			if err == nil && body {
				return writeJSON(s.out, asked(spec))
			}
			return s.specified(spec, err)
		})
	c.Flags().IntVar(&version, "version", 0, "`NUMBER` of the version; the newest where left out")
	c.Flags().BoolVar(&body, "body", false, "print it as JSON that new-version takes")
	return c
}

// versionOf is a version of a specification, where the flag --version is given.
func versionOf(c *cobra.Command, d desk, id string, version int) (record.Spec, error) {
	if !c.Flags().Changed("version") {
		return d.records.Spec(c.Context(), id)
	}
	spec, err := d.records.SpecVersion(c.Context(), id, version)
	if !errors.Is(err, record.ErrNotFound) {
		return spec, err
	}
	newest, err := d.records.Spec(c.Context(), id)
	if err != nil {
		return newest, err
	}
	return spec, usage("--version: there is no version %d of this specification: there are 1 to %d", version, newest.Version)
}

// asked is the body that gives a specification again. What was taken from its
// reference is left out, as it is taken again.
func asked(spec record.Spec) record.SpecBody {
	body := spec.SpecBody
	if body.Reference != nil {
		body.Target = nil
		if body.Reference.Lots != nil {
			body.ApprovedLots = nil
		}
	}
	return body
}

func (s *session) specVersions() *cobra.Command {
	return s.about(aSpec, "versions", "List the versions of a specification", "Lists all versions in ascending order, with when each holds.", specID,
		func(c *cobra.Command, d desk, id string) error {
			versions, err := d.records.SpecVersions(c.Context(), id)
			return s.answered(err, itemsOf[record.Spec]{versions}, func(p *page) { p.versions(versions) })
		})
}

func (s *session) specNewVersion() *cobra.Command {
	f := form{use: "spec new-version", of: aSpec, example: append([]string{"--after-version", "1"}, exampleSpecFlags...), flags: specFlags()}
	var seen int64
	c := s.about(aSpec, "new-version", "Add a version of a specification",
		"Adds a further version; those before stay as they are, and so do the lots and verdicts that\ngo by them. What is given is the whole specification: pourpath spec show SPEC --body prints\nthe newest one to begin with. --after-version is the version that you have seen as the\nnewest: where somebody else's came in between, yours is refused.", specID,
		func(c *cobra.Command, d desk, id string) error {
			body, ok, err := bodyOf[record.SpecBody](s, c, f)
			if err != nil || !ok {
				return err
			}
			newest, err := d.records.Spec(c.Context(), id)
			if err != nil {
				return err
			}
			if !c.Flags().Changed("after-version") {
				return usage("--after-version: say which version you have seen as the newest, so that nobody's is passed over; it is %d now", newest.Version)
			}
			if err := nameReference(c.Context(), d, &body); err != nil {
				return err
			}
			spec, err := d.AddVersion(c.Context(), id, seen, body)
			if errors.Is(err, record.ErrChanged) {
				if seen > int64(newest.Version) {
					return usage("--after-version %d: there is no such version: the newest is %d", seen, newest.Version)
				}
				return usage("--after-version %d: somebody has added a version since: look at it with pourpath spec show %s, and give yours again with the number of the newest", seen, id)
			}
			return s.specified(spec, err)
		})
	c.Flags().Int64Var(&seen, "after-version", 0, "`NUMBER` of the newest version as you have seen it")
	f.add(s, c)
	return c
}

func (s *session) specFeasibility() *cobra.Command {
	f := form{use: "spec feasibility", of: subject{"[SPEC]", ""}, example: exampleSpecFlags[2:16], flags: judgedFlags()}
	var version int
	c := &cobra.Command{
		Use: "feasibility [SPEC]", Short: "Whether any wine could pass, before anything is measured",
		Long: "Says whether a wine at the best place that a specification has could pass, read as it says\nlots are read, and what would help where none could. The specification is a stored one, in\nwhich flags take the place of what it says: what if lots were read otherwise? Or it is not\nstored, and given as flags, or as JSON with -f, as the service or spec add takes it.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usage("%s takes one specification: its identifier, the beginning of it, or its name", c.CommandPath())
			}
			return nil
		},
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return err
			}
			return s.foreseen(c, inSpec(data))
		}
		if s.file != "" {
			return usage("the specification is given twice: either -f, or %q", args[0])
		}
		return s.withRecord(c, aSpec, args[0], specID, func(d desk, id string) error {
			spec, err := versionOf(c, d, id, version)
			if err != nil {
				return err
			}
			data, err := f.over(c, spec)
			if err != nil {
				return err
			}
			return s.foreseen(c, data)
		})
	}
	c.Flags().IntVar(&version, "version", 0, "`NUMBER` of the stored version; the newest where left out")
	f.add(s, c)
	s.forRecords(c)
	return c
}

// foreseen answers whether any wine could pass.
func (s *session) foreseen(c *cobra.Command, data []byte) error {
	cellar := &lateCellar{flags: s.records}
	_, answer, err := calc.Answer(c.Context(), data, cellar, calc.Feasibility)
	if err := errors.Join(err, cellar.close()); err != nil {
		return err
	}
	return s.answered(nil, answer, func(p *page) { p.outlook(answer) })
}

// over is the question whether any wine could pass a stored specification, with the
// flags that were given in place of what it says.
func (f form) over(c *cobra.Command, spec record.Spec) ([]byte, error) {
	text, err := json.Marshal(record.SpecBody{Spec: spec.Spec, View: spec.View})
	if err != nil {
		return nil, fmt.Errorf("writing the specification: %w", err)
	}
	body, err := members(text)
	if err != nil {
		return nil, err
	}
	for _, flag := range f.flags {
		if !c.Flags().Changed(flag.name) {
			continue
		}
		texts, err := flag.given(c)
		if err == nil {
			err = flag.putAll(body, texts)
		}
		if err != nil {
			return nil, err
		}
	}
	if text, err = json.Marshal(body); err != nil {
		return nil, fmt.Errorf("writing the specification: %w", err)
	}
	return inSpec(text), nil
}

// ofRecords are the members of a specification that are kept and judge nothing.
var ofRecords = []string{"product", "reference_state", "valid_from", "valid_to", "approved_by"}

// inSpec makes the question whether any wine could pass of a specification as
// spec add takes it. Other text is left as it is, for the check of the request.
func inSpec(data []byte) []byte {
	body, err := members(data)
	if _, asked := body["spec"]; err != nil || asked {
		return data
	}
	question := map[string]any{"spec": body}
	if view, ok := body["view"]; ok {
		question["view"] = view
		delete(body, "view")
	}
	for _, name := range ofRecords {
		delete(body, name)
	}
	text, err := json.Marshal(question)
	if err != nil {
		return data
	}
	return text
}
