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
		out[g].Share = meanInterval(shares[g], chance[g]/float64(n), Interval{Low: 0, High: 1}, o.Level)
		if o.Kind == Scores {
			score := meanInterval(scores[g], (o.To-o.From)*(o.To-o.From)/12, Interval{Low: o.From, High: o.To}, o.Level)
			out[g].Score = &score
		}
	}
	return out
}

// share is the share of the others of n glasses that come after the one with this
// rank, of which twice is given; those alike count half.
func share(twice, n int) float64 { return float64(2*n-twice) / float64(2*(n-1)) }

// meanInterval is the mean of what judges gave, within the bounds of what can be given. For
// the spread one more judge is counted, who gives anything within them; chance is the
// variance of that.
func meanInterval(given []float64, chance float64, bounds Interval, level float64) Interval {
	n := float64(len(given))
	if n == 1 {
		return Interval{given[0], bounds.Low, bounds.High}
	}
	mean, variance := stat.MeanVariance(given, nil)
	half := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(1-level/2) * math.Sqrt(((n-1)*variance+chance)/n/n)
	return Interval{mean, max(bounds.Low, mean-half), min(bounds.High, mean+half)}
}
