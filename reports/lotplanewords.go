package reports

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
)

// sentences come above the panels, the caller's first.
func (f *LotPlaneFigure) sentences() []string {
	n := f.newest()
	d := 1
	if u := max(n.U[0], n.U[1], n.U[2]); u > 0 {
		d = min(2, max(1, -int(math.Floor(math.Log10(2*u)))))
	}
	t := f.Texts
	value := func(v, u float64) string {
		if u == 0 {
			return t.Fixed(v, d)
		}
		return t.Fixed(v, d) + " ± " + t.Fixed(max(2*u, math.Pow10(-d)), d)
	}
	words := t.Plane.Newest
	switch stated := n.U != [3]float64{}; {
	case stated && n.Name != "":
		words = t.Plane.NewestNamedU
	case stated:
		words = t.Plane.NewestU
	case n.Name != "":
		words = t.Plane.NewestNamed
	}
	return []string{f.Finding, Fill(words, "name", n.Name, "l", value(n.Lab.L, n.U[0]), "a", value(n.Lab.A, n.U[1]), "b", value(n.Lab.B, n.U[2]))}
}

func (f *LotPlaneFigure) legend(region []outlined) []entry {
	counted, out := 0, false
	for _, l := range f.Lots {
		if l.LeftOut {
			out = true
			continue
		}
		counted++
	}
	t := f.Texts
	words := t.Plane.KeyNewest
	if n := f.newest(); n.U[1] > 0 || n.U[2] > 0 {
		words = t.Plane.KeyNewestBars
	}
	var es []entry
	sign := func(words string, mark func(*pen, vg.Point)) { es = append(es, entry{words, keySign, mark}) }
	dot := func(age int) func(*pen, vg.Point) {
		return func(p *pen, at vg.Point) {
			r, clr := lotDot(age)
			p.SetColor(clr)
			p.Fill(circle(at, r))
		}
	}
	sign(words, func(p *pen, at vg.Point) { p.SetColor(ink); p.Fill(circle(at, newestRadius)) })
	if counted > 1 {
		sign(t.Plane.KeyLot, dot(1))
	}
	if counted > namedLots {
		sign(Fill(t.Plane.KeyBefore, "count", t.whole(namedLots)), dot(namedLots))
	}
	if counted > pathLots {
		sign(Fill(t.Plane.KeyOffPath, "count", t.whole(pathLots)), dot(pathLots))
	}
	if out {
		sign(t.Shared.LeftOut, func(p *pen, at vg.Point) { p.hollow(at, 0.6*mm) })
	}
	if f.Reference != nil {
		sign(t.Shared.Reference, func(p *pen, at vg.Point) { p.diamond(at) })
	}
	for _, o := range region {
		if o.points != nil {
			es = append(es, entry{o.words, keyLine, func(p *pen, at vg.Point) { p.line(o.style, key(at)...) }})
		}
	}
	return es
}

func (f *LotPlaneFigure) footer(region []outlined, panels []*chartPanel) []string {
	t := f.Texts
	s := t.view(f.View)
	if f.Conditions != "" {
		s += " " + strings.TrimSuffix(f.Conditions, ".") + "."
	}
	method := t.Plane.Method
	if len(region) > 0 {
		method += " " + Fill(t.Plane.Drawn, "l", t.Fixed(f.newest().Lab.L, 1))
	}
	for _, o := range region {
		if o.points == nil {
			method += " " + Fill(t.Plane.NotDrawn, "part", o.words, "why", o.why)
		}
	}
	method += " " + strings.Join(t.notDrawn(panels), " ")
	out := []string{s, strings.TrimSpace(method)}
	if f.Version != "" {
		out = append(out, f.Version+".")
	}
	return out
}

// described is the figure in words, for those who hear it.
func (f *LotPlaneFigure) described() string {
	return clean(strings.Join(f.sentences(), " ") + " " + Fill(f.Texts.Plane.Panels, "count", f.Texts.whole(len(f.Lots))))
}

// check returns every fault of f, up to maxFaults.
func (f LotPlaneFigure) check() error {
	if err := f.View.Validate(); err != nil {
		return fmt.Errorf("reports: view: %w", err)
	}
	c := &checker{view: f.View}
	c.text("title", f.Title)
	c.text("finding", f.Finding)
	c.text("conditions", f.Conditions)
	c.text("version", f.Version)
	switch n := len(f.Lots); {
	case n == 0:
		c.fault("lots", "there is none: want at least one")
	case n > mostLots:
		c.fault("lots", "%d: want at most %d; draw the latest, or a year at a time", n, mostLots)
	}
	if !slices.ContainsFunc(f.Lots, func(l PlaneLot) bool { return !l.LeftOut }) && len(f.Lots) > 0 {
		c.fault("lots", "all %d are left out: want at least one that counts", len(f.Lots))
	}
	for i, l := range f.Lots {
		at := fmt.Sprintf("lot %d", i)
		c.text(at+" name", l.Name)
		c.lab(at+" colour", l.Lab)
		c.within(at+" uncertainty", 0, maxColour, l.U[:]...)
	}
	if f.Reference != nil {
		c.lab("reference", *f.Reference)
	}
	for _, v := range []*float64{f.LowerL, f.UpperL} {
		if v != nil {
			c.within("limits of L*", -maxColour, maxColour, *v)
		}
	}
	if f.Region != nil {
		f.Region.check(c)
	}
	return errors.Join(c.faults...)
}

func (r *Region) check(c *checker) {
	c.within("region: ΔE00", 0, maxColour, r.DeltaE00)
	if r.DeltaE00 > 0 {
		k := r.weights()
		c.within("region: kL, kC, kH", 0.01, 100, k.KL, k.KC, k.KH)
		if r.Reference == nil {
			c.fault("region: reference", "there is none: want the colour that ΔE00 is counted from")
		} else {
			c.lab("region: reference", *r.Reference)
		}
	}
	for _, side := range []struct {
		where  string
		limits *[2]float64
	}{{"region: a*", r.A}, {"region: b*", r.B}} {
		if l := side.limits; l != nil && !(l[0] < l[1]) {
			c.fault(side.where, "from %g to %g: want the lower limit first, below the upper", l[0], l[1])
		}
	}
	e := r.Ellipsoid
	if e == nil {
		return
	}
	c.lab("region: mean of the ellipsoid", e.Mean)
	if !(e.Limit > 0) || math.IsInf(e.Limit, 0) {
		c.fault("region: limit of the ellipsoid", "%g: want a T² above 0", e.Limit)
	}
	if !positive(e.Covariance) {
		c.fault("region: covariance of the ellipsoid", "%v: want a symmetric one whose ellipsoid has a volume", e.Covariance)
	}
}

// positive reports whether a matrix is symmetric and positive definite, by its
// leading minors.
func positive(s [3][3]float64) bool {
	for i := range s {
		for j := range i {
			if !(math.Abs(s[i][j]-s[j][i]) <= 1e-9*(math.Abs(s[i][i])+math.Abs(s[j][j]))) {
				return false
			}
		}
	}
	two := s[0][0]*s[1][1] - s[0][1]*s[1][0]
	three := s[0][0]*(s[1][1]*s[2][2]-s[1][2]*s[2][1]) - s[0][1]*(s[1][0]*s[2][2]-s[1][2]*s[2][0]) + s[0][2]*(s[1][0]*s[2][1]-s[1][1]*s[2][0])
	return s[0][0] > 0 && two > 0 && three > 0 && !math.IsInf(three, 0)
}
