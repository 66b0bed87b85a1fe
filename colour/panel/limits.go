package panel

// What a panel may be made of: glasses for the whole panel and for one judge, and
// judges.
const (
	FewestGlasses = 2
	MostGlasses   = 24
	MostPerJudge  = 12
	FewestJudges  = 2
	MostJudges    = 200
)
