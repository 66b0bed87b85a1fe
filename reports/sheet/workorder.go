package sheet

import (
	"io"
)

// WorkOrder is the order for whoever doses the tank.
type WorkOrder struct {
	Head
	Wines    // with one addition; two are mixed first, and are then one
	Volumes  Volumes
	Trim     *Trim    // nil before the first addition was measured
	Warnings []string // what this order has to be told of, sentences
}

// Trim is what the tank still needs after its first addition was read.
type Trim struct {
	Dose       Dose      // that the tank has
	AdditionL  float64   // that must still arrive; 0 where the target was passed
	Interval95 *Interval // of AdditionL; an end below 0 says that the target may be passed
	// BackL is the base that brings the tank back where the target was passed, in
	// litres; nil where it was not, or where no base can.
	BackL          *float64
	BackInterval95 *Interval // of BackL
	Passed         bool
	Aim            string // what the trim aims at; may be empty
	// NotMixed says that top and bottom differ, so that there is no trim; the other
	// fields but Dose and Aim are then not read.
	NotMixed bool
}

// WritePDF writes the order as Bench.WritePDF does.
func (o WorkOrder) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, o, texts) }

// WriteHTML writes the order as Bench.WriteHTML does.
func (o WorkOrder) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, o, texts, stylesheet)
}

func (o WorkOrder) check() error {
	c := newChecker(o.Head)
	c.wines(o.Wines)
	if len(o.Additions) == 2 {
		c.fault("additions", "2: an order doses one; mix the two first and name the mixture")
	}
	c.volumes("volumes", o.Volumes)
	if k := o.Trim; k != nil {
		c.dose("trim: dose", k.Dose)
		c.within("trim: addition", 0, maxL, k.AdditionL)
		c.interval("trim: interval", k.Interval95, -maxL, maxL)
		c.optional("trim: base", 0, maxL, k.BackL)
		c.interval("trim: base interval", k.BackInterval95, -maxL, maxL)
		c.text("trim: aim", k.Aim)
	}
	c.texts("warning", o.Warnings)
	return c.err()
}

func (o WorkOrder) document(t *Texts) *document {
	d := &document{texts: t, head: o.Head, heldPer100: o.held(), Name: t.Order.Name}
	d.Lead = t.fill(t.Order.Lead, "dose", d.doseLine(o.Volumes.Dose))
	d.list(t.Mind, o.Warnings)
	d.wines(o.Wines)
	d.heading(t.Order.VolumesTitle)
	d.scaleUp(o.Volumes)
	d.heading(t.Order.Steps)
	d.para(t.Order.StepsHow)
	d.steps(o.Volumes)
	d.eachVessel(o.Volumes)
	d.samples()
	d.trim(o.Trim)
	d.list(t.Cautions, t.Order.Cautions)
	d.heading(t.Order.Signed)
	d.Blocks = append(d.Blocks, block{Signs: t.Order.Signatures})
	return d
}

// steps is the order of work, for all vessels together.
func (d *document) steps(v Volumes) {
	t := d.texts
	r := v.total()
	first := r.AdditionL * v.FirstPercent / 100
	held := r.AdditionL - first
	if v.Rounded != nil {
		r, first, held = v.Rounded.Recipe, v.Rounded.FirstL, v.Rounded.HeldBackL
	}
	n := litreDecimals(r.AdditionL)
	litres := func(l float64) string { return t.fixed(l, n) }
	heel := ""
	if v.HeelL > 0 {
		heel = t.fill(t.Order.WithHeel, "out", litres(first+v.HeelL), "heel", t.plain(v.HeelL, 3))
	}
	percent := t.plain(v.FirstPercent, 1)
	tab := table{Columns: []column{{Head: t.Columns.Done, WideMM: 9}, {Head: t.Columns.No, WideMM: 7, Right: true},
		{Head: t.Columns.Step}, {Head: t.Columns.PlannedL, WideMM: 20, Right: true},
		{Head: t.Columns.AsDone, WideMM: 24, Write: true}, {Head: t.Columns.Time, WideMM: 22, Write: true},
		{Head: t.Columns.Initials, WideMM: 18, Write: true}}}
	for i, s := range []struct{ what, more, planned string }{
		{t.Order.StepGauge, "", litres(r.BaseL)},
		{t.fill(t.Order.StepFirst, "percent", percent), heel, litres(first)},
		{t.Order.StepMix, "", ""},
		{t.Order.StepSample, "", ""},
		{t.Order.StepMeasure, "", ""},
		{t.Order.StepTrim, "", t.fill(t.Order.AtMost, "l", litres(held))},
		{t.Order.StepAgain, "", ""},
		{t.Order.StepCold, "", ""},
	} {
		tab.Rows = append(tab.Rows, row{Cells: []cell{{Tick: true}, text(t.plain(float64(i+1), 0)), text(s.what, s.more), text(s.planned), {}, {}, {}}})
	}
	d.table(tab)
}

// mostLines is how many vessels get a line each; more are filled from a tank.
const mostLines = 60

// eachVessel is a line to fill in for each vessel, where there are several.
func (d *document) eachVessel(v Volumes) {
	if v.count() < 2 || v.count() > mostLines {
		return
	}
	t := d.texts
	tab := table{Columns: []column{{Head: t.Columns.Done, WideMM: 9}, {Head: t.Columns.Vessel}, {Head: t.Columns.BaseL, WideMM: 22, Right: true},
		{Head: t.Columns.FirstL, WideMM: 24, Right: true}, {Head: t.Columns.HeldL, WideMM: 22, Right: true},
		{Head: t.Columns.FirstDone, WideMM: 22, Write: true}, {Head: t.Columns.TrimDone, WideMM: 22, Write: true},
		{Head: t.Columns.Initials, WideMM: 17, Write: true}}}
	for _, k := range v.Vessels {
		first := k.AdditionL * v.FirstPercent / 100
		n := litreDecimals(k.AdditionL)
		for i := range k.Count {
			name := k.Name
			if k.Count > 1 {
				name = t.fill(t.Order.VesselNo, "name", k.Name, "no", t.plain(float64(i+1), 0))
			}
			tab.Rows = append(tab.Rows, row{Cells: []cell{{Tick: true}, text(name), text(t.fixed(k.BaseL, n)),
				text(t.fixed(first, n)), text(t.fixed(k.AdditionL-first, n)), {}, {}, {}}})
		}
	}
	d.heading(t.Order.EachVessel)
	d.table(tab)
}

// samples are the readings of the tank, to be filled in.
func (d *document) samples() {
	t := d.texts
	tab := table{Columns: []column{{Head: t.Columns.Sample, WideMM: 46}, {Head: t.Columns.Time, WideMM: 20, Write: true}, {Head: "A420", WideMM: 20, Write: true},
		{Head: "A520", WideMM: 20, Write: true}, {Head: "A620", WideMM: 20, Write: true}, {Head: t.Columns.Look, Write: true},
		{Head: t.Columns.Initials, WideMM: 18, Write: true}}}
	for _, s := range t.Order.Samples {
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(s), {}, {}, {}, {}, {}, {}}})
	}
	d.heading(t.Order.SamplesTitle)
	d.fields(t.Order.SampleFields...)
	d.table(tab)
	d.quiet(t.Order.SamplesHow)
}

func (d *document) trim(k *Trim) {
	t := d.texts
	d.heading(t.Order.Trim)
	if k == nil {
		d.para(t.Order.TrimHow)
		d.fields(t.Order.TrimFields...)
		return
	}
	fs := []fact{{t.Order.TrimAim, k.Aim}, {t.Order.TankHas, d.doseLine(k.Dose)}}
	switch {
	case k.NotMixed:
		d.para(t.Order.NotMixed)
	case k.Passed:
		d.para(t.Order.Passed)
		if k.BackL != nil {
			fs = append(fs, t.litresKnown(t.Order.BringBack, *k.BackL, t.Order.BaseInterval, k.BackInterval95)...)
		}
	default:
		fs = append(fs, t.litresKnown(t.Order.TrimWith, k.AdditionL, t.Trial.Interval, k.Interval95)...)
		if k.Interval95 != nil && k.Interval95[0] < 0 {
			d.para(t.Order.MayBePassed)
		}
	}
	d.facts(fs...)
	d.fields(t.Order.TrimFields...)
}

// litresKnown is a volume with its 95 % interval, which says which digits mean
// something.
func (t *Texts) litresKnown(label string, litres float64, intervalLabel string, i *Interval) []fact {
	if i == nil {
		return []fact{{label, t.fixed(litres, litreDecimals(litres)) + " L"}}
	}
	n := decimals((i[1]-i[0])/2, 3)
	return []fact{{label, t.fixed(litres, n) + " L"}, {intervalLabel, t.interval(i, n) + " L"}}
}
