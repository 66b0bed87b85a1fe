package drift

import (
	"fmt"
	"math/rand/v2"
)

// cellar draws lots of a rosé that drift by one law.
type cellar struct {
	storage string
	lots    int
	days    []float64
	law     [bands]motion // of the average lot
	between float64       // standard deviation of s between lots, as a part of s
	noise   float64       // standard deviation of a reading; its stated uncertainty is half of it
}

// rosé is within what bottled rosés do: six lots re-read over a year.
func rosé(k float64) cellar {
	c := cellar{lots: 6, days: []float64{0, 30, 60, 120, 180, 270, 365}, between: 0.3, noise: 0.004}
	c.law = [bands]motion{{Relative, 0.0004, k}, {Relative, -0.0006, k}, {Relative, -0.0003, k}}
	if k > 0 { // as much in a year
		c.law = [bands]motion{{Relative, 0.0015, k}, {Relative, -0.0022, k}, {Relative, -0.0012, k}}
	}
	return c
}

// rates draws one lot's, the three going partly together.
func (c cellar) rates(r *rand.Rand) (out [bands]motion) {
	common := r.NormFloat64()
	out = c.law
	for b := range out {
		out[b].s *= 1 + c.between*(0.8*common+0.6*r.NormFloat64())
	}
	return out
}

// level draws the absorbances on day 0.
func level(r *rand.Rand) [bands]float64 {
	f := 0.8 + 0.4*r.Float64()
	return [bands]float64{0.45 * f, 0.6 * f, 0.25 * f}
}

func (m motion) of(a, days float64) float64 {
	g, _ := m.g(days)
	return a * (1 + m.s*g)
}

func (c cellar) read(r *rand.Rand, a [bands]float64, rates [bands]motion, days float64) Reading {
	var v [bands]float64
	for b := range v {
		v[b] = rates[b].of(a[b], days) + c.noise*r.NormFloat64()
	}
	return Reading{v[0], v[1], v[2], c.noise / 2, c.noise / 2, c.noise / 2}
}

func (c cellar) observe(r *rand.Rand) (out []Observation) {
	for l := range c.lots {
		a, rates := level(r), c.rates(r)
		for _, d := range c.days {
			out = append(out, Observation{fmt.Sprintf("%s lot %d", c.storage, l), c.storage, d, c.read(r, a, rates, d)})
		}
	}
	return out
}
