package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/record"
	"pourpath/api/store"
)

func (s *session) importCommand() *cobra.Command {
	var (
		f       storeFlags
		o       intake.Options
		columns []string
		mends   []string
		out     []int
		undo    string
		reason  string
	)
	c := &cobra.Command{
		Use: "import FILE...", Short: "Bring a laboratory's files into the records",
		Long: "Brings the readings in CSV, TSV, XLSX or JCAMP-DX files into the records. Each reading ends\naccepted, duplicate or rejected with the place and what would be right; a bad one does not\nblock good ones. The same file again changes nothing.\n\n" +
			"A header that is not understood is mapped once with --column and remembered. A cell that is\nwrong can be mended with --mend, and a row left out with --leave-out: the file is kept as it\ncame, and the record of the import says what was mended from what.",
		Example: "  pourpath import readings.csv\n  pourpath import --column 'Ext. 520=a520' --dry-run readings.xlsx\n  pourpath import --mend 'row 7, DO 520=0.142' --leave-out 9 readings.csv\n  pourpath import --undo 0192f0c4-7a10-7cc3-9a54-1d2f3c4b5a69 --reason 'wrong file'",
		Args: func(c *cobra.Command, args []string) error {
			switch {
			case c.Flags().Changed("undo") && len(args) > 0:
				return usage("--undo takes no file: the identifier says which import it is")
			case c.Flags().Changed("reason") && !c.Flags().Changed("undo"):
				return usage("--reason goes with --undo")
			case len(args) == 0 && !c.Flags().Changed("undo"):
				return usage("%s takes the names of one file or more", c.CommandPath())
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if c.Flags().Changed("undo") {
				return f.withStore(c.Context(), func(st *store.Store) error { return s.undoImport(c, st, undo, reason) })
			}
			var err error
			if o.Mapping, err = mappingOf(columns); err != nil {
				return err
			}
			if o.Corrections, err = correctionsOf(mends, out); err != nil {
				return err
			}
			if len(o.Corrections) > 0 && len(args) > 1 {
				return usage("--mend and --leave-out are of one file: give one file at a time")
			}
			return f.withStore(c.Context(), func(st *store.Store) error { return s.importFiles(c, st, args, o) })
		},
	}
	f.add(c)
	c.Flags().BoolVar(&s.asJSON, "json", false, "print the answer, or the problem, as JSON; of several files, a line each")
	c.Flags().BoolVar(&o.DryRun, "dry-run", false, "tell what would happen and change nothing")
	c.Flags().BoolVar(&o.AllOrNothing, "all-or-nothing", false, "take nothing of a file where one reading is rejected")
	c.Flags().StringVar(&o.Sheet, "sheet", "", "`NAME` of the sheet of a workbook; the first where left out")
	c.Flags().StringArrayVar(&columns, "column", nil, "`HEADER=FIELD`: what a column is, such as 'Ext. 520=a520'; HEADER= leaves it out")
	c.Flags().BoolVar(&o.NoHeader, "no-header", false, "the table begins with a reading; its columns are named column A, column B and so on")
	c.Flags().StringArrayVar(&mends, "mend", nil, "`ROW, HEADER=VALUE`: what a cell is to be read as, such as 'row 7, DO 520=0.142'")
	c.Flags().IntSliceVar(&out, "leave-out", nil, "`ROWS` that are left out on purpose, such as 9,12")
	c.Flags().StringVar(&undo, "undo", "", "`ID` of an import to undo: its readings are archived, and the wines that it added and that nothing else uses")
	c.Flags().StringVar(&reason, "reason", "", "why an import is undone")
	return c
}

// undoImport undoes an import, and tells what rests on it.
func (s *session) undoImport(c *cobra.Command, st *store.Store, id, reason string) error {
	var faults calc.Faults
	record.ImportUndoBody{Reason: reason}.Check(&faults)
	if err := faults.Err(); err != nil {
		return usage("--reason: %s", calc.AsProblem(err).Errors[0].Message)
	}
	if err := st.UndoImport(c.Context(), id, reason); err != nil {
		return err
	}
	i, err := st.FindImport(c.Context(), id)
	if err != nil {
		return err
	}
	if s.asJSON {
		return writeJSON(s.out, i)
	}
	p := s.page()
	p.linef("%s: undone on %s (%s). Archived: %d readings, %d of the %d wines that it added.", i.FileName, i.Undone.UndoneAt, i.Undone.Reason, i.Undone.Readings, i.Undone.Wines, i.NewWines)
	for _, r := range i.Resting {
		p.linef("  %s %s %s: %s", r.Kind, r.ID, r.Name, r.Message)
	}
	return p.err
}

// correctionsOf reads ROW, HEADER=VALUE and the rows that are left out.
func correctionsOf(mends []string, out []int) ([]record.Correction, error) {
	var list []record.Correction
	for _, m := range mends {
		place, rest, ok := strings.Cut(m, ",")
		number, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(place), "row ")))
		at := strings.LastIndexByte(rest, '=')
		if !ok || err != nil || at < 1 {
			return nil, usage("--mend %q: want ROW, HEADER=VALUE, such as 'row 7, DO 520=0.142'", m)
		}
		value := rest[at+1:]
		list = append(list, record.Correction{Row: number, Column: strings.TrimSpace(rest[:at]), To: &value})
	}
	for _, row := range out {
		list = append(list, record.Correction{Row: row, LeaveOut: true})
	}
	return list, nil
}

// mappingOf reads HEADER=FIELD.
func mappingOf(columns []string) (map[string]string, error) {
	if len(columns) == 0 {
		return nil, nil //nolint:nilnil // no mapping was given
	}
	mapping := map[string]string{}
	for _, c := range columns {
		at := strings.LastIndexByte(c, '=')
		if at < 1 {
			return nil, usage("--column %q: want HEADER=FIELD, such as 'Ext. 520=a520'", c)
		}
		mapping[c[:at]] = c[at+1:]
	}
	return mapping, nil
}

func (s *session) importFiles(c *cobra.Command, st *store.Store, names []string, o intake.Options) error {
	var failed []error
	for _, name := range names {
		imported, err := s.importFile(c, st, name, o)
		if p := calc.AsProblem(err); p != nil && len(names) > 1 {
			s.printProblem(c.CommandPath()+" "+name, p)
			failed = append(failed, status(exitBadInput))
			continue
		}
		if err != nil {
			return err
		}
		if err := s.tellImport(name, imported); err != nil {
			return err
		}
	}
	if len(failed) > 0 {
		return failed[0]
	}
	return nil
}

func (s *session) importFile(c *cobra.Command, st *store.Store, name string, o intake.Options) (_ record.Import, err error) {
	file, err := os.Open(name)
	if err != nil {
		return record.Import{}, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if terminal(s.err) {
		bar := progressbar.NewOptions(-1, progressbar.OptionSetWriter(s.err), progressbar.OptionSetDescription(filepath.Base(name)),
			progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("readings"), progressbar.OptionClearOnFinish())
		defer func() { err = errors.Join(err, bar.Finish()) }()
		o.Progress = func(n int) { _ = bar.Set(n) } // a bar that cannot be drawn is no failure of the import
	}
	imported, err := intake.Take(c.Context(), st, filepath.Base(name), file, o)
	if err != nil && calc.AsProblem(err) == nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return imported, err
}

// tellImport prints what became of a file.
func (s *session) tellImport(name string, i record.Import) error {
	if s.asJSON {
		return writeJSON(s.out, i)
	}
	p := s.page()
	p.imported(name, i)
	return p.err
}

func (p *page) imported(name string, i record.Import) {
	verb := ""
	if i.DryRun {
		verb = " would be"
	}
	p.linef("%s (%s, %s): %d%s accepted, %d duplicates, %d rejected; %d new wines.", name, i.Format, i.Layout, i.Accepted, verb, i.Duplicates, i.Rejected, i.NewWines)
	for _, c := range i.Columns {
		if c.Field == "" {
			p.linef("  column %q was left out", c.Header)
		}
	}
	for _, w := range i.Warnings {
		p.linef("  %s", w.Message)
	}
	for _, c := range i.Corrections {
		if c.LeaveOut {
			p.linef("  row %d was left out on purpose: %s", c.Row, *c.From)
		} else {
			p.linef("  row %d, %s was mended from %q to %q", c.Row, c.Column, *c.From, *c.To)
		}
	}
	told := 0
	for _, row := range i.Rows {
		if told >= mostRowsTold {
			p.linef("  ... and more; --json lists the first thousand rows")
			break
		}
		if row.Problem != nil {
			for _, f := range row.Problem.Errors {
				p.linef("  rejected: %s: %s", f.Location, f.Message)
				told++
			}
		}
		for _, w := range row.Warnings {
			p.linef("  %s: %s", row.Place, w.Message)
			told++
		}
	}
	if i.Rejected > 0 && !i.DryRun {
		p.linef("  The rejected rows are kept under import %s.", i.ID)
	}
}

// mostRowsTold is how many rows are told to a person.
const mostRowsTold = 40
