package control

import (
	"cmp"
	"slices"
)

// findRuns looks for each rule along the chart. It takes one pass a rule.
func findRuns(c Individuals, rules []Rule) []Signal {
	var found []Signal
	for _, r := range rules {
		found = append(found, c.find(r)...)
	}
	slices.SortStableFunc(found, func(a, b Signal) int { return cmp.Compare(a.At, b.At) })
	return found
}

func (c Individuals) find(r Rule) []Signal {
	switch r {
	case BeyondAction:
		return c.beyond()
	case TwoOfThree:
		return c.bothSides(r, 2, 3, 3)
	case FourOfFive:
		return c.bothSides(r, 4, 5, 2)
	case EightOneSide:
		return c.bothSides(r, 8, 8, 1)
	case NineOneSide:
		return c.bothSides(r, 9, 9, 1)
	case SixTrend:
		return c.trend()
	case FourteenAlternating:
		return c.alternating()
	case FifteenNear:
		return c.streaks(r, 15, func(i int) bool { return abs(c.Zones[i]) <= 1 })
	case EightFar:
		return c.far()
	}
	return nil
}

func abs(z Zone) Zone { return max(z, -z) }

func (c Individuals) beyond() []Signal {
	var out []Signal
	for i, z := range c.Zones {
		if abs(z) == Beyond {
			side := Above
			if z < 0 {
				side = Below
			}
			out = append(out, newSignal(BeyondAction, side, []int{c.Kept[i]}, c.Kept[i]))
		}
	}
	return out
}

// bothSides looks for k of m points in a row in zone least or further out, on
// the upper side and then on the lower.
func (c Individuals) bothSides(r Rule, k, m int, least Zone) []Signal {
	var out []Signal
	for _, side := range [2]Side{Above, Below} {
		out = append(out, c.someOf(r, side, k, m, least)...)
	}
	return out
}

// someOf looks for k of m points in a row in a zone. The rule rings only at a
// point that is in the zone itself (one that is not adds nothing to what rang
// before it), and at the beginning also where fewer than m points stand, as in
// Champ, Woodall, Technometrics 29 (1987) 393.
func (c Individuals) someOf(r Rule, side Side, k, m int, least Zone) []Signal {
	in := func(i int) bool { return Zone(side)*c.Zones[i] >= least }
	var out []Signal
	run := pattern{rule: r, side: side, lastRang: -1}
	window := make([]int, 0, m) // points in the zone among the last m
	for i := range c.Zones {
		if len(window) > 0 && window[0] <= i-m {
			window = window[1:]
		}
		if !in(i) {
			continue
		}
		window = append(window, i)
		if len(window) < k {
			continue
		}
		// What rings while some of its points are in the pattern at hand is more
		// of the same.
		if run.lastRang >= 0 && window[0] > run.lastRang {
			out = append(out, run.signal(c.Kept))
			run = pattern{rule: r, side: side, lastRang: -1}
		}
		run.ring(i, window)
	}
	if run.lastRang >= 0 {
		out = append(out, run.signal(c.Kept))
	}
	return out
}

// pattern is a signal being put together.
type pattern struct {
	rule           Rule
	side           Side
	points         []int // indexes into the chart
	rang, lastRang int
}

func (p *pattern) ring(i int, window []int) {
	if p.lastRang < 0 {
		p.rang = i
	}
	for _, at := range window {
		if len(p.points) == 0 || at > p.points[len(p.points)-1] {
			p.points = append(p.points, at)
		}
	}
	p.lastRang = i
}

func (p *pattern) signal(places []int) Signal {
	at := make([]int, len(p.points))
	for i, point := range p.points {
		at[i] = places[point]
	}
	return newSignal(p.rule, p.side, at, places[p.rang])
}

// streaks looks for n or more points in a row that are as holds says.
func (c Individuals) streaks(r Rule, n int, holds func(i int) bool) []Signal {
	var out []Signal
	c.stretches(holds, func(from, to int) {
		if to-from >= n {
			out = append(out, newSignal(r, Neither, c.places(from, to), c.Kept[from+n-1]))
		}
	})
	return out
}

// stretches calls take for each longest stretch [from, to) in which holds.
func (c Individuals) stretches(holds func(i int) bool, take func(from, to int)) {
	from := 0
	for i := range c.Values {
		if !holds(i) {
			take(from, i)
			from = i + 1
		}
	}
	take(from, len(c.Values))
}

func (c Individuals) places(from, to int) []int { return slices.Clone(c.Kept[from:to]) }

// far looks for eight beyond one standard deviation. It rings once the stretch
// has eight points with both sides among the last eight.
func (c Individuals) far() []Signal {
	const n = 8
	var out []Signal
	c.stretches(func(i int) bool { return abs(c.Zones[i]) >= 2 }, func(from, to int) {
		turned := from // where the last point on the other side is
		run := pattern{rule: EightFar, lastRang: -1}
		for i := from + 1; i < to; i++ {
			if (c.Zones[i] > 0) != (c.Zones[i-1] > 0) {
				turned = i
			}
			if i-from+1 < n || turned == from || turned-1 < i-n+1 {
				continue
			}
			window := make([]int, n)
			for j := range window {
				window[j] = i - n + 1 + j
			}
			run.ring(i, window)
		}
		if run.lastRang >= 0 {
			out = append(out, run.signal(c.Kept))
		}
	})
	return out
}

// trend looks for six points in a row that all rise or all fall.
func (c Individuals) trend() []Signal {
	const n = 6
	var out []Signal
	c.steps(func(last, next int) bool { return last == next }, func(from, to, direction int) {
		if to-from >= n {
			out = append(out, newSignal(SixTrend, Side(direction), c.places(from, to), c.Kept[from+n-1]))
		}
	})
	return out
}

// alternating looks for fourteen points in a row, up and down by turns.
func (c Individuals) alternating() []Signal {
	const n = 14
	var out []Signal
	c.steps(func(last, next int) bool { return last == -next }, func(from, to, _ int) {
		if to-from >= n {
			out = append(out, newSignal(FourteenAlternating, Neither, c.places(from, to), c.Kept[from+n-1]))
		}
	})
	return out
}

// steps calls take for each longest stretch [from, to) of points whose steps
// (+1 up, -1 down) go on as goesOn says; a step of nothing ends a stretch.
// direction is the step with which the stretch ends.
func (c Individuals) steps(goesOn func(last, next int) bool, take func(from, to, direction int)) {
	from, last := 0, 0
	for i := 1; i < len(c.Values); i++ {
		step := direction(c.Values[i] - c.Values[i-1])
		if step != 0 && (last == 0 || goesOn(last, step)) {
			last = step
			continue
		}
		take(from, i, last)
		from, last = i-1, step
		if step == 0 {
			from = i
		}
	}
	take(from, len(c.Values), last)
}

func direction(d float64) int {
	switch {
	case d > 0:
		return 1
	case d < 0:
		return -1
	}
	return 0
}
