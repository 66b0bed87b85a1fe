package release

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour"
	"pourpath/colour/drift"
)

// tooFew says what is missing.
func tooFew(format string, args ...any) error {
	return &calc.Problem{Type: calc.TooFewData, Title: "Too few data for an answer", Status: http.StatusConflict, Detail: fmt.Sprintf(format, args...)}
}

// Drift is what a winery's own lots say of how their colour drifts.
type Drift struct {
	Product     string              `json:"product" doc:"Product of the lots; empty where all lots were taken together."`
	Products    []string            `json:"products" doc:"The products that lots were read of."`
	Lots        int                 `json:"lots" doc:"Lots with a reading that counts."`
	Samples     int                 `json:"samples" doc:"Their samples, those left out too."`
	LeftOut     []DriftLeftOut      `json:"left_out" doc:"Samples that tell nothing, and why."`
	Classes     []DriftClass        `json:"classes" doc:"What was learned of each class of storage."`
	Comparisons []StorageComparison `json:"storage_comparisons" doc:"Each two classes of which enough is known, held against each other."`
	Warnings    []calc.Warning      `json:"warnings" doc:"What must be known about all of it."`
}

// DriftLeftOut counts samples that tell nothing.
type DriftLeftOut struct {
	Code    string `json:"code" doc:"For programs: cielab_alone, acetaldehyde, no_bottling_date, before_bottling or no_reading."`
	Samples int    `json:"samples" doc:"How many."`
	Message string `json:"message" doc:"Why, for people."`
}

// DriftClass is what was learned of the lots of one class of storage: all of it, or
// why nothing.
type DriftClass struct {
	Storage      string  `json:"storage" doc:"How the bottles were kept, in the words of the lots; empty where none were told."`
	Lots         int     `json:"lots" doc:"Lots that were read on two days or more."`
	Observations int     `json:"observations" doc:"Their readings; those of one day are one."`
	LotsLeftOut  int     `json:"lots_read_once" doc:"Lots that were read on one day only, and cannot tell about drift."`
	Known        bool    `json:"known" doc:"Whether the data tell how the lots drift."`
	Unknown      string  `json:"unknown,omitempty" doc:"Where they do not: how many there are, and what it takes. Nothing else is said then."`
	Learned      *Learnt `json:"learned,omitempty" doc:"What they tell."`
}

// Learnt is how lots of a class drift. Days count from bottling.
type Learnt struct {
	FirstDay float64        `json:"first_day" doc:"The earliest day that was read."`
	LastDay  float64        `json:"last_day" doc:"The latest day that two lots reached. Predictions go to 1.5 times as far, with a warning."`
	Bands    []DriftBand    `json:"bands" doc:"The absorbances at 420, 520 and 620 nm."`
	Curve    []DriftPoint   `json:"curve" doc:"A lot that begins at the median of the lots' levels, at equal steps of time; intervals hold one lot more with 95 %."`
	Outliers []DriftOutlier `json:"outliers" doc:"Readings more than 3.5 standard deviations from what their lots do otherwise. They count little or nothing."`
	Warnings []calc.Warning `json:"warnings" doc:"What must be known about it."`
}

// DriftBand is how one absorbance moves.
type DriftBand struct {
	NM         int        `json:"nm" doc:"Wavelength in nm."`
	Scale      string     `json:"scale" enum:"relative,absolute" doc:"relative: all lots lose the same share of it; absolute: all change by the same absorbance."`
	Law        string     `json:"law" enum:"linear,first_order" doc:"linear goes on; first_order settles at a level."`
	ToldApart  bool       `json:"laws_told_apart" doc:"Whether the data tell the laws apart. Otherwise linear stands as the simpler, and intervals take in both."`
	Rate       float64    `json:"rate_per_day" doc:"Rate at day 0: the share of the level that is gained (above 0) or lost in a day, or on the absolute scale absorbance per 10 mm."`
	RateIn95   [2]float64 `json:"rate_interval_95" doc:"Holds the mean rate of all such lots with 95 %."`
	HalfLife   *float64   `json:"half_life_days" nullable:"true" doc:"Time in which half of the way to the level is gone; null for the linear law."`
	Between    *float64   `json:"between_lots" nullable:"true" doc:"Standard deviation of the rate between lots; null where fewer than three tell."`
	ScatterOfU float64    `json:"scatter" doc:"Standard deviation of readings about their lots' curves, in units of their stated uncertainty."`
}

// DriftEstimate is a value with its 95 % interval.
type DriftEstimate struct {
	Value float64 `json:"value" doc:"The value."`
	Lower float64 `json:"lower" doc:"Lower end of its 95 % interval."`
	Upper float64 `json:"upper" doc:"Upper end of its 95 % interval."`
}

// DriftAbsorbances are three absorbances per 10 mm.
type DriftAbsorbances struct {
	A420 DriftEstimate `json:"a420" doc:"Absorbance at 420 nm per 10 mm."`
	A520 DriftEstimate `json:"a520" doc:"Absorbance at 520 nm per 10 mm."`
	A620 DriftEstimate `json:"a620" doc:"Absorbance at 620 nm per 10 mm."`
}

// DriftPoint is a point of a curve.
type DriftPoint struct {
	Days float64 `json:"days" doc:"Days since bottling."`
	DriftAbsorbances
}

// DriftOutlier is a reading that is far off.
type DriftOutlier struct {
	LotID     string   `json:"lot_id" doc:"Identifier of the lot."`
	Lot       string   `json:"lot" doc:"What the lot is called."`
	Samples   []string `json:"samples" doc:"Identifiers of the samples: several where those of a day are one reading."`
	Days      float64  `json:"days" doc:"Days since bottling."`
	NM        int      `json:"nm" doc:"Wavelength in nm."`
	A         float64  `json:"absorbance" doc:"As read, per 10 mm."`
	Expected  float64  `json:"expected" doc:"By the other readings of the lot and of all lots."`
	Deviation float64  `json:"deviation" doc:"In standard deviations, with its sign."`
	Weight    float64  `json:"weight" doc:"With which it still counts, 0 to 1."`
}

// StorageComparison is what two classes of storage change at one wavelength.
type StorageComparison struct {
	Storage    string        `json:"storage" doc:"One class."`
	Against    string        `json:"against" doc:"The other."`
	NM         int           `json:"nm" doc:"Wavelength in nm."`
	Scale      string        `json:"scale" enum:"relative,absolute" doc:"relative: difference is of ln A, 0.05 is about 5 %; absolute: of A per 10 mm."`
	Difference DriftEstimate `json:"difference" doc:"Mean change in the one less that in the other over the days that both have."`
	Differs    bool          `json:"differs" doc:"Whether the interval excludes 0."`
}

// Drift says what the lots of a product tell; an empty product is all lots
// together. The error is a *calc.Problem where there is no such product.
func (r *Release) Drift(ctx context.Context, product string) (Drift, error) {
	l, err := r.learn(ctx, product)
	if err != nil {
		return Drift{}, err
	}
	out := Drift{
		Product: l.product, Products: append([]string{}, l.products...), Lots: l.lots, Samples: l.taken,
		LeftOut: []DriftLeftOut{}, Classes: []DriftClass{}, Comparisons: []StorageComparison{}, Warnings: l.together(),
	}
	for _, w := range leftOutWords {
		if n := l.leftOut[w.code]; n > 0 {
			out.LeftOut = append(out.LeftOut, DriftLeftOut{w.code, n, w.words})
		}
	}
	for i := range l.model.Classes {
		c, err := l.class(&l.model.Classes[i])
		if err != nil {
			return out, err
		}
		out.Classes = append(out.Classes, c)
	}
	out.compare(l)
	return out, nil
}

// together warns of lots of several products that were taken for one.
func (l *learned) together() []calc.Warning {
	if l.product != "" || len(l.products) < 2 {
		return []calc.Warning{}
	}
	return []calc.Warning{{Code: "products_together", Message: fmt.Sprintf("Lots of %d products were taken together, as if they drifted alike. Name a product for its own.", len(l.products))}}
}

// missing is what is said of a class of which nothing is known.
func (l *learned) missing(c *drift.Class) string {
	lots, readings := "lots", "readings"
	if c.Lots == 1 {
		lots = "lot"
	}
	if c.Observations == 1 {
		readings = "reading"
	}
	return fmt.Sprintf("Not enough: %d %s with %d %s on two days or more, and %d read once; it takes two lots or more, each read on three days or more over 30 days or more (%s)",
		c.Lots, lots, c.Observations, readings, c.LotsLeftOut, c.Unknown)
}

func (l *learned) class(c *drift.Class) (DriftClass, error) {
	out := DriftClass{Storage: l.storages[c.Storage], Lots: c.Lots, Observations: c.Observations, LotsLeftOut: c.LotsLeftOut, Known: c.Unknown == ""}
	if !out.Known {
		out.Unknown = l.missing(c)
		return out, nil
	}
	known := &Learnt{FirstDay: c.FirstDay, LastDay: c.LastDay, Outliers: []DriftOutlier{}, Warnings: warningsOf(c.Warnings)}
	out.Learned = known
	for _, b := range c.Bands {
		known.Bands = append(known.Bands, DriftBand{
			NM: b.NM, Scale: string(b.Scale), Law: string(b.Law), ToldApart: b.ToldApart, Rate: b.RatePerDay, RateIn95: b.RatePerDayInterval95,
			HalfLife: number(b.HalfLifeDays), Between: number(b.BetweenLots), ScatterOfU: b.Scatter,
		})
	}
	for _, o := range c.Outliers {
		seen := l.observations[o.Index]
		known.Outliers = append(known.Outliers, DriftOutlier{
			LotID: seen.Lot, Lot: l.from[o.Index][0].lot.Name, Samples: sampleIDs(l.from[o.Index]), Days: seen.Days,
			NM: o.NM, A: o.A, Expected: o.Expected, Deviation: o.Deviation, Weight: o.Weight,
		})
	}
	var err error
	known.Curve, err = l.curve(c)
	return out, err
}

// curvePoints is how many points a curve has.
const curvePoints = 41

// curve is that of a lot that begins at the median of the levels of the lots.
func (l *learned) curve(c *drift.Class) ([]DriftPoint, error) {
	start, err := l.typical(c)
	if err != nil {
		return nil, err
	}
	out := make([]DriftPoint, curvePoints)
	for i := range out {
		day := c.FirstDay + (c.LastDay-c.FirstDay)*float64(i)/(curvePoints-1)
		f, err := c.After(start, c.FirstDay, day)
		if err != nil {
			return nil, fmt.Errorf("release: %w", err)
		}
		out[i] = DriftPoint{day, absorbances(f.A)}
	}
	return out, nil
}

func absorbances(a [3]drift.Estimate) DriftAbsorbances {
	return DriftAbsorbances{A420: DriftEstimate(a[0]), A520: DriftEstimate(a[1]), A620: DriftEstimate(a[2])}
}

// exact is a reading without uncertainty to speak of.
func exact(a [3]float64) drift.Reading {
	const u = 1e-9
	return drift.Reading{A420: a[0], A520: a[1], A620: a[2], U420: u, U520: u, U620: u}
}

// compare holds each two classes against each other.
func (d *Drift) compare(l *learned) {
	for i := range l.model.Classes {
		for j := range i {
			a, b := &l.model.Classes[i], &l.model.Classes[j]
			if a.Unknown != "" || b.Unknown != "" {
				continue
			}
			first, second := l.storages[a.Storage], l.storages[b.Storage]
			effects, err := drift.CompareStorage(a, b)
			for _, e := range effects {
				d.Comparisons = append(d.Comparisons, StorageComparison{
					Storage: first, Against: second, NM: e.NM, Scale: string(e.Scale), Difference: DriftEstimate(e.Difference), Differs: e.Differs,
				})
			}
			switch {
			case err != nil:
				d.Warnings = append(d.Warnings, calc.Warning{Code: "storages_not_compared", Message: fmt.Sprintf("%q and %q cannot be compared: they have no days in common.", first, second)})
			case len(effects) < len(a.Bands):
				d.Warnings = append(d.Warnings, calc.Warning{Code: "storages_not_compared", Message: fmt.Sprintf("%q and %q are compared at %d of 3 wavelengths: at the others one is too close to nothing for shares of it to mean anything.", first, second, len(effects))})
			}
		}
	}
}

// chosen is the class of storage that is asked for; where none is, the only one
// there is. place is where the storage stands in the request.
func (l *learned) chosen(place, storage string) (*drift.Class, error) {
	key := l.keyOf(storage)
	if storage == "" && len(l.model.Classes) == 1 {
		key = l.model.Classes[0].Storage
	}
	var names []string
	for i := range l.model.Classes {
		if c := &l.model.Classes[i]; c.Storage == key {
			if c.Unknown != "" {
				return nil, tooFew("%s", l.missing(c))
			}
			return c, nil
		}
		names = append(names, l.storages[l.model.Classes[i].Storage])
	}
	if len(names) == 0 {
		return nil, tooFew("Not enough: there is no lot with a reading that counts; it takes two lots or more, each read on three days or more over 30 days or more")
	}
	slices.Sort(names)
	if storage == "" {
		return nil, refuse(place, nil, "how is the lot kept? Lots were read of %q", names)
	}
	return nil, refuse(place, storage, "no lot that is kept so was read: there are %q", names)
}

// driftRefused gives a problem of the science its places in the request, by the
// fields of the science.
func driftRefused(err error, places map[string]string) error {
	if errors.Is(err, drift.ErrUnknown) {
		return tooFew("%s", err)
	}
	var fields colour.FieldErrors
	if err == nil || !errors.As(err, &fields) {
		return err
	}
	var f calc.Faults
	for _, e := range fields {
		f.Addf(places[e.Field], e.Value, "%s", e.Message)
	}
	return f.Err()
}

// warningsOf never returns nil.
func warningsOf(list []colour.Warning) []calc.Warning {
	out := make([]calc.Warning, len(list))
	for i, w := range list {
		out[i] = calc.Warning{Code: w.Code, Message: w.Message}
	}
	return out
}

// number makes null of what is not a number.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// dayAfter is the day that lies so many days after a moment.
func dayAfter(at record.Instant, days float64) string {
	return at.Add(time.Duration(days * 24 * float64(time.Hour))).Format(time.DateOnly)
}
