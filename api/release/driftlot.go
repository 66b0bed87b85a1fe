package release

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/colour/drift"
	"pourpath/colour/spectrum"
)

// LotDrift says when a lot is expected to leave its specification, by how the lots
// of its product that are kept alike drift.
type LotDrift struct {
	LotID       string           `json:"lot_id" doc:"Identifier of the lot."`
	Lot         string           `json:"lot" doc:"What it is called."`
	Product     string           `json:"product" doc:"Product whose lots the drift was learned from; empty for all lots together."`
	Storage     string           `json:"storage" doc:"How it is kept."`
	Spec        string           `json:"spec" doc:"Identifier of its specification."`
	SpecVersion int              `json:"spec_version" doc:"Its version."`
	Samples     []string         `json:"samples" doc:"Identifiers of the samples that the forecast begins with: the newest that tell."`
	ReadAt      record.Instant   `json:"read_at" doc:"When the newest of them was taken."`
	ReadDays    float64          `json:"read_days" doc:"Days from bottling to then."`
	Read        DriftAbsorbances `json:"read" doc:"What was read then, with the interval of a reading."`
	OutsideThen []string         `json:"outside_then" doc:"Quantities that were outside the specification then, at face value."`
	Expected    *string          `json:"expected_on" nullable:"true" doc:"Day on which the lot is as likely to have left its specification as not (UTC); null where it stays within it as far as the data reach."`
	Earliest    *string          `json:"earliest_on" nullable:"true" doc:"Day before which it leaves with a probability of 2.5 %; null as above."`
	Latest      *string          `json:"latest_on" nullable:"true" doc:"Day after which it leaves with a probability of 2.5 %; null where that is beyond what the data reach."`
	Leaves      float64          `json:"probability" minimum:"0" maximum:"1" doc:"Probability that it leaves by horizon_on."`
	Horizon     string           `json:"horizon_on" doc:"The last day that the data reach."`
	First       string           `json:"first,omitempty" doc:"The limit that is most often left first; absent for a lot that was outside already."`
	Within      []string         `json:"limits" doc:"The quantities whose limits were looked at."`
	NotLooked   []string         `json:"not_looked_at" doc:"Parts of the specification that no forecast is made for."`
	Warnings    []calc.Warning   `json:"warnings" doc:"What must be known about it."`

	expectedDays float64 // from the reading; infinite for none
}

// expectedToHaveLeft is the code of the warning that the expected day is past.
const expectedToHaveLeft = "expected_to_have_left"

// Leaving reports whether a lot was outside its specification, or is as likely to leave
// it as not, as far as the data reach.
func (d LotDrift) Leaving() bool { return len(d.OutsideThen) > 0 || d.Expected != nil }

// ExpectedPast reports whether the day on which it was expected to leave is past.
func (d LotDrift) ExpectedPast() bool {
	return slices.ContainsFunc(d.Warnings, func(w calc.Warning) bool { return w.Code == expectedToHaveLeft })
}

// LotDrift says when a lot is expected to leave its specification. now is today; a
// forecast that begins with an old reading says so. record.ErrNotFound where there
// is no such lot; a *calc.Problem where too little is known.
func (r *Release) LotDrift(ctx context.Context, lotID string, now record.Instant) (LotDrift, error) {
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return LotDrift{}, err
	}
	spec, err := r.store.SpecVersion(ctx, lot.Spec, lot.SpecVersion)
	if err != nil {
		return LotDrift{}, err
	}
	product := cmp.Or(lot.Product, spec.Product)
	l, err := r.learn(ctx, product)
	if calc.AsProblem(err) != nil {
		return LotDrift{}, errNothingRead
	}
	if err != nil {
		return LotDrift{}, err
	}
	return r.forecast(l, lot, spec, now)
}

// errNothingRead is what is said of a lot that no forecast can begin with.
var errNothingRead = tooFew("Not enough: the lot has no sample that tells of its absorbances after bottling; it takes one, a bottling date, and other lots that were read over time")

// forecast is remembered, but for what depends on today.
func (r *Release) forecast(l *learned, lot record.Lot, spec record.Spec, now record.Instant) (out LotDrift, err error) {
	key := fmt.Sprintf("%s %q %d", lot.ID, l.product, l.taken)
	out, ok := r.forecasts.Get(key)
	if !ok {
		if out, err = r.forecastAnew(l, lot, spec); err != nil {
			return out, err
		}
		r.forecasts.Add(key, out)
	}
	out.Warnings = slices.Clone(out.Warnings)
	if days := now.Sub(out.ReadAt.Time).Hours() / 24; out.expectedDays < days && out.expectedDays > 0 {
		out.Warnings = append(out.Warnings, calc.Warning{Code: expectedToHaveLeft, Message: fmt.Sprintf("The lot was last read %.0f days ago and is expected to have left its specification since: read it now.", days)})
	} else if days > oldReading {
		out.Warnings = append(out.Warnings, calc.Warning{Code: "read_long_ago", Message: fmt.Sprintf("The lot was last read %.0f days ago: a new reading makes the forecast surer.", days)})
	}
	return out, nil
}

// oldReading is after how many days a new reading is asked for. A judgement, no
// source.
const oldReading = 90

func (r *Release) forecastAnew(l *learned, lot record.Lot, spec record.Spec) (LotDrift, error) {
	at := l.newestOf(lot.ID)
	if at < 0 {
		return LotDrift{}, errNothingRead
	}
	o, of := l.observations[at], l.from[at]
	c, err := l.chosen("", l.storages[o.Storage])
	if err != nil {
		return LotDrift{}, err
	}
	checker, err := r.checker(spec)
	if err != nil {
		return LotDrift{}, err
	}
	limits, not := driftLimits(checker)
	if len(limits.Within) == 0 {
		return LotDrift{}, refuse("", nil, "no forecast is made for any part of the lot's specification (%s)", strings.Join(not, ", "))
	}
	now := drift.Lot{Reading: o.Reading, Days: o.Days}
	if err := seen(&now, of, checker.View()); err != nil {
		return LotDrift{}, err
	}
	leaving, err := c.LeavingLimits(now, limits)
	if err != nil {
		return LotDrift{}, driftRefused(err, map[string]string{})
	}
	out := LotDrift{
		LotID: lot.ID, Lot: lot.Name, Product: l.product, Storage: l.storages[o.Storage], Spec: spec.ID, SpecVersion: spec.Version,
		Samples: sampleIDs(of), ReadAt: newestAt(of), ReadDays: o.Days, Read: readAbsorbances(o.Reading),
		OutsideThen: []string{}, Leaves: math.Min(leaving.Leaves, 1), First: string(leaving.First), Within: []string{}, NotLooked: append([]string{}, not...),
		Warnings: append(warningsOf(leaving.Warnings), l.together()...), expectedDays: math.Inf(1),
	}
	for _, q := range leaving.OutsideNow {
		out.OutsideThen = append(out.OutsideThen, string(q))
	}
	if len(out.OutsideThen) > 0 {
		out.First = ""
	}
	for _, q := range drift.Quantities() {
		if _, ok := limits.Within[q]; ok {
			out.Within = append(out.Within, string(q))
		}
	}
	out.Horizon = dayAfter(out.ReadAt, leaving.HorizonDays)
	for to, days := range map[**string]*float64{&out.Earliest: leaving.Earliest, &out.Expected: leaving.Median, &out.Latest: leaving.Latest} {
		if days != nil {
			day := dayAfter(out.ReadAt, *days)
			*to = &day
		}
	}
	if leaving.Median != nil {
		out.expectedDays = *leaving.Median
	}
	return out, nil
}

func readAbsorbances(r drift.Reading) DriftAbsorbances {
	of := func(a, u float64) DriftEstimate { return DriftEstimate{a, a - 1.96*u, a + 1.96*u} }
	return DriftAbsorbances{A420: of(r.A420, r.U420), A520: of(r.A520, r.U520), A620: of(r.A620, r.U620)}
}

// seen sets the colour that a lot has by its samples, their mean, where they tell it
// better than three readings do: by a scan, or by readings at further wavelengths.
func seen(lot *drift.Lot, of []*driftSample, view cie.View) error {
	mean, from := cie.Lab{View: view}, (*spectrum.Wine)(nil)
	path := view.DepthMM
	asked := &calc.View{Illuminant: calc.Illuminant(view.Illuminant), Observer: calc.Observer(view.Observer), PathMM: &path}
	for _, s := range of {
		if r := s.seen.Readings; r != nil {
			if len(r.Extra) == 0 {
				return nil // it is estimated from the three
			}
			wine, err := spectrum.FromReadings(r.Core())
			if err != nil {
				return err
			}
			from = &wine
		}
		answer, err := calc.Colour(calc.ColourRequest{Wine: s.seen, View: asked})
		if err != nil {
			return err
		}
		v, n := answer.Colour.CIELAB, float64(len(of))
		mean.L, mean.A, mean.B = mean.L+v.L/n, mean.A+v.A/n, mean.B+v.B/n
	}
	lot.Lab, lot.From = &mean, from
	return nil
}

// driftLimits are the parts of a specification as the science takes them, and the
// names of those that it does not.
func driftLimits(c calc.Checker) (out drift.Limits, not []string) {
	spec, reference := c.Spec(), c.Reference()
	out = drift.Limits{Within: map[drift.Quantity][2]float64{}, View: c.View(), Reference: reference, Weights: spec.Weights}
	for q, tolerance := range map[drift.Quantity]float64{drift.DeltaE00: spec.Tolerance, drift.DeltaEab: spec.ToleranceAB} {
		switch {
		case tolerance <= 0:
		case reference == nil:
			not = append(not, string(q))
		default:
			out.Within[q] = [2]float64{math.Inf(-1), tolerance}
		}
	}
	for q, in := range spec.Limits {
		if known, ok := driftQuantities[q]; ok {
			out.Within[known] = in
		} else {
			not = append(not, string(q))
		}
	}
	if spec.Ellipsoid != nil {
		not = append(not, "ellipsoid")
	}
	slices.Sort(not)
	return out, not
}

var driftQuantities = map[conform.Quantity]drift.Quantity{
	conform.L: drift.L, conform.A: drift.A, conform.B: drift.B, conform.Chroma: drift.Chroma, conform.Hue: drift.Hue,
	conform.Intensity: drift.Intensity, conform.Tint: drift.Tint, conform.Yellow: drift.Yellow, conform.Red: drift.Red, conform.Blue: drift.Blue,
}
