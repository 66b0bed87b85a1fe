package drift

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Effect is what the class of storage changes at one wavelength.
type Effect struct {
	NM int
	// Difference is the mean change in class a less that in class b over the same
	// days, with its 95 % interval: of ln A on the relative scale (0.05 is about
	// 5 %), of A per 10 mm on the absolute one.
	Difference Estimate
	Scale      Scale
	Differs    bool // the interval excludes 0
}

// CompareStorage holds the mean drift of two classes against each other, from the
// first day to the last that both have.
//
// Errors: ErrUnknown (errors.Is); colour.FieldErrors at "storage" where the two have no
// days in common, or one changes by shares and the other by absorbance.
//
// Source: Welch, Biometrika 34 (1947) 28, for the interval (from memory).
func CompareStorage(a, b *Class) ([3]Effect, error) {
	var out [3]Effect
	for _, c := range []*Class{a, b} {
		if c.Unknown != "" {
			return out, fmt.Errorf("drift: %w for storage %q: %s", ErrUnknown, c.Storage, c.Unknown)
		}
	}
	from, to := max(a.FirstDay, b.FirstDay), min(a.LastDay, b.LastDay)
	if !(to > from) {
		return out, colour.FieldErrors{{Field: "storage", Message: fmt.Sprintf("%q and %q have no days in common", a.Storage, b.Storage)}}
	}
	for i, nm := range NMs() {
		p, q := &a.choices[i].curve, &b.choices[i].curve
		if p.motion.scale != q.motion.scale {
			return out, colour.FieldErrors{{Field: "storage", Message: fmt.Sprintf("at %d nm %q changes by a share and %q by absorbance: the wines are too different in depth to compare", nm, a.Storage, b.Storage)}}
		}
		ma, ua, _ := p.change(from, to)
		mb, ub, _ := q.change(from, to)
		u2 := ua*ua + ub*ub
		margin := 0.0
		if u2 > 0 {
			margin = t95(u2*u2/(math.Pow(ua, 4)/p.freedom+math.Pow(ub, 4)/q.freedom)) * math.Sqrt(u2)
		}
		d := ma - mb
		out[i] = Effect{nm, Estimate{d, d - margin, d + margin}, p.motion.scale, math.Abs(d) > margin}
	}
	return out, nil
}
