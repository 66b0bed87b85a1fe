package bench

import (
	"context"
	"math"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports/sheet"
)

// trim works out what the tank still needs, where it was read.
func (o *orderer) trim(ctx context.Context, b *Bench) error {
	t := o.ask.Trim
	switch {
	case t == nil:
		return nil
	case o.question == nil:
		return refuse("/trim", nil, "a trim needs the colours of the trial's wines, and they are not known: ask /v1/trim with the base and the addition as they are read now")
	case len(o.trial.Held) > 0:
		return refuse("/trim", nil, "a trim is not worked out for a trial with wines held in its base: read the mixture and ask /v1/trim with it as the base")
	}
	q := o.question
	ask := calc.TrimRequest{
		Base: q.Base, Addition: q.Addition, BaseML: &q.BaseML, Measured: q.Measured, Tank: t.Tank, Top: t.Top, Bottom: t.Bottom, Target: t.Target, View: q.View,
	}
	aim := o.texts.Told.AimAsked
	if t.Target == nil {
		var err error
		if ask.Target, aim, _, err = o.aim(); err != nil {
			return err
		}
	}
	if _, err := calc.Lookup(ctx, &ask, b.store); err != nil {
		return ofTrim(err)
	}
	found, err := calc.Trim(ask)
	if err != nil {
		return ofTrim(err)
	}
	o.noteWine(ask.Top, o.texts.Told.TopSample)
	o.noteWine(ask.Bottom, o.texts.Told.BottomSample)
	o.out.Trim = trimmed(found, aim)
	o.out.Warnings = append(o.out.Warnings, o.sentences(found.Warnings)...)
	return nil
}

func trimmed(found calc.TrimResponse, aim string) *sheet.Trim {
	out := &sheet.Trim{Dose: sheet.Dose{MLPer100ML: found.Dose, U: found.UDose}, Aim: aim, NotMixed: found.Trim == nil}
	if n := found.Trim; n != nil {
		out.AdditionL, out.Passed, out.BackL = n.AdditionL, n.Passed, n.BaseL
		out.Interval95, out.BackInterval95 = (*sheet.Interval)(n.AdditionInterval95), (*sheet.Interval)(n.BaseInterval95)
	}
	return out
}

// sameDose allows for the last bits, which taking out of a glass moves.
func sameDose(a, b record.Content) bool {
	return math.Abs(a.DoseMLPer100ML-b.DoseMLPer100ML) <= 1e-9*b.DoseMLPer100ML
}

// ofTrim gives faults of a trim their places in the order.
func ofTrim(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil {
		return err
	}
	for i, f := range problem.Errors {
		for _, own := range []string{"/tank", "/top", "/bottom", "/target"} {
			if f.Location == own || strings.HasPrefix(f.Location, own+"/") {
				problem.Errors[i].Location = "/trim" + f.Location
			}
		}
	}
	return calc.Refuse(problem.Errors...)
}
