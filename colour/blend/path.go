package blend

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Path is the absorbance of one base with any dose of one addition, and
// everything uncertain about it as one vector of standard normal errors z:
//
//	A(f, z) = (1-f) b(z) + f e(z) + h d(h) [ m(z) + (g(f, z) - 1) p ]
//
// with the addition's fraction f, the base b, the addition e, and for the wine
// with more pigment its fraction h, how far it is diluted d, the pigment p, the
// factor g on its colour and other changes m. Measured rungs narrow z: see
// Calibrate. A Path does not change; it is safe for concurrent use.
type Path struct {
	base, addition spectrum.Wine
	volume         float64 // that a dose is poured into, in mL: 100, and what is held
	errors         []pathError
	hostIsBase     bool      // the base is the wine with more pigment
	dilutes        float64   // how far the host is diluted in nothing but the other wine
	pigment        cie.Curve // what the factor multiplies
	mean           []float64 // of z
	spread         *mat.Dense
	learned        bool
	centre         strand // the path at the mean of z
}

// part says where in the path an error acts.
type part int

const (
	onBase part = iota
	onAddition
	onMedium
	onFactor
	onCurvature
	onBias
)

type pathError struct {
	part   part
	cause  spectrum.Cause
	effect cie.Curve // of one standard deviation; unused for factor, curvature and bias
}

// doseU is the relative standard uncertainty of a dose in what all pours with a
// tool share, and again in what each pour has of its own: together VolumeU for
// the dose and for the base.
const doseU = VolumeU

// NewPath returns the path predicted from the two wines alone.
func NewPath(base, addition spectrum.Wine) *Path {
	return newPath(base, addition, 100)
}

func newPath(base, addition spectrum.Wine, volume float64) *Path {
	p := &Path{base: base, addition: addition, volume: volume}
	for _, t := range base.Terms {
		p.errors = append(p.errors, pathError{onBase, t.Cause, t.Effect})
	}
	for _, t := range addition.Terms {
		p.errors = append(p.errors, pathError{onAddition, t.Cause, t.Effect})
	}
	host, other := &p.addition, &p.base
	if base.Pigment() > addition.Pigment() {
		p.hostIsBase = true
		host, other = other, host
	}
	p.dilutes = diluted(host.Pigment(), other.Pigment())
	medium, pigment := mediumErrors(host)
	p.pigment = pigment
	for i := range medium {
		p.errors = append(p.errors, pathError{onMedium, spectrum.Medium, medium[i]})
	}
	p.errors = append(p.errors,
		pathError{part: onFactor, cause: spectrum.Medium},
		pathError{part: onCurvature, cause: spectrum.Medium},
		pathError{part: onBias, cause: spectrum.Dose})
	p.mean = make([]float64, len(p.errors))
	p.centre = p.strand(p.mean)
	return p
}

// Fraction returns the addition's share of the finished blend by volume at dose
// d, what is held in the base counted: d / (100 + held + d).
func (p *Path) Fraction(d Dose) float64 { return p.centre.fraction(d) }

// Calibrated says whether measured rungs have narrowed the path.
func (p *Path) Calibrated() bool { return p.learned }

// strand is the path for one value of the errors.
type strand struct {
	base, addition, medium, pigment  cie.Curve
	factor, curvature, bias, dilutes float64
	volume                           float64
	hostIsBase                       bool
}

func (s *strand) fraction(d Dose) float64 { return float64(d) / (s.volume + float64(d)) }

func (p *Path) strand(z []float64) strand {
	s := strand{base: p.base.Absorbance, addition: p.addition.Absorbance, pigment: p.pigment, dilutes: p.dilutes, volume: p.volume, hostIsBase: p.hostIsBase}
	for k := range p.errors {
		e := &p.errors[k]
		x := z[k]
		if x == 0 {
			continue
		}
		switch e.part {
		case onBase:
			s.base.Add(x, &e.effect)
		case onAddition:
			s.addition.Add(x, &e.effect)
		case onMedium:
			s.medium.Add(x, &e.effect)
		case onFactor:
			s.factor = factorSpread * x
		case onCurvature:
			s.curvature = curvatureSpread * x
		case onBias:
			s.bias = doseU * x
		}
	}
	return s
}

// weights are the shares with which the parts of a strand enter at fraction f.
type weights struct {
	fraction float64 // of the addition, with the tool's bias
	medium   float64 // of changes of the medium
	factor   float64 // of the pigment, on top of its full colour
	bend     float64 // what the curvature is multiplied with
}

func (s *strand) weights(f float64) weights {
	f = math.Min(f+f*(1-f)*s.bias, 1)
	host := f
	if s.hostIsBase {
		host = 1 - f
	}
	w := weights{fraction: f, medium: host * (1 - host) * s.dilutes, bend: bend(host)}
	w.factor = w.medium * (math.Exp(s.factor+s.curvature*w.bend) - 1)
	return w
}

// bend is how many threefold steps a fraction is above 7 %, the middle of a
// usual ladder, levelling off at ±2.
func bend(host float64) float64 {
	const middle = 0.07
	return 2 * math.Tanh(math.Log(math.Max(host, 1e-9)/middle)/math.Log(3)/2)
}

// at computes the absorbance at fraction f of the addition.
func (s *strand) at(f float64, out *cie.Curve) {
	w := s.weights(f)
	g := 1 - w.fraction
	for i := range out {
		out[i] = g*s.base[i] + w.fraction*s.addition[i] + w.medium*s.medium[i] + w.factor*s.pigment[i]
	}
}

// columns gives the effect of each error on the absorbance at fraction f, at
// the mean of z.
func (p *Path) columns(f float64) []cie.Curve {
	s := &p.centre
	w := s.weights(f)
	slope := w.medium + w.factor // medium × exp(...)
	out := make([]cie.Curve, len(p.errors))
	for k := range p.errors {
		e := &p.errors[k]
		switch e.part {
		case onBase:
			out[k] = e.effect.Times(1 - w.fraction)
		case onAddition:
			out[k] = e.effect.Times(w.fraction)
		case onMedium:
			out[k] = e.effect.Times(w.medium)
		case onFactor:
			out[k] = p.pigment.Times(factorSpread * slope)
		case onCurvature:
			out[k] = p.pigment.Times(curvatureSpread * w.bend * slope)
		case onBias:
			out[k] = p.poured(f)
		}
	}
	return out
}

// poured is the effect of one standard deviation of an error of the dose.
func (p *Path) poured(f float64) (out cie.Curve) {
	const step = 1e-4
	var lo, hi cie.Curve
	p.centre.at(math.Max(f-step, 0), &lo)
	p.centre.at(math.Min(f+step, 1), &hi)
	width := math.Min(f+step, 1) - math.Max(f-step, 0)
	for i := range out {
		out[i] = doseU * f * (1 - f) * (hi[i] - lo[i]) / width
	}
	return out
}

// At is the blend at dose d with everything uncertain about it.
func (p *Path) At(d Dose) spectrum.Wine {
	f := p.Fraction(d)
	w := spectrum.Wine{Source: spectrum.Blend, Method: string(spectrum.Blend)}
	p.centre.at(f, &w.Absorbance)
	columns := p.columns(f)
	if p.learned {
		for _, c := range p.correlated(columns) {
			w.Terms = append(w.Terms, spectrum.Term{Cause: spectrum.Learned, Effect: c})
		}
	} else {
		for k := range columns {
			w.Terms = append(w.Terms, spectrum.Term{Cause: p.errors[k].cause, Effect: columns[k]})
		}
	}
	w.Terms = append(w.Terms, spectrum.Term{Cause: spectrum.Dose, Effect: p.poured(f)})
	return w
}

// Absorbance is the blend's at dose d, as At has it.
func (p *Path) Absorbance(d Dose) (a cie.Curve) {
	p.centre.at(p.Fraction(d), &a)
	return a
}

// correlated turns effects of correlated errors into as many independent ones.
func (p *Path) correlated(columns []cie.Curve) []cie.Curve {
	out := make([]cie.Curve, len(columns))
	for k := range columns {
		for j := range out {
			if x := p.spread.At(k, j); x != 0 {
				out[j].Add(x, &columns[k])
			}
		}
	}
	return out
}

// Warnings are those of the two wines, and before any rung was measured the
// one that says what the prediction rests on.
func (p *Path) Warnings() []colour.Warning {
	var out []colour.Warning
	out = append(out, p.base.Warnings...)
	out = append(out, p.addition.Warnings...)
	if !p.learned && p.dilutes > 0.5 && p.pigmentAt520() > 0.2 {
		out = append(out, colour.Warning{Code: "unmeasured_path", Message: "A red poured into another wine may colour half or nearly twice as much as it does neat (copigmentation, pH, SO2), and the uncertainties say so. Pour one rung, read it and give it as measured: they then shrink several times."})
	}
	return out
}

func (p *Path) pigmentAt520() float64 { return p.pigment[cie.Index(520)] }
