package panel

// agreement is Kendall's W from the statistic,
//
//	W = Q/(J(t-1))
//
// for J judges and t glasses, and for balanced incomplete blocks of k glasses in
// which each two glasses meet λ times (Gibbons, Chakraborti, Nonparametric
// Statistical Inference, 4th ed., 12.6, from memory; k = t gives the first)
//
//	W = Q(k+1)/(λ(t²-1))
func agreement(j judged, t Test) *float64 {
	size, lambda, even := j.balance()
	if !even {
		return nil
	}
	n := float64(len(j.doses))
	w := min(1, t.Statistic*float64(size+1)/(float64(lambda)*(n*n-1)))
	return &w
}
