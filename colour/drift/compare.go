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
// first day to the last that both have. A wavelength at which one changes by shares
// and the other by absorbance is left out, as the two have no number in common.
//
// Errors: ErrUnknown (errors.Is); colour.FieldErrors at "storage" where the two have no
// days in common.
//
// Source: Welch, Biometrika 34 (1947) 28, for the interval (from memory).
func CompareStorage(a, b *Class) ([]Effect, error) {
	var out []Effect
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
			continue
		}
		ma, ua, _ := p.change(from, to)
		mb, ub, _ := q.change(from, to)
		u2 := ua*ua + ub*ub
		margin := 0.0
		if u2 > 0 {
			margin = t95(u2*u2/(math.Pow(ua, 4)/p.freedom+math.Pow(ub, 4)/q.freedom)) * math.Sqrt(u2)
		}
		d := ma - mb
		out = append(out, Effect{nm, Estimate{d, d - margin, d + margin}, p.motion.scale, math.Abs(d) > margin})
	}
	return out, nil
}
