package panel

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	curvePoints = 41   // enough for a smooth line
	resampled   = 2000 // judges drawn anew, for percentiles of 2.5 % to about a tenth of that
)

// preference is the share along the dose. Within each judge's glasses shares
// always average a half, so that share and powers of the dose are compared with
// their means over the judge's glasses, by least squares.
func preference(j judged, glasses []GlassResult, level float64, found bool) *Preference {
	lowest, highest := slices.Min(j.doses), slices.Max(j.doses)
	c := newCurves(j, lowest, highest)
	fitted := c.fit(c.all())
	anew := c.anew()
	tail := expanded(level, len(j.blocks))
	p := &Preference{}
	bounds := func(value func(parabola) float64) Interval {
		values := make([]float64, len(anew))
		for i, a := range anew {
			values[i] = value(a)
		}
		slices.Sort(values)
		return Interval{value(fitted), quantile(values, tail), quantile(values, 1-tail)}
	}
	for i := range curvePoints {
		x := float64(i) / (curvePoints - 1)
		p.Curve = append(p.Curve, PreferencePoint{
			DoseMLPer100ML: lowest + x*(highest-lowest),
			Share:          bounds(func(a parabola) float64 { return min(1, max(0, c.share(a, x))) }),
		})
	}
	if found {
		at := bounds(parabola.best)
		p.AtLowest, p.AtHighest = at.Low <= rounding, at.High >= 1-rounding
		for _, x := range []*float64{&at.Value, &at.Low, &at.High} {
			*x = lowest + *x*(highest-lowest)
		}
		p.Best = &at
	}
	for g, glass := range glasses {
		if s := glass.Share; c.expected(fitted, g) < s.Low-rounding || c.expected(fitted, g) > s.High+rounding {
			p.Misses = append(p.Misses, g)
		}
	}
	return p
}

// expected is the share that a curve gives a glass among the glasses that its judges
// had.
func (c *curves) expected(a parabola, glass int) float64 {
	sum, n := 0.0, 0.0
	for _, b := range c.blocks {
		if !slices.Contains(b.glasses, glass) {
			continue
		}
		mean := 0.0
		for _, g := range b.glasses {
			mean += c.share(a, c.x[g]) / float64(len(b.glasses))
		}
		sum, n = sum+0.5+c.share(a, c.x[glass])-mean, n+1
	}
	return sum / n
}

// parabola has the slope and the bend of a share along doses from 0 to 1.
type parabola struct{ slope, bend float64 }

// best is where the share is highest, of 0 to 1.
func (a parabola) best() float64 {
	if a.bend < 0 {
		return min(1, max(0, -a.slope/(2*a.bend)))
	}
	if a.slope+a.bend > 0 {
		return 1
	}
	return 0
}

// curves is what is needed to fit many.
type curves struct {
	bent       bool // three doses or more
	meanX      float64
	meanSquare float64 // over all glasses
	judges     []judgeMoments
	blocks     []block
	x          []float64 // doses from 0 to 1
}

// judgeMoments are a judge's sums of squares and products of x, x² and share,
// each less its mean over the judge's glasses.
type judgeMoments struct{ xx, xs, ss, xy, sy float64 }

func newCurves(j judged, lowest, highest float64) *curves {
	c := &curves{blocks: j.blocks, x: make([]float64, len(j.doses))}
	for g, d := range j.doses {
		c.x[g] = (d - lowest) / (highest - lowest)
		c.meanX += c.x[g] / float64(len(j.doses))
		c.meanSquare += c.x[g] * c.x[g] / float64(len(j.doses))
	}
	doses := slices.Clone(j.doses)
	slices.Sort(doses)
	c.bent = len(slices.Compact(doses)) > 2
	for _, b := range j.blocks {
		c.judges = append(c.judges, c.moments(b))
	}
	return c
}

func (c *curves) moments(b block) (m judgeMoments) {
	n := float64(len(b.glasses))
	var meanX, meanSquare float64
	for _, g := range b.glasses {
		meanX += c.x[g] / n
		meanSquare += c.x[g] * c.x[g] / n
	}
	for i, g := range b.glasses {
		x, s, y := c.x[g]-meanX, c.x[g]*c.x[g]-meanSquare, share(b.twice[i], len(b.twice))-0.5
		m.add(judgeMoments{x * x, x * s, s * s, x * y, s * y})
	}
	return m
}

func (m *judgeMoments) add(o judgeMoments) {
	m.xx, m.xs, m.ss, m.xy, m.sy = m.xx+o.xx, m.xs+o.xs, m.ss+o.ss, m.xy+o.xy, m.sy+o.sy
}

func (c *curves) all() (sum judgeMoments) {
	for _, m := range c.judges {
		sum.add(m)
	}
	return sum
}

// fit is the parabola of least squares, a line where the glasses do not fix one.
func (c *curves) fit(m judgeMoments) parabola {
	if det := m.xx*m.ss - m.xs*m.xs; c.bent && det > 1e-9*m.xx*m.ss {
		return parabola{(m.ss*m.xy - m.xs*m.sy) / det, (m.xx*m.sy - m.xs*m.xy) / det}
	}
	if m.xx <= 0 {
		return parabola{}
	}
	return parabola{slope: m.xy / m.xx}
}

func (c *curves) share(a parabola, x float64) float64 {
	return 0.5 + a.slope*(x-c.meanX) + a.bend*(x*x-c.meanSquare)
}

// anew are the curves of judges drawn from those there were. One draw in
// judges+1 is a judge who gives the drawn judge's ranks in any order: what all
// judges of a few have said may be chance, and no interval should be without width.
func (c *curves) anew() []parabola {
	r := rand.New(rand.NewPCG(1979, 2015))
	out := make([]parabola, resampled)
	for i := range out {
		var sum judgeMoments
		for range c.judges {
			k := r.IntN(len(c.judges))
			if r.IntN(len(c.judges)+1) > 0 {
				sum.add(c.judges[k])
				continue
			}
			b := c.blocks[k]
			b.twice = slices.Clone(b.twice)
			r.Shuffle(len(b.twice), func(i, k int) { b.twice[i], b.twice[k] = b.twice[k], b.twice[i] })
			sum.add(c.moments(b))
		}
		out[i] = c.fit(sum)
	}
	return out
}

// expanded is the share of the resampled values beyond a bound, so that few judges
// have as wide an interval as Student's distribution gives means.
func expanded(level float64, judges int) float64 {
	n := float64(judges)
	t := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(1 - level/2)
	return distuv.UnitNormal.Survival(math.Sqrt(n/(n-1)) * t)
}

// quantile of rising values, between neighbours along a straight line.
func quantile(rising []float64, p float64) float64 {
	at := p * float64(len(rising)-1)
	i := min(int(at), len(rising)-2)
	return rising[i] + (at-float64(i))*(rising[i+1]-rising[i])
}
