package panel

import "slices"

// sums are twice the deviations of the rank sums, one a glass.
type sums [MostGlasses]int16

// reached are the rank sums that orders of the judges so far lead to, with the
// probability of each, in the order in which they were found: adding up in the
// order of a map would make the last digit of a p differ from run to run.
type reached struct {
	at   map[sums]int
	sums []sums
	p    []float64
}

func newReached(about int) *reached { return &reached{at: make(map[sums]int, about)} }

func (r *reached) add(s sums, p float64) {
	i, ok := r.at[s]
	if !ok {
		i = len(r.sums)
		r.at[s] = i
		r.sums, r.p = append(r.sums, s), append(r.p, 0)
	}
	r.p[i] += p
}

// after adds a judge, each of whose ways to arrange the ranks is as likely.
// Symmetric says that sums may be put in rising order.
func (r *reached) after(b block, ways float64, symmetric bool) *reached {
	next := newReached(len(r.sums))
	ranks := slices.Clone(b.twice)
	slices.Sort(ranks)
	for more := true; more; more = nextArrangement(ranks) {
		for k, s := range r.sums {
			for i, g := range b.glasses {
				s[g] += int16(centred(ranks[i], len(ranks)))
			}
			if symmetric {
				slices.Sort(s[:len(ranks)])
			}
			next.add(s, r.p[k]/ways)
		}
	}
	return next
}
