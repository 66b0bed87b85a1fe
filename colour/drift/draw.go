package drift

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// colourNodes is at how many of the times the spectrum is estimated anew; between them
// colours and their slopes are interpolated.
const colourNodes = 7

// colourTrack is the colour along the mean drift, its slopes by what is fitted, and the
// errors that it has from the start.
type colourTrack struct {
	lab    [leavingTimes][3]float64
	slopes [leavingTimes][bands][3]float64
	shape  [][3]float64 // independent errors of L*, a*, b*
	known  bool         // the colour now is, so the reading's error does not move it
}

// track estimates the colours along the mean drift by the law that stands.
func (s *leaver) track(lot Lot, v cie.View) (*colourTrack, error) {
	w, err := weightingOf(v)
	if err != nil {
		return nil, err
	}
	tr := colourTrack{known: lot.Lab != nil && lot.From == nil}
	const step = (leavingTimes - 1) / (colourNodes - 1)
	for i := 0; i < leavingTimes; i += step {
		if err := s.node(&tr, i, w, v); err != nil {
			return nil, err
		}
	}
	for i := range leavingTimes {
		if i%step != 0 {
			from := i - i%step
			tr.between(i, from, from+step)
		}
	}
	if lot.Lab != nil {
		if sum := lot.Lab.L + lot.Lab.A + lot.Lab.B; math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, colour.FieldErrors{{Field: "lab", Message: "the lot's colour must be three numbers"}}
		}
		if lot.Lab.View != v {
			return nil, colour.FieldErrors{{Field: "lab", Message: fmt.Sprintf("the lot's colour holds under %v, the limits under %v: they must be the same", lot.Lab.View, v)}}
		}
		now := tr.lab[0]
		for i := range tr.lab {
			tr.lab[i][0] += lot.Lab.L - now[0]
			tr.lab[i][1] += lot.Lab.A - now[1]
			tr.lab[i][2] += lot.Lab.B - now[2]
		}
		if tr.known {
			return &tr, nil
		}
	}
	wine := lot.From
	if wine == nil {
		estimated, err := wineOf(s.read(s.y))
		if err != nil {
			return nil, err
		}
		wine = &estimated
	}
	_, jacobian := w.AbsorbanceJacobian(&wine.Absorbance, v.DepthMM)
	for i := range wine.Terms {
		if wine.Terms[i].Cause == spectrum.Shape {
			effect, _ := wine.Terms[i].PerTerm(&jacobian)
			tr.shape = append(tr.shape, effect)
		}
	}
	return &tr, nil
}

// node sets the colour and its slopes at one time.
func (s *leaver) node(tr *colourTrack, i int, w *cie.Weighting, v cie.View) (err error) {
	y := s.centre(i)
	if tr.lab[i], err = labOf(s.read(y), w, v); err != nil {
		return err
	}
	for b := range bands {
		h := math.Max(s.sd[0][i][b], s.u[b])
		moved := y
		moved[b] += h
		lab, err := labOf(s.read(moved), w, v)
		if err != nil {
			return err
		}
		for k := range lab {
			tr.slopes[i][b][k] = (lab[k] - tr.lab[i][k]) / h
		}
	}
	return nil
}

func (tr *colourTrack) between(i, from, to int) {
	f := float64(i-from) / float64(to-from)
	for k := range 3 {
		tr.lab[i][k] = (1-f)*tr.lab[from][k] + f*tr.lab[to][k]
		for b := range bands {
			tr.slopes[i][b][k] = (1-f)*tr.slopes[from][b][k] + f*tr.slopes[to][b][k]
		}
	}
}

// centre is the mean drift by the law that stands.
func (s *leaver) centre(i int) (y [bands]float64) {
	for b := range bands {
		y[b] = s.y[b] + s.mean[0][i][b]
	}
	return y
}

// face is what is expected at one time.
func (s *leaver) face(i int) (a, lab [bands]float64) {
	if s.colours != nil {
		lab = s.colours.lab[i]
	}
	return s.read(s.centre(i)), lab
}

// one draws a lot and follows it until it is out: the day, infinite where it stays in,
// and the limit that it is farthest beyond then.
func (s *leaver) one(r *rand.Rand, law int) (day float64, by Quantity) {
	var rate, misread, offset [bands]float64
	heavy := 1 / math.Sqrt(distuv.ChiSquared{K: s.class.freedom, Src: r}.Rand()/s.class.freedom)
	var n [bands]float64
	for b := range bands {
		n[b], misread[b] = r.NormFloat64(), r.NormFloat64()*s.u[b]
	}
	for i := range bands {
		for j := range i + 1 {
			rate[i] += s.root[i][j] * n[j] * heavy
		}
	}
	if s.colours != nil {
		for _, effect := range s.colours.shape {
			z := r.NormFloat64()
			for k := range offset {
				offset[k] += z * effect[k]
			}
		}
	}
	before := math.Inf(-1)
	for i := range s.days {
		out, q := s.outside(i, law, &rate, &misread, &offset)
		if out > 0 {
			if i == 0 {
				return s.days[0], q
			}
			f := 1.0
			if !math.IsInf(out, 1) {
				f = -before / (out - before)
			}
			return s.days[i-1] + f*(s.days[i]-s.days[i-1]), q
		}
		before = out
	}
	return math.Inf(1), ""
}

// outside is how far a drawn lot is beyond its limits at a time, 0 or less within, and
// which is the farthest.
func (s *leaver) outside(i, law int, rate, misread, offset *[bands]float64) (worst float64, by Quantity) {
	var y, lab [bands]float64
	centre := s.centre(i)
	for b := range bands {
		y[b] = s.y[b] + misread[b] + s.mean[law][i][b] + rate[b]*s.sd[law][i][b]
	}
	if tr := s.colours; tr != nil {
		for k := range lab {
			lab[k] = tr.lab[i][k] + offset[k]
			for b := range bands {
				d := y[b] - centre[b]
				if tr.known {
					d -= misread[b]
				}
				lab[k] += d * tr.slopes[i][b][k]
			}
		}
	}
	a := s.read(y)
	worst = math.Inf(-1)
	for _, p := range s.parts {
		if e := p.excess(a, lab, s.reference); e > worst {
			worst, by = e, p.quantity
		}
	}
	return worst, by
}
