package spectrum

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
)

func costs(p *prior, r reading.Readings) (gain []float64, s []float64, total float64, w Wine) {
	all := r.All()
	factor := r.Per10MM()
	h := make([]cie.Curve, len(all))
	y := make([]float64, len(all))
	for i, at := range all {
		h[i] = sampling(at.NM)
		y[i] = at.Absorbance * factor
	}
	g := p.estimate(h, y)
	k, _, ok := g.prior.gains(h)
	if !ok {
		return
	}
	w = Wine{Absorbance: g.posterior.mean}
	v := cie.OIV()
	weighting, _ := cie.WeightingFor(v.Illuminant, v.Observer)
	depth := paleDepth(w.Absorbance[cie.Index(520)])
	l0, a0, b0 := weighting.AbsorbanceLab(&w.Absorbance, depth)
	for i, at := range all {
		u := reading.Uncertainty(at.Absorbance, r.UAbsorbance) * factor
		moved := w.Absorbance
		for j := range moved {
			moved[j] += k[i][j] * u
		}
		l, a, b := weighting.AbsorbanceLab(&moved, depth)
		d := difference.DeltaE00(l0, a0, b0, l, a, b)
		s = append(s, u*depth/10)
		gain = append(gain, d/(u*depth/10))
		total += d * d
	}
	return gain, s, math.Sqrt(total), w
}


func TestScratch(t *testing.T) {
	p := wines()
	random := rand.New(rand.NewPCG(5, 5))
	lu := func(a, b float64) float64 { return math.Exp(math.Log(a) + random.Float64()*(math.Log(b)-math.Log(a))) }
	// wild three: where are gains large
	for range 3000 {
		r := reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002, A420: lu(0.001, 6), A520: lu(0.001, 6), A620: lu(0.001, 6)}
		gain, s, total, w := costs(p, r)
		if gain[0] > 95 || gain[1] > 170 || gain[2] > 138 {
			d := paleDepth(r.A520) / 10
			lo := 0.0
			for _, a := range w.Absorbance {
				lo = math.Min(lo, a*d)
			}
			fmt.Printf("WILD %.3f %.3f %.3f at depth %.3f %.3f %.3f gains %.0f lowest %.2f total %.2f s %.4f\n", r.A420, r.A520, r.A620, r.A420*d, r.A520*d, r.A620*d, gain, lo, total, s)
		}
	}
	base := func() reading.Readings {
		a := lu(0.01, 1.5)
		r := reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002, A420: a * (0.5 + 6*random.Float64()), A520: a, A620: a * (0.05 + 0.4*random.Float64())}
		return r
	}
	sets := [][]float64{{460, 560}, {450}, {570}, {280 + 100, 700}, {700}, {440, 480, 540, 580, 660, 700}, {400, 440, 460, 480, 500, 540, 560, 580, 600, 640, 660, 680, 700}, {430, 530, 610}, {425}, {530}, {525}, {615},{450,630},{495,550,625},{445,495,550,625},{450,570,630}, {500}, {600}}
	for _, set := range sets {
		n := 3 + len(set)
		top := make([]float64, n)
		var tot, q float64
		for range 300 {
			r := base()
			for _, nm := range set {
				x := (nm - 520) / 100
				a := r.A520 + x*(r.A620-r.A520)
				if nm < 520 {
					a = r.A520 - x*(r.A420-r.A520)
				}
				r.Extra = append(r.Extra, reading.At{nm, a * (0.9 + 0.2*random.Float64())})
			}
			gain, s, total, _ := costs(p, r)
			q = 0
			for i := range gain {
				top[i] = math.Max(top[i], gain[i])
				q += s[i] * s[i]
			}
			tot = math.Max(tot, total/math.Sqrt(q))
		}
		fmt.Printf("SET %v total*sqrt(n) %.0f gains %.0f\n", set, tot*math.Sqrt(float64(n)), top)
	}
	_ = slices.Sort[[]int]
}
