package main

import (
	"encoding/base64"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/reports/sheet"
)

// document is what can be printed.
type document interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}

// writers are the forms of a document, by the end of a file's name.
var writers = map[string]func(document, io.Writer) error{
	".pdf": func(d document, w io.Writer) error { return d.WritePDF(w, nil) },
	".html": func(d document, w io.Writer) error {
		// The page is to stand by itself, so its style is in its own address.
		return d.WriteHTML(w, nil, "data:text/css;base64,"+base64.StdEncoding.EncodeToString([]byte(sheet.Stylesheet())))
	},
}

// printing adds to a command where its document goes, which is looked at before
// anything is done; more are further ends of a name that it takes.
func printing(c *cobra.Command, out *string, more ...string) *cobra.Command {
	ends := append([]string{".pdf", ".html"}, more...)
	last := len(ends) - 1
	said := strings.Join(ends[:last], ", ") + " or " + ends[last]
	c.Flags().StringVarP(out, "output", "o", "", "write the document to `FILE`: "+said)
	c.PreRunE = func(*cobra.Command, []string) error {
		if !slices.Contains(ends, strings.ToLower(filepath.Ext(*out))) {
			return usage("--output %q: give -o FILE with a name that ends in %s", *out, said)
		}
		return nil
	}
	return c
}

// print writes a document to a file; its name says the form.
func (s *session) print(d document, name string) error {
	write := writers[strings.ToLower(filepath.Ext(name))]
	if err := wholeFile(name, func(w io.Writer) error { return write(d, w) }); err != nil {
		return fmt.Errorf("writing the document: %w", err)
	}
	return s.answered(nil, map[string]string{"file": name}, func(p *page) { p.linef("%s", name) })
}

func (s *session) trialSheet() *cobra.Command {
	var out string
	return printing(s.planned("sheet", "Print the bench sheet of a plan",
		"Prints what to pour, with tick boxes, swatches, and fields for what is poured and read.",
		[]string{"--kind", "visible", "--to-ml", "12", "-o", "sheet.pdf"},
		func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error {
			d, err := b.Sheet(c.Context(), id, ask)
			if err != nil {
				return err
			}
			return s.print(d, out)
		}), &out)
}

// sizeFlags say how much of the chosen dose is made, and with what.
func sizeFlags() []bodyFlag {
	return []bodyFlag{
		aNumber("base-l", "`LITRES` of base; the addition comes on top"), aNumber("blend-l", "`LITRES` of finished blend, addition included"),
		aNumber("bottle-count", "`BOTTLES` wanted, with --bottle-ml", "bottles", "count"), aNumber("bottle-ml", "content of one, `ML`", "bottles", "ml"),
		aNumber("loss-percent", "share of the blend that is lost on the way, `%`"), aNumber("first-percent", "share of the addition to pour first, `%` (90)"),
		aNumber("stock-base-l", "`LITRES` of base on hand", "stock", "base_l"), aNumber("stock-addition-l", "`LITRES` of addition on hand", "stock", "addition_l"),
		aNumber("base-graduation-l", "least step of the base, `LITRES`", "measuring", "base_graduation_l"),
		aNumber("addition-graduation-ml", "least step of the addition, `ML`", "measuring", "addition_graduation_ml"),
		aNumber("base-u-percent", "standard uncertainty of the base's volume, such as the gauge's, `%`", "measuring", "base_u_percent"),
		aNumber("addition-u-percent", "the same of the addition's volume, `%`", "measuring", "addition_u_percent"),
		aNumber("heel-l", "`LITRES` of addition that stay in the line", "measuring", "heel_l"), aText("vessel", "`NAME` of the vessel"),
		aText("base-lot", "`LOT` of the base"), aText("addition-lot", "`LOT` of the addition"),
	}
}

func (s *session) trialReport() *cobra.Command {
	return s.sized(form{use: "trial report", of: aTrial, example: []string{"-o", "report.pdf"}, flags: sizeFlags()}, "Print the report of a trial",
		"Prints the path, the log, what was read against what was predicted, the choice and its final\ncheck. With a size, such as --base-l, the chosen dose in litres too.",
		func(c *cobra.Command, b *bench.Bench, id string, f form) (document, error) {
			data, err := f.typed(s, c)
			if err == nil && s.file != "" {
				data, err = f.request(s, c)
			}
			if err != nil {
				return nil, err
			}
			if data == nil {
				return b.Report(c.Context(), id, nil)
			}
			ask, err := calc.DecodeWhole[bench.WorkOrderRequest](data)
			if err != nil {
				return nil, err
			}
			return b.Report(c.Context(), id, &ask)
		})
}

func (s *session) trialOrder() *cobra.Command {
	return s.sized(form{use: "trial order", of: aTrial, example: []string{"--base-l", "2000", "--stock-addition-l", "250", "-o", "order.pdf"}, flags: sizeFlags()}, "Print the work order for the chosen dose",
		"Prints the order for whoever doses the tank. Give one size: --base-l, --blend-l, or\n--bottle-count with --bottle-ml. Several vessels, and the trim of a tank that got its first\npart, are given as JSON with -f.",
		func(c *cobra.Command, b *bench.Bench, id string, f form) (document, error) {
			data, err := f.request(s, c)
			if err != nil || data == nil {
				return nil, err
			}
			ask, err := calc.DecodeWhole[bench.WorkOrderRequest](data)
			if err != nil {
				return nil, err
			}
			return b.WorkOrder(c.Context(), id, ask)
		})
}

// sized is a command that prints a document for a size; nil prints nothing.
func (s *session) sized(f form, short, long string, work func(c *cobra.Command, b *bench.Bench, id string, f form) (document, error)) *cobra.Command {
	var out string
	c := s.ofTrial(strings.TrimPrefix(f.use, "trial "), short, long, func(c *cobra.Command, b *bench.Bench, id string) error {
		d, err := work(c, b, id, f)
		if err != nil || d == nil {
			return err
		}
		return s.print(d, out)
	})
	f.add(s, c)
	return printing(c, &out)
}
