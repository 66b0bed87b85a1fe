package reports

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// check returns every fault of f, up to maxFaults.
func (f ToleranceFigure) check() error {
	c := &checker{}
	for where, s := range map[string]string{"title": f.Title, "finding": f.Finding, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	switch n := len(f.Parts); {
	case n == 0:
		c.fault("parts", "there is none: want at least one part of the specification")
	case n > mostParts:
		c.fault("parts", "%d: want at most %d", n, mostParts)
	}
	for i := range f.Parts {
		f.Parts[i].check(c, fmt.Sprintf("part %d", i))
	}
	return errors.Join(c.faults...)
}

func (k *PartMark) check(c *checker, where string) {
	if strings.TrimSpace(k.Quantity) == "" {
		c.fault(where+": quantity", "is empty: name what is limited, such as ΔE00 from the reference")
	}
	c.text(where+": quantity", k.Quantity)
	c.text(where+": unit", k.Unit)
	c.within(where+": value", -maxCharted, maxCharted, k.Value)
	c.within(where+": uncertainty", 0, maxCharted, k.U)
	if i := k.Interval95; i != nil {
		c.within(where+": 95 % interval", -maxCharted, maxCharted, i[0], i[1])
		if i[0] > i[1] {
			c.fault(where+": 95 % interval", "from %g to %g: want the lower end first", i[0], i[1])
		}
	}
	c.limits(where+": limits", k.Lower, k.Upper)
	if k.Warning != nil {
		c.limits(where+": warning limits", k.Warning[0], k.Warning[1])
	}
	if k.Probability != nil {
		c.within(where+": probability", 0, 1, *k.Probability)
	}
}

// limits wants a lower one below an upper one, and not both open.
func (c *checker) limits(where string, lower, upper float64) {
	open := math.IsInf(lower, -1) && math.IsInf(upper, 1)
	if open || !(lower < upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1) {
		c.fault(where, "from %g to %g: want the lower one first, below the upper, and one of them finite", lower, upper)
	}
}
