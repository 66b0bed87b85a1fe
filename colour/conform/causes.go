package conform

import (
	"cmp"
	"slices"

	"pourpath/colour/spectrum"
)

// Share is what one cause adds to the variance of a judged quantity.
type Share struct {
	Cause spectrum.Cause
	// Repeats tells, of a reading error, that this share differs from one reading
	// to the next, so that replicates make it smaller. Common tells that it is
	// the session's: blank, wavelength and photometric scale; reading sample and
	// reference in one session makes it smaller. Both are false of other causes.
	Repeats, Common bool
	Of              float64 // 0 to 1; the shares add up to 1
}

// leastSure is the part whose own probability is the least, the first of equals.
func leastSure(each []float64) (least int) {
	for k, p := range each {
		if p < each[least] {
			least = k
		}
	}
	return least
}

// budget is what the uncertainty of a part is made of, largest share first;
// empty where nothing is uncertain. To first order; on the reference, where a
// difference has no slope, the plain distance ranks as well.
func (c *judged) budget(k int) []Share {
	p := &c.parts[k]
	slope := p.slope(&c.middle)
	type key struct {
		cause spectrum.Cause
		kind  kind
	}
	variance := map[key]float64{}
	var sum float64
	for _, col := range c.columns {
		v := p.variance(&slope, &col.effect)
		variance[key{col.cause, col.kind}] += v
		sum += v
	}
	if !(sum > 0) {
		return nil
	}
	var out []Share
	for _, cause := range spectrum.Causes() {
		for _, kind := range []kind{whole, repeat, session} {
			if v := variance[key{cause, kind}]; v > 0 {
				out = append(out, Share{cause, kind == repeat, kind == session, v / sum})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Share) int { return cmp.Compare(b.Of, a.Of) })
	return out
}

// variance is what one error adds to that of the part.
func (p *part) variance(slope, effect *state) float64 {
	var sum float64
	switch p.quantity {
	case DeltaE00, DeltaEab:
		for k := range absorbing {
			d := effect[k] - effect[reference+k]
			sum += d * d
		}
		return sum
	case T2:
		return p.region.t2(p.region.mean[0]+effect[0], p.region.mean[1]+effect[1], p.region.mean[2]+effect[2])
	}
	for i, s := range slope {
		sum += s * effect[i]
	}
	return sum * sum
}

// dominant is the cause with the largest share, its kinds together.
func dominant(budget []Share) spectrum.Cause {
	shares := map[spectrum.Cause]float64{}
	var first spectrum.Cause
	for _, s := range budget {
		shares[s.Cause] += s.Of
	}
	for _, cause := range spectrum.Causes() {
		if shares[cause] > shares[first] {
			first = cause
		}
	}
	return first
}

// slope is the derivative of a part's quantity by the state, from central
// differences; a hue is followed along the shorter arc.
func (p *part) slope(x *state) (slope state) {
	const step = 1e-5
	for i := range slope {
		up, down := *x, *x
		up[i] += step
		down[i] -= step
		slope[i] = p.off(p.value(&up), p.value(&down)) / (2 * step)
	}
	return slope
}
