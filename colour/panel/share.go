package panel

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// glassResults are the rank sums, shares and scores of each glass.
func glassResults(j judged, t Table, o Options) []GlassResult {
	out := make([]GlassResult, len(j.doses))
	shares, scores := make([][]float64, len(out)), make([][]float64, len(out))
	chance := make([]float64, len(out)) // the variance of shares given in any order, summed
	for _, b := range j.blocks {
		n := len(b.glasses)
		for i, g := range b.glasses {
			out[g].RankSum += float64(b.twice[i]) / 2
			shares[g] = append(shares[g], share(b.twice[i], n))
			scores[g] = append(scores[g], t.Answers[b.judge][g])
			chance[g] += float64(n+1) / float64(12*(n-1))
		}
	}
	for g := range out {
		n := len(shares[g])
		out[g].DoseMLPer100ML, out[g].Answers = j.doses[g], n
		out[g].MeanRank = out[g].RankSum / float64(n)
		out[g].Share = shareInterval(shares[g], chance[g]/float64(n), o.Level)
		if o.Kind == Scores && n > 1 {
			mean, variance := stat.MeanVariance(scores[g], nil)
			i := student(mean, variance, n, o.Level)
			out[g].Score = &i
		}
	}
	return out
}

// share is the share of the others of n glasses that come after the one with this
// rank, of which twice is given; those alike count half.
func share(twice, n int) float64 { return float64(2*n-twice) / float64(2*(n-1)) }

// shareInterval counts the spread of one more judge, who gives any order.
func shareInterval(shares []float64, chance, level float64) Interval {
	n := len(shares)
	if n == 1 {
		return Interval{shares[0], 0, 1}
	}
	mean, variance := stat.MeanVariance(shares, nil)
	i := student(mean, (float64(n-1)*variance+chance)/float64(n), n, level)
	i.Low, i.High = max(0, i.Low), min(1, i.High)
	return i
}

func student(mean, variance float64, n int, level float64) Interval {
	half := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(1-level/2) * math.Sqrt(variance/float64(n))
	return Interval{mean, mean - half, mean + half}
}
