package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Mixing holds the samples from top and bottom of a tank against each other.
type Mixing struct {
	TopDose, BottomDose Dose // where each sample lies on the path
	// UDifference is the standard uncertainty (k = 1) of their difference, in mL
	// per 100 mL: of the readings, as what the path has wrong both share.
	UDifference float64
	DeltaE00    float64 // between the two doses on the path
	// LeastSeen is the ΔE00 that a difference must have to be seen by these
	// readings (95 %).
	LeastSeen float64
	// Mixed says that top and bottom differ by no more than their readings
	// explain (95 %), or by less than ΔE00 0.5.
	Mixed bool
}

const (
	// mixedDeltaE00 is a difference from top to bottom that does not matter: half
	// of what an eye tells apart side by side, a judgement.
	mixedDeltaE00 = 0.5
	// mixingSeen is from where on readings are too coarse to show a layer that the
	// eye would see.
	mixingSeen = 1.0
	normal95   = 1.959964 // of a normal distribution, two-sided
)

// gauge estimates the dose in a tank from its volumes and its samples.
type gauge struct {
	tank    *Tank
	nominal float64 // dose by the volumes
	// uBase, uPoured and uDose are relative standard uncertainties by the volumes.
	uBase, uPoured, uDose float64
	// scale is the dose before the samples' path is known better, as the logarithm
	// of its ratio to the nominal one, and uScale its standard uncertainty.
	scale, uScale float64
	// odds is how many standard deviations volumes and samples are apart.
	odds, seen float64
}

func newGauge(t *Tank) *gauge {
	g := &gauge{tank: t, nominal: float64(DoseOf(t.PouredL, t.BaseL)), uBase: t.UBaseL / t.BaseL, uPoured: t.UPouredL / t.PouredL}
	g.uDose = math.Max(math.Hypot(g.uBase, g.uPoured), leastDoseU)
	return g
}

// overErrors is a quantity at the centre of the path and its standard
// uncertainty from all errors of the path, each moved by one standard deviation
// either way.
func (p *Path) overErrors(quantity func(*strand) float64) (centre, u float64) {
	k := len(p.errors)
	free, z := make([]float64, k), make([]float64, k)
	for j := range free {
		var ends [2]float64
		for i, x := range []float64{-1, 1} {
			free[j] = x
			p.errorsAt(free, z)
			st := p.strand(z)
			ends[i] = quantity(&st)
		}
		free[j] = 0
		u = math.Hypot(u, (ends[1]-ends[0])/2)
	}
	return quantity(&p.centre), u
}

// placed is where a sample lies on a strand.
type placed struct {
	dose           float64
	reading, model float64 // variances of it, from the readings and from the model's shapes
}

// fitSteps is how often a sample's place is linearised.
const fitSteps = 4

// place finds the dose on a strand that fits a sample best: weighted least
// squares over its readings and the offset they share.
func (st *strand) place(w *spectrum.Wine, start float64) (out placed) {
	out.dose = start
	for range fitSteps {
		step := st.placeStep(w, &out)
		out.dose = math.Min(math.Max(out.dose+step, start/20), 20*start)
		if math.Abs(step) < 1e-9*start {
			break
		}
	}
	return out
}

// placeStep is the change of dose that lessens the misfit most. It fills in the
// variances.
func (st *strand) placeStep(w *spectrum.Wine, out *placed) float64 {
	var at, next cie.Curve
	width := 1e-4 * out.dose
	st.at(Dose(out.dose).Fraction(), &at)
	st.at(Dose(out.dose+width).Fraction(), &next)
	next.Add(-1, &at)
	n := len(w.Observed)
	slope, offset, weight, model, misfit := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	var ss, so, oo float64
	oo = 1
	for i := range w.Observed {
		o := &w.Observed[i]
		level := o.Row.Dot(&at)
		misfit[i] = o.Value - level
		slope[i] = o.Row.Dot(&next) / width
		offset[i] = w.CommonU * sum(&o.Row)
		model[i] = modelRelative*math.Abs(level) + modelFloor*math.Sqrt(o.Row.Dot(&o.Row))
		weight[i] = 1 / (o.U*o.U + model[i]*model[i])
		ss += weight[i] * slope[i] * slope[i]
		so += weight[i] * slope[i] * offset[i]
		oo += weight[i] * offset[i] * offset[i]
	}
	det := ss*oo - so*so
	if !(det > 0) {
		out.reading, out.model = math.Inf(1), 0 // a strand without slope places nothing
		return 0
	}
	var step, common float64
	out.reading, out.model = 0, 0
	for i := range w.Observed {
		h := (oo*slope[i] - so*offset[i]) * weight[i] / det
		step += h * misfit[i]
		common += h * offset[i]
		out.reading += h * h * w.Observed[i].U * w.Observed[i].U
		out.model += h * h * model[i] * model[i]
	}
	out.reading += common * common
	return step
}

// leastDoseU is what Calibrate leaves open about the dose that two samples share:
// the bias of all pours, and half the variance of one. To hold the tank's volumes
// for surer than that would count the readings twice.
var leastDoseU = doseU * math.Sqrt(1.5)

// estimate is a dose with its standard uncertainty.
type estimate struct{ mean, u float64 }

// samples is the dose in the tank by its two samples, if st were the path. A layer
// that is left counts as uncertain between them (rectangular; JCGM100, 4.3.7).
func (g *gauge) samples(st *strand) estimate {
	top, bottom := st.place(&g.tank.Top, g.nominal), st.place(&g.tank.Bottom, g.nominal)
	variance := (top.reading+bottom.reading)/4 + (top.model+bottom.model)/2
	if d := bottom.dose - top.dose; math.Abs(d) > normal95*math.Sqrt(top.reading+bottom.reading) {
		variance += d * d / 12
	}
	return estimate{(top.dose + bottom.dose) / 2, math.Sqrt(variance)}
}

// dose is the dose in the tank by volumes and samples together, if st were the
// path.
func (g *gauge) dose(st *strand) estimate {
	s := g.samples(st)
	volumes := g.uDose * g.nominal
	share := volumes * volumes / (volumes*volumes + s.u*s.u)
	if math.IsInf(s.u, 1) {
		share = 0
	}
	return estimate{g.nominal + share*(s.mean-g.nominal), volumes * math.Sqrt(1-share)}
}

// learn sets what the samples say about the tank's dose before they change the
// path: little where it rests on the two wines alone, much where rungs were read
// at the bench.
func (g *gauge) learn(bench *Path) {
	mean, u := bench.overErrors(func(st *strand) float64 { return g.samples(st).mean })
	u = math.Hypot(u, g.samples(&bench.centre).u)
	off, volumes := mean-g.nominal, g.uDose*g.nominal
	share := volumes * volumes / (volumes*volumes + u*u)
	g.scale = math.Log1p(share * off / g.nominal)
	g.uScale = g.uDose * math.Sqrt(1-share)
	g.odds, g.seen = math.Abs(off)/math.Hypot(u, volumes), mean
}

// calibrate is the path with the bench's rungs and both samples, the tank's dose
// being off by so many standard uncertainties.
func (g *gauge) calibrate(p *Path, off float64) (*Path, []colour.Warning, error) {
	d := Dose(g.nominal * math.Exp(g.scale+off*g.uScale))
	rungs := append([]Measured{}, g.tank.Rungs...)
	return p.Calibrate(append(rungs, Measured{Dose: d, Wine: g.tank.Top}, Measured{Dose: d, Wine: g.tank.Bottom}))
}

// disagreement warns where volumes and samples contradict each other.
func (g *gauge) disagreement() []colour.Warning {
	if g.odds < 3 {
		return nil
	}
	return []colour.Warning{{Code: "tank_disagrees", Message: fmt.Sprintf(
		"By its volumes the tank has a dose of %.4g mL per 100 mL, by the colour of its samples %.4g, and no uncertainty that was stated explains that. Are the volumes right, did all of the addition arrive, are the samples from this tank?", g.nominal, g.seen)}}
}

// mixing compares top and bottom.
func (g *gauge) mixing(p *Path, s *seeker) (Mixing, []colour.Warning) {
	top, bottom := p.centre.place(&g.tank.Top, g.nominal), p.centre.place(&g.tank.Bottom, g.nominal)
	m := Mixing{TopDose: Dose(top.dose), BottomDose: Dose(bottom.dose), UDifference: math.Sqrt(top.reading + bottom.reading)}
	m.DeltaE00 = s.apart(&p.centre, top.dose, bottom.dose)
	mean := (top.dose + bottom.dose) / 2
	m.LeastSeen = s.apart(&p.centre, mean, mean+normal95*m.UDifference)
	difference := bottom.dose - top.dose
	m.Mixed = math.Abs(difference) <= normal95*m.UDifference || m.DeltaE00 < mixedDeltaE00
	switch {
	case !m.Mixed:
		where := "bottom"
		if difference < 0 {
			where = "top"
		}
		return m, []colour.Warning{{Code: "not_mixed", Message: fmt.Sprintf(
			"The tank is not mixed: the %s has more of the addition, by %.3g ± %.2g mL per 100 mL (k = 2), ΔE00 %.2g. Mix for as long again, sample top and bottom, and do not trim before they agree.", where, math.Abs(difference), 2*m.UDifference, m.DeltaE00)}}
	case m.LeastSeen > mixingSeen:
		return m, []colour.Warning{{Code: "mixing_not_seen", Message: fmt.Sprintf(
			"These readings would not show a layer of less than ΔE00 %.2g, so they do not prove that the tank is mixed. Read each sample several times or scan it.", m.LeastSeen)}}
	}
	return m, nil
}

// need is the trim with its interval.
func (g *gauge) need(p, path *Path, s *seeker) (*Need, error) {
	target := s.closest(&path.centre)
	gap := func(st *strand) float64 { return s.closestNear(st, target) - g.dose(st).mean }
	centre, u := path.overErrors(gap)
	u = math.Hypot(u, g.dose(&path.centre).u)
	// What is wrong about the tank's dose may be wrong about the base.
	perDose := func(off float64) float64 {
		part := g.uBase * g.uBase / (g.uDose * g.uDose)
		return g.tank.BaseL / 100 * math.Exp(-part*(g.scale+off*g.uScale))
	}
	var ends [2]float64
	for i, off := range []float64{-1, 1} {
		moved, _, err := g.calibrate(p, off)
		if err != nil {
			return nil, err
		}
		ends[i] = perDose(off) * gap(&moved.centre)
	}
	litres := perDose(0) * centre
	base := g.uBase * g.uPoured / g.uDose // of the base, when the dose is known
	uLitres := math.Hypot(math.Hypot(perDose(0)*u, (ends[1]-ends[0])/2), base*litres)
	n := &Need{TargetDose: Dose(target)}
	n.MissNow, n.MissAfter = s.miss(&path.centre, g.dose(&path.centre).mean), s.miss(&path.centre, target)
	n.fill(g.tank, s, litres, normal95*uLitres)
	return n, nil
}

// closestNear is closest for a strand whose closest dose is near one that is
// known: a third of the work.
func (s *seeker) closestNear(st *strand, known float64) float64 {
	lo, hi := known/2, math.Min(1.6*known, s.largest)
	if found := s.golden(st, lo, hi, 1e-6*s.largest); found > lo+0.01*known && found < hi-0.01*known {
		return found
	}
	return s.closest(st)
}

// fill turns a trim, negative where the target was passed, into what to pour.
func (n *Need) fill(t *Tank, s *seeker, litres, half float64) {
	content := t.BaseL + t.PouredL
	target := float64(n.TargetDose)
	atEnd := target <= 1e-6*s.largest || target >= s.largest*(1-1e-6)
	if !atEnd {
		n.AdditionInterval95 = &[2]float64{litres - half, litres + half}
	}
	if n.Passed = litres < 0; !n.Passed {
		n.AdditionL, n.ResultL = litres, content+litres
		return
	}
	n.ResultL = content
	if atEnd {
		n.TargetDose = 0
		return
	}
	base := -100 * litres / target
	n.BaseL, n.ResultL = &base, content+base
	n.BaseInterval95 = &[2]float64{math.Max(0, base-100*half/target), base + 100*half/target}
}

// apart is ΔE00 between two doses of a strand; it holds for a target of
// intensity and tint too.
func (s *seeker) apart(st *strand, d1, d2 float64) float64 {
	other := *s
	var a cie.Curve
	st.at(Dose(d1).Fraction(), &a)
	lab := cie.Lab{View: s.view}
	lab.L, lab.A, lab.B = s.weighting.AbsorbanceLab(&a, s.view.DepthMM)
	other.target = Target{Lab: &lab}
	return other.miss(st, d2)
}
