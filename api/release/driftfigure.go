package release

import (
	"context"

	"pourpath/colour/drift"
	"pourpath/reports"
)

// mostDrawn is how many readings a picture of drift has; of more every so many-th
// lot is drawn.
const mostDrawn = 3000

// DriftFigure is the picture of a class of storage of a product; the storage may be
// left out where there is one class. texts are the figure's words, nil for English. The
// error is a *calc.Problem where too little is known.
func (r *Release) DriftFigure(ctx context.Context, product, storage string, texts *reports.Texts) (reports.DriftFigure, error) {
	l, err := r.learn(ctx, product)
	if err != nil {
		return reports.DriftFigure{}, err
	}
	c, err := l.chosen("", storage)
	if err != nil {
		return reports.DriftFigure{}, err
	}
	curve, err := l.curve(c)
	if err != nil {
		return reports.DriftFigure{}, err
	}
	t := reports.InEnglish(texts)
	out := reports.DriftFigure{Clock: t.Drift.Bottling, Lots: c.Lots, Conditions: t.Drift.StorageUntold, Version: "Pourpath " + r.version, Texts: t}
	if l.product != "" {
		out.Title = reports.Fill(t.Drift.TitleOf, "product", l.product)
	}
	if storage := l.storages[c.Storage]; storage != "" {
		out.Conditions = reports.Fill(t.Drift.Storage, "storage", storage)
	}
	for _, p := range curve {
		out.Curve = append(out.Curve, reports.DriftPoint{
			Days: p.Days, A: [3]float64{p.A420.Value, p.A520.Value, p.A620.Value},
			Lower: [3]float64{p.A420.Lower, p.A520.Lower, p.A620.Lower}, Upper: [3]float64{p.A420.Upper, p.A520.Upper, p.A620.Upper},
		})
	}
	err = l.draw(c, &out)
	return out, err
}

// draw puts the readings into a picture, each lot brought to the curve's level. A lot
// that was read once would lie on the curve whatever it read, and is left out.
func (l *learned) draw(c *drift.Class, out *reports.DriftFigure) error {
	levels, err := l.levels(c)
	if err != nil {
		return err
	}
	outlying := map[int][3]bool{}
	for _, o := range c.Outliers {
		at := outlying[o.Index]
		for b, nm := range drift.NMs() {
			at[b] = at[b] || o.NM == nm
		}
		outlying[o.Index] = at
	}
	times := map[string]int{}
	for _, o := range l.observations {
		if o.Storage == c.Storage {
			times[o.Lot]++
		}
	}
	every, seen := 1+c.Observations/mostDrawn, map[string]int{}
	for i, o := range l.observations {
		level, ok := levels[o.Lot]
		if o.Storage != c.Storage || !ok || times[o.Lot] < 2 || o.Days > driftReach*c.LastDay {
			continue
		}
		if _, known := seen[o.Lot]; !known {
			seen[o.Lot] = len(seen)
		}
		if seen[o.Lot]%every != 0 {
			continue
		}
		r := reports.DriftReading{Days: o.Days, Outlying: outlying[i]}
		for b, a := range [3]float64{o.A420, o.A520, o.A620} {
			if c.Bands[b].Scale == drift.Relative {
				r.A[b] = a * out.Curve[0].A[b] / level[b]
			} else {
				r.A[b] = a + out.Curve[0].A[b] - level[b]
			}
		}
		out.Readings = append(out.Readings, r)
	}
	if every > 1 {
		out.Conditions = reports.Fill(out.Texts.Drift.OneLotIn, "conditions", out.Conditions, "count", out.Texts.Plain(float64(every), 0))
	}
	return nil
}
