package drift

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/colour"
)

// describe fills what is shown of a class that is known.
func (c *Class) describe(all []Observation, pooled bool) {
	c.freedom = math.Inf(1)
	var alike []int
	for b, nm := range NMs() {
		ch := &c.choices[b]
		v := &ch.curve
		margin := v.mean95 * math.Sqrt(v.cov[0])
		c.Bands[b] = Band{NM: nm, Scale: v.motion.scale, Law: ch.law, ToldApart: ch.told, PLinear: ch.p,
			RatePerDay: v.motion.s, RatePerDayInterval95: [2]float64{v.motion.s - margin, v.motion.s + margin},
			SettlingPerDay: v.motion.k, HalfLifeDays: math.Ln2 / v.motion.k, BetweenLots: v.between, Scatter: ch.main.noise}
		own := v.freedom
		if pooled {
			c.Bands[b].BetweenLots = math.NaN()
		} else {
			own = lotFreedom(own)
		}
		c.freedom = min(c.freedom, own)
		if !ch.told {
			alike = append(alike, nm)
		}
		c.Outliers = append(c.Outliers, ch.outliers(all, b)...)
	}
	slices.SortStableFunc(c.Outliers, func(a, b Outlier) int { return cmp.Compare(a.Index, b.Index) })
	c.correlate(pooled)
	c.warn(alike, pooled)
	for b := range bands { // points, weights and sums have been read
		c.choices[b].main = nil
	}
}

// outliers lists the readings that are far off.
func (ch *choice) outliers(all []Observation, b int) (out []Outlier) {
	f := ch.main
	for l := range f.sums {
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			z, kept := f.standardised(l, i)
			if math.Abs(z) <= outlying {
				continue
			}
			a, _ := all[f.points[i].from].values()
			residual := z * f.points[i].u * f.noise * math.Sqrt(kept)
			out = append(out, Outlier{Index: f.points[i].from, NM: NMs()[b], A: a[b],
				Expected: f.scale.read(f.points[i].y - residual), Deviation: z, Weight: f.tune.weight(z)})
		}
	}
	return out
}

// correlate sets how the lots' deviations at the three wavelengths go together. Two
// lots cannot tell, and are taken not to.
func (c *Class) correlate(pooled bool) {
	for b := range bands {
		c.correlation[b][b] = 1
	}
	if pooled {
		return
	}
	var dev [bands][]float64
	var square [bands]float64
	for b := range bands {
		f := c.choices[b].main
		dev[b] = make([]float64, f.lots())
		for l := range f.sums {
			q := &f.sums[l]
			dev[b][l] = q.scoreS / math.Sqrt(q.infoSS)
			square[b] += dev[b][l] * dev[b][l]
		}
	}
	for i := range bands {
		for j := range i {
			var sum float64
			for l := range dev[i] {
				sum += dev[i][l] * dev[j][l]
			}
			r := 0.0
			if square[i] > 0 && square[j] > 0 {
				r = sum / math.Sqrt(square[i]*square[j])
			}
			c.correlation[i][j], c.correlation[j][i] = r, r
		}
	}
}

func (c *Class) warn(alike []int, pooled bool) {
	if pooled {
		c.Warnings = append(c.Warnings, colour.Warning{Code: "drift_two_lots", Message: "Only two lots tell: how much lots differ in their drift is not known, and the intervals hold for lots that drift as these two. A third lot would tell."})
	}
	if len(alike) > 0 {
		c.Warnings = append(c.Warnings, colour.Warning{Code: "drift_laws_alike", Message: fmt.Sprintf("At %s the data do not tell whether the change goes on or settles at a level: the simpler law, going on, is used, and the intervals take in both.", inNM(alike))})
	}
	if n := len(c.Outliers); n > 0 {
		c.Warnings = append(c.Warnings, colour.Warning{Code: "drift_outliers", Message: fmt.Sprintf("%d %s far from what the lot does otherwise: look at it again. They count little or nothing in what was learned.", n, plural(n, "absorbance is", "absorbances are"))})
	}
	if c.LotsLeftOut > 0 {
		c.Warnings = append(c.Warnings, colour.Warning{Code: "drift_read_once", Message: fmt.Sprintf("%d %s read on one day only and cannot tell about drift.", c.LotsLeftOut, plural(c.LotsLeftOut, "lot was", "lots were"))})
	}
}

// inNM lists wavelengths in words.
func inNM(list []int) string {
	var words strings.Builder
	for i, nm := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			words.WriteString(" and ")
		default:
			words.WriteString(", ")
		}
		fmt.Fprint(&words, nm)
	}
	return words.String() + " nm"
}
