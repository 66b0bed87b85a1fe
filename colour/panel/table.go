package panel

// Table is what a panel's judges said.
type Table struct {
	// Doses has a row for each glass: mL of the addition per 100 mL of base.
	Doses []float64
	// Answers has a row for each judge and in it a column for each glass; NaN where
	// the judge did not have the glass, or said nothing of it.
	Answers [][]float64
}

// Answer is the kind of answer that was asked for.
type Answer string

// The kinds of answers.
const (
	// Ranks: 1 is the glass that a judge puts first. Only the order counts, so that
	// glasses ranked alike may carry the same rank in any of the usual ways.
	Ranks Answer = "ranks"
	// Scores: the more the better. Two glasses may have the same score.
	Scores Answer = "scores"
)

// DefaultLevel is the usual risk of finding a difference where there is none.
const DefaultLevel = 0.05

// Options say how a table is to be read.
type Options struct {
	// Kind is what the answers are.
	Kind Answer
	// Ties says that a judge may rank glasses alike. Scores may always be alike.
	Ties bool
	// From and To are the ends of the scale that scores are given on.
	From, To float64
	// Level is the risk of finding a difference where there is none, 0.001 to 0.2.
	Level float64
}
