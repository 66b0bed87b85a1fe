package main

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/record"
	"pourpath/api/release"
)

// statementCommand is the register of statements of conformity from a shell.
func (s *session) statementCommand() *cobra.Command {
	c := &cobra.Command{
		Use: "statement", Short: "Statements of conformity: issue, register, documents", Args: noArguments,
		Long: "A statement says of one sample of a lot whether its colour is within a specification, by a\nstated rule. The register of statements only grows; pourpath verify confirms it.\n\n" +
			"A statement is of colour alone and no licence: whether a blend and its label are lawful is\nfor local codes and licensed practice.",
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(s.statementIssue(), s.statementList(), s.statementShow(), s.statementPrint())
	return c
}

// atStatements opens the store for a command about one statement or lot.
func (s *session) atStatements(c *cobra.Command, said string, work func(*release.Release) error) error {
	if !s.records.there() {
		return usage("there are no records in %s, so there is no %q: say with --data where they are", s.records.data, said)
	}
	return s.atRelease(c, work)
}

// oneWord wants one argument, told as what it is.
func oneWord(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 1 || args[0] == "" {
			return usage("%s takes %s", c.CommandPath(), what)
		}
		return nil
	}
}

const numberOrLot = "one statement: its number, or a lot for its newest: its identifier, the beginning of it, or its name"

func (s *session) statementIssue() *cobra.Command {
	var body record.StatementBody
	c := &cobra.Command{
		Use: "issue LOT", Short: "Issue a statement about a lot", Args: oneWord("one lot: its identifier, the beginning of it, or its name"),
		Long:    "Adds a statement of one verdict on a lot to the register, with the next number. It can be\nneither changed nor taken out. Where a lot has several verdicts, --verdict says which.",
		Example: "  pourpath statement issue L-31 --by 'A. R., quality control'",
		RunE: func(c *cobra.Command, args []string) error {
			return s.atStatements(c, args[0], func(r *release.Release) error {
				id, err := lotID(c.Context(), r, args[0])
				if err != nil {
					return err
				}
				if strings.TrimSpace(body.IssuedBy) == "" {
					return usage("--by: say who issues the statement")
				}
				st, err := r.Issue(c.Context(), id, body)
				if err != nil {
					return byFlag(err)
				}
				return s.stated(st)
			})
		},
	}
	c.Flags().StringVar(&body.IssuedBy, "by", "", "`NAME` of who issues it")
	c.Flags().StringVar(&body.Verdict, "verdict", "", "`ID` of the verdict, where the lot has several")
	c.Flags().StringVar(&body.Note, "note", "", "`TEXT` that is to stand on it besides")
	s.forRecords(c)
	return c
}

func (s *session) statementList() *cobra.Command {
	c := &cobra.Command{
		Use: "list", Short: "List the register, the newest statement first", Args: noArguments,
		Long: "Lists all statements with what is wrong with one that is not as it was issued. Exits with 1\nwhere there is such a one.",
		RunE: func(c *cobra.Command, _ []string) error {
			if !s.records.there() {
				return s.registered(nil)
			}
			return s.atRelease(c, func(r *release.Release) error {
				var all []release.Entry
				for before := 0; ; before = all[len(all)-1].No {
					some, err := r.Register(c.Context(), before, 500)
					if err != nil {
						return err
					}
					if all = append(all, some...); len(some) < 500 {
						return s.registered(all)
					}
				}
			})
		},
	}
	s.forRecords(c)
	return c
}

// registered prints the register.
func (s *session) registered(all []release.Entry) error {
	damaged := slices.ContainsFunc(all, func(e release.Entry) bool { return e.Fault != "" })
	var err error
	if s.asJSON {
		err = s.registerJSON(all)
	} else {
		p := s.page()
		p.register(all)
		err = p.err
	}
	if err == nil && damaged {
		err = status(exitFailure)
	}
	return err
}

// registerJSON writes the register for programs; faults tell, by number, what is
// wrong.
func (s *session) registerJSON(all []release.Entry) error {
	answer := struct {
		Items  []record.Statement `json:"items"`
		Faults map[int]string     `json:"faults"`
	}{[]record.Statement{}, map[int]string{}}
	for _, e := range all {
		if !json.Valid(e.Content) { // it would spoil the others
			e.Content = json.RawMessage("null")
		}
		answer.Items = append(answer.Items, e.Statement)
		if e.Fault != "" {
			answer.Faults[e.No] = e.Fault
		}
	}
	return unchanged(s.out, answer)
}

func (p *page) register(all []release.Entry) {
	if len(all) == 0 {
		p.linef("No statement was issued yet.")
		return
	}
	rows := make([]row, len(all))
	for i, e := range all {
		state := "as issued"
		if e.Fault != "" {
			state = "DAMAGED"
		}
		rows[i] = row{cells: []string{strconv.Itoa(e.No), e.Says.Lot.Name, e.Says.Verdict.Verdict, e.Says.IssuedBy, e.IssuedAt.String(), fmt.Sprintf("%.16s…", e.SHA256), state}}
	}
	p.table([]string{"No", "lot", "verdict", "issued by", "issued", "SHA-256", "state"}, rows)
	for _, e := range all {
		if e.Fault != "" {
			p.linef("Statement %d: %s", e.No, e.Fault)
		}
	}
}

// numbered is a command about the statement of a number, or the newest one about
// a lot.
func (s *session) numbered(c *cobra.Command, work func(*cobra.Command, record.Statement) error) *cobra.Command {
	c.Args = oneWord(numberOrLot)
	c.RunE = func(c *cobra.Command, args []string) error {
		return s.atStatements(c, args[0], func(r *release.Release) error {
			st, err := statementSaid(c, r, args[0])
			if err != nil {
				return err
			}
			return work(c, st)
		})
	}
	s.forRecords(c)
	return c
}

func (s *session) statementShow() *cobra.Command {
	return s.numbered(&cobra.Command{
		Use: "show NO|LOT", Short: "Show a statement",
		Long: "Shows the statement with a number, or the newest one about a lot; where none was issued, a\ndraft of the lot's newest verdict.",
	}, func(_ *cobra.Command, st record.Statement) error { return s.stated(st) })
}

func (s *session) statementPrint() *cobra.Command {
	var out string
	c := s.numbered(&cobra.Command{
		Use: "print NO|LOT", Short: "Print a statement", Example: "  pourpath statement print 3 -o statement-3.pdf",
		Long: "Prints the statement with a number, or the newest one about a lot; where none was issued, a\ndraft of the lot's newest verdict, marked as one. All figures are those that were stored when\nit was issued. JSON has them byte for byte, as its checksum wants them.",
	}, func(_ *cobra.Command, st record.Statement) error {
		if strings.EqualFold(filepath.Ext(out), ".json") {
			if err := wholeFile(out, func(w io.Writer) error { return unchanged(w, st) }); err != nil {
				return fmt.Errorf("writing the statement: %w", err)
			}
			return s.answered(nil, map[string]string{"file": out}, func(p *page) { p.linef("%s", out) })
		}
		paper, err := release.Paper(st, nil)
		if err != nil {
			return err
		}
		return s.print(paper, out)
	})
	return printing(c, &out, ".json")
}
