package control

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// FalseAlarms is how often a T² chart rings without a cause, each point: as
// often as a value beyond three standard deviations, 2·(1-Φ(3)).
const FalseAlarms = 0.0027

// Column is one quantity of each lot.
type Column struct {
	// Name is what people call it, such as "a*".
	Name string
	// Values are in the order of time, as many as in the other columns.
	Values []float64
}

// T2 is a chart of Hotelling's T²: the squared distance of each lot from the
// mean of the base period, in the directions and sizes in which lots scatter.
//
// The covariance is that of the base period as a whole. It alone has limits
// that hold exactly with few points: the beta distribution for the base's own
// points and F for further ones. The covariance of successive differences
// (Sullivan, Woodall, J. Qual. Technol. 28 (1996) 398, from memory) is not
// swollen by a step within the base, but its limits are approximations, that
// by the beta distribution off by a factor of three at 15 and of ten at 50
// points in simulations. A base that shifts, which would blind this chart, is
// looked for by its own test instead (the warning base_shifts).
type T2 struct {
	// Names of the columns.
	Names []string
	// BasePoints is how many points mean and covariance were estimated from.
	BasePoints int
	// Means and Sigmas are of each column over the base period, in its unit;
	// Correlation is between columns.
	Means, Sigmas []float64
	Correlation   [][]float64
	// BaseLimit holds for points of the base period, FurtherLimit for others.
	// FurtherLimit is for one new lot at a time.
	BaseLimit, FurtherLimit float64
	// Kept are the places in the series of the points on the chart, in order;
	// the first BasePoints of them are the base period.
	Kept []int
	// Values are the T² of the points of Kept, without unit, 0 or more.
	Values []float64
	// Signals are points above their limit.
	Signals []T2Signal
	// Warnings: few_base, base_shifts.
	Warnings []colour.Warning
}

// T2Signal is a point above its limit, by TogetherBeyond.
type T2Signal struct {
	Signal
	// Contributions are by how much T² would fall without each column, given
	// the others (Runger, Alt, Montgomery, Commun. Stat. Theory Methods 25
	// (1996) 2203, from memory). They need not add up to T².
	Contributions []float64
	// Leading is the place of the column that contributes most. Side of the
	// signal is on which side of what the other columns lead to expect it is.
	Leading int
}

// pointsPerColumn of the base: common practice, no source.
const pointsPerColumn = 5

// NewT2 charts columns together, in the order of time, with limits after
// Tracy1992 at FalseAlarms; n points in the base and p columns have
//
//	BaseLimit    = (n-1)²/n · B(1-α; p/2, (n-p-1)/2)
//	FurtherLimit = p(n+1)(n-1)/(n(n-p)) · F(1-α; p, n-p)
//
// Errors are colour.FieldErrors at columns, first, without or known: fewer than
// two columns, columns of different lengths, values that are not finite, fewer
// points than MinBase or five a column in the base period, a column without
// spread or one that follows from the others, a known level.
func NewT2(columns []Column, base Base) (T2, error) {
	k, err := keepColumns(columns, base)
	if err != nil {
		return T2{}, fmt.Errorf("control: %w", err)
	}
	p, n := len(columns), k.base
	c := T2{
		BasePoints: n, Kept: k.at, Warnings: base.warnings(n),
		BaseLimit: baseT2Limit(n, p), FurtherLimit: furtherT2Limit(n, p),
	}
	picked := make([][]float64, p)
	for j, col := range columns {
		picked[j] = k.pick(col.Values)
		m := mean(picked[j][:n])
		c.Names = append(c.Names, col.Name)
		c.Means = append(c.Means, m)
		c.Sigmas = append(c.Sigmas, math.Sqrt(sumSquares(picked[j][:n], m)/float64(n-1)))
	}
	inverse, err := c.correlate(picked)
	if err != nil {
		return T2{}, fmt.Errorf("control: %w", err)
	}
	c.Warnings = append(c.Warnings, c.shifts(picked)...)
	c.judge(picked, inverse)
	return c, nil
}

func keepColumns(columns []Column, base Base) (kept, error) {
	var faults colour.FieldErrors
	if len(columns) < 2 {
		faults.Addf("columns", len(columns), "give two columns or more; a single one has the chart of individuals")
		return kept{}, faults.Err()
	}
	if base.Known != nil {
		faults.Addf("known", *base.Known, "is a level of one column; give the lots of the base period instead")
		base.Known = nil
	}
	n := len(columns[0].Values)
	for j, col := range columns {
		field := fmt.Sprintf("columns/%d/values", j)
		if len(col.Values) != n {
			faults.Addf(field, len(col.Values), "column %q must have a value for each of the %d lots of column %q", col.Name, n, columns[0].Name)
		}
		checkFinite(field, col.Values, &faults)
	}
	k := base.keep(n, max(MinBase, pointsPerColumn*len(columns)), &faults)
	return k, faults.Err()
}

// judge computes T² of each point and compares it with its limit. inverse is of
// the correlation.
func (c *T2) judge(picked, inverse [][]float64) {
	p := len(c.Names)
	z, w := make([]float64, p), make([]float64, p)
	c.Values = make([]float64, len(c.Kept))
	for i := range c.Values {
		for j := range z {
			z[j] = (picked[j][i] - c.Means[j]) / c.Sigmas[j]
		}
		var t2 float64
		for j, row := range inverse {
			w[j] = 0
			for l, x := range row {
				w[j] += x * z[l]
			}
			t2 += w[j] * z[j]
		}
		c.Values[i] = t2
		limit := c.FurtherLimit
		if i < c.BasePoints {
			limit = c.BaseLimit
		}
		if t2 > limit {
			c.Signals = append(c.Signals, c.signal(c.Kept[i], w, inverse))
		}
	}
}

// signal tells of the point at a place, where w is the inverse correlation times
// the point's standardised deviations.
func (c *T2) signal(at int, w []float64, inverse [][]float64) T2Signal {
	s := T2Signal{Contributions: make([]float64, len(w))}
	for j := range w {
		s.Contributions[j] = w[j] * w[j] / inverse[j][j]
		if s.Contributions[j] > s.Contributions[s.Leading] {
			s.Leading = j
		}
	}
	side, word := Above, "higher"
	if w[s.Leading] < 0 {
		side, word = Below, "lower"
	}
	s.Signal = newSignal(TogetherBeyond, side, []int{at}, at)
	s.Text += fmt.Sprintf(" Most of it is %s, %s than the rest of the lot leads one to expect.", c.Names[s.Leading], word)
	return s
}
