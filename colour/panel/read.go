package panel

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// judged is a table as the tests need it.
type judged struct {
	doses   []float64
	blocks  []block
	leftOut []int
	// count is how many steps may be taken to count all orders, and simulate how
	// often orders are drawn where more were needed.
	count    float64
	simulate int
}

// block is what one judge said of glasses: twice their ranks, which are whole
// also where glasses are alike; 2 for the first.
type block struct {
	judge   int // its row in the table
	glasses []int
	twice   []int
}

// read checks a table and ranks it within each judge.
func read(t Table, o Options) (judged, error) {
	faults := o.faults()
	faults = append(faults, t.faults(o)...)
	if len(faults) > 0 {
		return judged{}, faults
	}
	j := judged{doses: t.Doses, count: affordable, simulate: Simulated}
	for row, answers := range t.Answers {
		b := block{judge: row}
		var values []float64
		for g, v := range answers {
			if !math.IsNaN(v) {
				b.glasses, values = append(b.glasses, g), append(values, v)
			}
		}
		if len(values) < 2 {
			j.leftOut = append(j.leftOut, row)
			continue
		}
		if o.Kind == Scores {
			for i := range values {
				values[i] = -values[i] // the highest score is first
			}
		}
		b.twice = twiceRanks(values)
		j.blocks = append(j.blocks, b)
	}
	return j, j.compared().Err()
}

func (o Options) faults() (faults colour.FieldErrors) {
	if o.Kind != Ranks && o.Kind != Scores {
		faults.Addf("kind", string(o.Kind), "answers are %q or %q", Ranks, Scores)
	}
	if o.Kind == Scores && !(o.From < o.To && !math.IsInf(o.To-o.From, 0)) {
		faults.Addf("to", o.To, "a scale ends above %g, where it begins", o.From)
	}
	if !(o.Level >= 0.001 && o.Level <= 0.2) {
		faults.Addf("level", o.Level, "the level is from 0.001 to 0.2, usually %g", DefaultLevel)
	}
	return faults
}

func (t Table) faults(o Options) (faults colour.FieldErrors) {
	n := len(t.Doses)
	if n < FewestGlasses || n > MostGlasses {
		faults.Addf("doses", n, "a panel compares %d to %d glasses, each with its dose", FewestGlasses, MostGlasses)
		return faults
	}
	for i, d := range t.Doses {
		if !(d >= 0) || math.IsInf(d, 0) {
			faults.Addf(fmt.Sprintf("doses/%d", i), d, "a dose is a number of 0 or more, mL per 100 mL of base")
		}
	}
	if len(t.Answers) > MostJudges {
		faults.Addf("answers", len(t.Answers), "a panel has up to %d judges", MostJudges)
		return faults
	}
	for j, answers := range t.Answers {
		place := fmt.Sprintf("answers/%d", j)
		if len(answers) != n {
			faults.Addf(place, len(answers), "a judge has one answer for each of the %d glasses, left blank where there is none", n)
			continue
		}
		first := map[float64]int{}
		for g, v := range answers {
			if before, same := first[v]; o.Kind == Ranks && !o.Ties && same {
				faults.Addf(fmt.Sprintf("%s/%d", place, g), v, "the glass at %d has rank %g too, and this panel allows no ties: give each glass a rank of its own", before, v)
			} else if wrong := o.wrong(v, n); wrong != "" {
				faults.Addf(fmt.Sprintf("%s/%d", place, g), v, "%s", wrong)
			}
			first[v] = g
		}
	}
	return faults
}

// wrong is what is wrong with an answer for one of n glasses; empty for none, and where
// there is no answer.
func (o Options) wrong(v float64, n int) string {
	switch {
	case math.IsNaN(v):
		return ""
	case math.IsInf(v, 0):
		return "an answer is a finite number"
	case o.Kind == Ranks && (v < 1 || v > float64(n)):
		return fmt.Sprintf("a rank is from 1, the first, to %d", n)
	case o.Kind == Scores && (v < o.From || v > o.To):
		return fmt.Sprintf("a score is from %g to %g", o.From, o.To)
	}
	return ""
}

// compared finds what makes a comparison of all glasses impossible.
func (j judged) compared() (faults colour.FieldErrors) {
	if len(j.blocks) < FewestJudges {
		faults.Addf("answers", len(j.blocks), "a result needs %d judges or more who answered for two glasses or more", FewestJudges)
		return faults
	}
	answers := j.answers()
	for g, n := range answers {
		if n == 0 {
			faults.Addf(fmt.Sprintf("doses/%d", g), j.doses[g], "no judge compared this glass with another: leave it out")
		}
	}
	if len(faults) > 0 {
		return faults
	}
	if !linked(j.together()) {
		faults.Addf("answers", nil, "the glasses fall into groups that no judge compared with each other: analyse each group apart, or let another judge have glasses of both")
	}
	return faults
}

// answers is how many judges answered for each glass.
func (j judged) answers() []int {
	n := make([]int, len(j.doses))
	for _, b := range j.blocks {
		for _, g := range b.glasses {
			n[g]++
		}
	}
	return n
}

// balance says how many glasses a judge has and with how many judges each pair is
// (λ), and whether these, and the judges of each glass, are the same throughout.
func (j judged) balance() (size, lambda int, even bool) {
	size = len(j.blocks[0].glasses)
	even = true
	for _, b := range j.blocks {
		even = even && len(b.glasses) == size
	}
	together := j.together()
	met, served := spread(together, besides), spread(together, func(i, k int) bool { return i == k })
	return size, met.Least, even && met.Even() && served.Even()
}

// together is with how many judges each two glasses are, and each one.
func (j judged) together() [][]int {
	n := counts(len(j.doses), len(j.doses))
	for _, b := range j.blocks {
		for _, a := range b.glasses {
			for _, c := range b.glasses {
				n[a][c]++
			}
		}
	}
	return n
}

// untied is the same design with glasses that no judge finds alike.
func (j judged) untied() judged {
	out := judged{doses: j.doses, count: j.count, simulate: j.simulate}
	for _, b := range j.blocks {
		twice := make([]int, len(b.glasses))
		for i := range twice {
			twice[i] = 2 * (i + 1)
		}
		out.blocks = append(out.blocks, block{b.judge, b.glasses, twice})
	}
	return out
}

// twiceRanks ranks values from the lowest; those alike share the mean of their
// places.
func twiceRanks(values []float64) []int {
	twice := make([]int, len(values))
	for i, v := range values {
		below, alike := 0, 0
		for _, w := range values {
			switch {
			case w < v:
				below++
			case w == v:
				alike++
			}
		}
		twice[i] = 2*below + alike + 1
	}
	return twice
}
