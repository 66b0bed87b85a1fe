package main

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"encoding/base64"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/reports/sheet"
)

// planFlags are those of a plan.
func planFlags() logCommand {
	return logCommand{flags: []bodyFlag{
		aText("kind", "even, visible or closing (even)"), aText("tool", "`NAME` of the tool to pour with; the best of the trial's where left out"),
		aNumber("from-ml", "first rung in `ML`"), aNumber("to-ml", "last rung in `ML`"), aNumber("step-ml", "with even: between rungs, `ML`"),
		aNumber("visible-step", "the ΔE00 that counts as visible"), aNumber("withdraw-ml", "taken out of a glass at every rung, `ML`"),
	}}
}

// planned makes a command that takes a plan.
func (s *session) planned(use, short, long string, work func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error) *cobra.Command {
	l := planFlags()
	typed := make([]string, len(l.flags))
	typed[0] = string(bench.Even)
	c := s.ofTrial(use, short, long, func(c *cobra.Command, b *bench.Bench, id string) error {
		data, err := l.body(s, c, typed)
		if err != nil {
			return err
		}
		if s.file == "" && !c.Flags().Changed("kind") {
			if data, err = withKind(data); err != nil {
				return err
			}
		}
		ask, err := calc.DecodeWhole[bench.TrialPlanRequest](data)
		if err != nil {
			return err
		}
		return work(c, b, id, ask)
	})
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the request from `FILE`; - is standard input")
	l.add(c, typed)
	return c
}

// withKind adds the usual kind of plan.
func withKind(data []byte) ([]byte, error) {
	root := map[string]any{}
	if err := json.Unmarshal(data, &root); err != nil {
		return nil, fmt.Errorf("reading what the flags make: %w", err)
	}
	root["kind"] = bench.Even
	return json.Marshal(root)
}

func (s *session) trialPlan() *cobra.Command {
	return s.planned("plan", "Say what to pour into which glass", "Says which tool and sample volume to take, the rungs on that tool's graduation, the pours that\nwalk the glasses up them, and which rung to read next. Nothing is stored.",
		func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error {
			plan, err := b.Plan(c.Context(), id, ask)
			return s.answered(err, plan, func(p *page) { p.plan(plan) })
		})
}

// document is what can be printed.
type document interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}

// print writes a document to a file; its name says the form.
func (s *session) print(d document, name string) error {
	var write func(io.Writer) error
	switch strings.ToLower(filepath.Ext(name)) {
	case ".pdf":
		write = func(w io.Writer) error { return d.WritePDF(w, nil) }
	case ".html":
		// The page is to stand by itself, so its style is in its own address.
		style := "data:text/css;base64," + base64.StdEncoding.EncodeToString([]byte(sheet.Stylesheet()))
		write = func(w io.Writer) error { return d.WriteHTML(w, nil, style) }
	default:
		return usage("--out %q: want the name of a file that ends in .pdf or .html", name)
	}
	if err := wholeFile(name, write); err != nil {
		return err
	}
	_, err := fmt.Fprintln(s.out, name)
	return err
}

// printing adds the flag that says where a document goes.
func printing(c *cobra.Command, out *string) *cobra.Command {
	c.Flags().StringVarP(out, "out", "o", "", "write the document to `FILE`: .pdf or .html")
	return c
}

func (s *session) trialSheet() *cobra.Command {
	var out string
	return printing(s.planned("sheet", "Print the bench sheet of a plan", "Prints what to pour, with tick boxes, swatches, and fields for what is poured and read.",
		func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error {
			d, err := b.Sheet(c.Context(), id, ask)
			if err != nil {
				return err
			}
			return s.print(d, out)
		}), &out)
}

func (s *session) trialReport() *cobra.Command {
	return s.sized("report", "Print the report of a trial", "Prints the path, the log, what was read against what was predicted, the choice and its final\ncheck. With a size, such as --base-l, the chosen dose in litres too.",
		func(c *cobra.Command, b *bench.Bench, id string, size *bench.WorkOrderRequest) (document, error) {
			return b.Report(c.Context(), id, size)
		})
}

func (s *session) trialOrder() *cobra.Command {
	return s.sized("order", "Print the work order for the chosen dose", "Prints the order for whoever doses the tank. Give one size: --base-l, --blend-l, or\n--bottle-count with --bottle-ml. With -f the request is read as JSON, with a trim too.",
		func(c *cobra.Command, b *bench.Bench, id string, size *bench.WorkOrderRequest) (document, error) {
			if size == nil {
				size = &bench.WorkOrderRequest{}
			}
			return b.WorkOrder(c.Context(), id, *size)
		})
}

// sizeFlags say how much of the chosen dose is made, and with what.
func sizeFlags() logCommand {
	return logCommand{flags: []bodyFlag{
		aNumber("base-l", "`LITRES` of base; the addition comes on top"), aNumber("blend-l", "`LITRES` of finished blend, addition included"),
		aNumber("bottle-count", "bottles wanted, with --bottle-ml", "bottles", "count"), aNumber("bottle-ml", "content of one, `ML`", "bottles", "ml"),
		aNumber("loss-percent", "share of the blend that is lost, %"), aNumber("stock-base-l", "`LITRES` of base on hand", "stock", "base_l"),
		aNumber("stock-addition-l", "`LITRES` of addition on hand", "stock", "addition_l"), aNumber("first-percent", "share of the addition to pour first, % (90)"),
		aNumber("base-graduation-l", "least step of the base, `LITRES`", "measuring", "base_graduation_l"), aNumber("addition-graduation-ml", "least step of the addition, `ML`", "measuring", "addition_graduation_ml"),
		aNumber("base-u-percent", "standard uncertainty of the base's volume, %", "measuring", "base_u_percent"), aNumber("addition-u-percent", "the same of the addition's, %", "measuring", "addition_u_percent"),
		aNumber("heel-l", "`LITRES` of addition that stay in the line", "measuring", "heel_l"), aText("vessel", "`NAME` of the vessel"),
		aText("base-lot", "`LOT` of the base"), aText("addition-lot", "`LOT` of the addition"),
	}}
}

// sized is a command that prints a document of a size, nil where none is given.
func (s *session) sized(use, short, long string, work func(c *cobra.Command, b *bench.Bench, id string, size *bench.WorkOrderRequest) (document, error)) *cobra.Command {
	var out string
	l := sizeFlags()
	typed := make([]string, len(l.flags))
	c := s.ofTrial(use, short, long, func(c *cobra.Command, b *bench.Bench, id string) error {
		data, err := l.body(s, c, typed)
		if err != nil {
			return err
		}
		var size *bench.WorkOrderRequest
		if string(data) != "{}" {
			ask, err := calc.DecodeWhole[bench.WorkOrderRequest](data)
			if err != nil {
				return err
			}
			size = &ask
		}
		d, err := work(c, b, id, size)
		if err != nil {
			return err
		}
		return s.print(d, out)
	})
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the request from `FILE`; - is standard input")
	l.add(c, typed)
	return printing(c, &out)
}
