package blend

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

const (
	draws = 400 // of everything uncertain
	// acceptableProbability is the probability from which a dose counts as
	// within tolerance.
	acceptableProbability = 0.95
)

// drawn is what one draw of everything uncertain says.
type drawn struct {
	strand  strand
	own     float64          // the factor that a pour is off by
	closest float64          // dose
	within  [scanPoints]bool // tolerance, at the doses of the scan
	atBest  bool             // within tolerance at the closest dose of the centre
}

// draw fills the interval of the closest dose and the acceptable doses.
func (p *Path) draw(s *seeker, best float64, n *Nearest) {
	random := rand.New(rand.NewPCG(520, 420)) // any fixed seed: the answer must repeat
	k := len(p.errors)
	free := make([]float64, draws*(k+1))
	for i := range free {
		free[i] = random.NormFloat64()
	}
	all := make([]drawn, draws)
	var group sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), 8)
	for worker := range workers {
		group.Go(func() {
			z := make([]float64, k)
			for i := worker; i < draws; i += workers {
				mine := free[i*(k+1) : (i+1)*(k+1)]
				p.errorsAt(mine[:k], z)
				st := p.strand(z)
				all[i] = s.judge(&st, best, 1+doseU*mine[k])
			}
		})
	}
	group.Wait()
	if !n.AtEnd {
		doses := make([]float64, draws)
		for i := range all {
			doses[i] = all[i].closest
		}
		slices.Sort(doses)
		n.Interval95 = &[2]float64{quantile(doses, 0.025), quantile(doses, 0.975)}
	}
	if s.target.Tolerance > 0 && s.target.Lab != nil {
		n.Acceptable = s.acceptable(all, best)
	}
}

// judge looks along one strand, a pour being off by the factor own.
func (s *seeker) judge(st *strand, best, own float64) drawn {
	d := drawn{strand: *st, own: own}
	at, least := 0, math.Inf(1)
	for i := range scanPoints {
		m := s.miss(st, s.grid(i)*own)
		d.within[i] = m <= s.target.Tolerance
		if m < least {
			at, least = i, m
		}
	}
	d.atBest = s.miss(st, best*own) <= s.target.Tolerance
	if at == scanPoints-1 {
		d.closest = s.beyond(st)
		return d
	}
	lo, hi := s.grid(max(at-1, 0))*own, s.grid(at+1)*own
	d.closest = s.golden(st, lo, hi, 1e-4*s.largest)
	return d
}

// beyond is the dose of closest approach along a strand that may come nearer still past
// the largest dose: cut there, an interval would tell where the ladder ends.
func (s *seeker) beyond(st *strand) float64 {
	further := *s
	for {
		further.largest = math.Min(2*further.largest, float64(MaxDose))
		dose := further.closest(st)
		if dose < further.largest*(1-1e-4) || further.largest >= float64(MaxDose) {
			return dose
		}
	}
}

// errorsAt turns independent standard normals into errors of the path.
func (p *Path) errorsAt(free, z []float64) {
	for k := range z {
		if !p.learned {
			z[k] = free[k]
			continue
		}
		z[k] = p.mean[k]
		for j := 0; j <= k; j++ {
			z[k] += p.spread.At(k, j) * free[j]
		}
	}
}

// hits is the share of the draws that are within tolerance at a dose.
func (s *seeker) hits(all []drawn, dose float64) float64 {
	var n atomic.Int64
	var group sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), 8)
	for worker := range workers {
		group.Go(func() {
			for i := worker; i < len(all); i += workers {
				if s.miss(&all[i].strand, dose*all[i].own) <= s.target.Tolerance {
					n.Add(1)
				}
			}
		})
	}
	group.Wait()
	return float64(n.Load()) / float64(len(all))
}

// point is a dose with the probability that it is within tolerance.
type point struct{ dose, probability float64 }

// leaves is the dose between in and out at which the probability falls below the
// acceptable one, to a width.
func (s *seeker) leaves(all []drawn, in, out point, width float64) float64 {
	for math.Abs(out.dose-in.dose) > width {
		mid := point{dose: (in.dose + out.dose) / 2}
		if mid.probability = s.hits(all, mid.dose); mid.probability >= acceptableProbability {
			in = mid
		} else {
			out = mid
		}
	}
	t := (in.probability - acceptableProbability) / (in.probability - out.probability)
	return in.dose + t*(out.dose-in.dose)
}

// acceptable is the run of doses about best (or about the surest dose of the
// scan) with enough hits. Its edges are closed in on, since the points of the scan
// lie apart by how far the ladder goes, and the answer must not depend on that.
func (s *seeker) acceptable(all []drawn, best float64) *[2]float64 {
	var hits [scanPoints]int
	atBest := 0
	for i := range all {
		for j, in := range all[i].within {
			if in {
				hits[j]++
			}
		}
		if all[i].atBest {
			atBest++
		}
	}
	var line []point
	placed := false
	for i := range scanPoints {
		d := s.grid(i)
		if !placed && d >= best {
			line = append(line, point{best, float64(atBest) / draws})
			placed = true
		}
		if d != best {
			line = append(line, point{d, float64(hits[i]) / draws})
		}
	}
	top := 0
	for i := range line {
		if line[i].probability > line[top].probability || (line[i].probability == line[top].probability && math.Abs(line[i].dose-best) < math.Abs(line[top].dose-best)) {
			top = i
		}
	}
	if line[top].probability < acceptableProbability {
		return nil
	}
	edge := func(step int) float64 {
		i := top
		for i+step >= 0 && i+step < len(line) && line[i+step].probability >= acceptableProbability {
			i += step
		}
		if i+step < 0 || i+step >= len(line) {
			return line[i].dose
		}
		return s.leaves(all, line[i], line[i+step], 1e-4*(1+best))
	}
	return &[2]float64{edge(-1), edge(1)}
}

func quantile(ascending []float64, q float64) float64 {
	x := q * float64(len(ascending)-1)
	i := int(x)
	if i+1 >= len(ascending) {
		return ascending[i]
	}
	return ascending[i] + (x-float64(i))*(ascending[i+1]-ascending[i])
}
