package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"pourpath/api/export"
	"pourpath/api/store"
)

// exporting is what one run of export is asked for.
type exporting struct{ what, format, file string }

func (s *session) exportCommand() *cobra.Command {
	var (
		f storeFlags
		o exporting
	)
	c := &cobra.Command{
		Use: "export", Short: "Write records for a spreadsheet", Args: noArguments,
		Long: "Writes records as CSV, or as an XLSX workbook with a sheet for each table. Archived and\nsuperseded records are in it, and the column status says so. The tables readings and\nspectra (scans) import again. To move records to another store, use backup instead.",
		Example: "  pourpath export --what readings -o readings.csv\n" +
			"  pourpath export --format xlsx -o records.xlsx",
		RunE: func(c *cobra.Command, _ []string) error {
			if err := o.check(s.out); err != nil {
				return err
			}
			return f.withStore(c.Context(), func(st *store.Store) error {
				if o.file == "" {
					return o.write(c.Context(), st, s.out)
				}
				return wholeFile(o.file, func(w io.Writer) error { return o.write(c.Context(), st, w) })
			})
		},
	}
	f.add(c)
	c.Flags().StringVar(&o.what, "what", "", fmt.Sprintf("`TABLE`: one of %q; all of them in a workbook where left out", export.All()))
	c.Flags().StringVar(&o.format, "format", "csv", "`FORM`: csv, or xlsx for a workbook")
	c.Flags().StringVarP(&o.file, "output", "o", "", "`FILE` to write, instead of standard output; it takes its place only when it is complete")
	return c
}

func (o exporting) check(out io.Writer) error {
	switch {
	case o.format != "csv" && o.format != "xlsx":
		return usage("--format %s: want csv or xlsx", o.format)
	case o.what == "" && o.format == "csv":
		return usage("a CSV file holds one table: give --what with one of %q, or --format xlsx for all of them", export.All())
	case o.what != "" && !export.What(o.what).Known():
		return usage("--what %s: want one of %q", o.what, export.All())
	case o.format == "xlsx" && o.file == "" && terminal(out):
		return usage("a workbook is no text for a terminal: give -o FILE")
	}
	return nil
}

func (o exporting) write(ctx context.Context, st *store.Store, w io.Writer) error {
	what := export.What(o.what)
	switch {
	case o.format == "csv":
		return export.CSV(ctx, st, what, w)
	case what == "":
		return export.XLSX(ctx, st, w)
	}
	return export.XLSX(ctx, st, w, what)
}
