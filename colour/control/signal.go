package control

import "fmt"

// Side says where a signal lies.
type Side int8

// Sides of the centre; Neither for a pattern that has none.
const (
	Below   Side = -1
	Neither Side = 0
	Above   Side = 1
)

// Signal is one pattern that is unlikely without a cause.
type Signal struct {
	Rule Rule
	// Side of the centre, or direction of a trend or of a jump.
	Side Side
	// At is the place in the series of the point at which the rule rang first.
	At int
	// Points are the places of the points that make it, in order. A pattern
	// that goes on after At is one signal with more points. Points beyond an
	// action limit are a signal each.
	Points []int
	// Text says what it means, for whoever made the lots, in whole sentences.
	Text string
}

func newSignal(r Rule, side Side, at []int, rang int) Signal {
	return Signal{Rule: r, Side: side, At: rang, Points: at, Text: meaning(r, side, len(at))}
}

// meaning is the sentence for people. n is the number of points that make it.
func meaning(r Rule, side Side, n int) string {
	high, up := "higher", "up"
	if side == Below {
		high, up = "lower", "down"
	}
	switch r {
	case BeyondAction:
		return fmt.Sprintf("This lot is much %s than the usual scatter of lots explains. Look for what was different with it.", high)
	case TwoOfThree:
		return fmt.Sprintf("%d lots close together are clearly %s than usual: the level has probably moved %s.", n, high, up)
	case FourOfFive:
		return fmt.Sprintf("%d lots close together are somewhat %s than usual: the level has probably moved %s a little.", n, high, up)
	case EightOneSide, NineOneSide:
		return fmt.Sprintf("%d lots in a row are %s than the usual level: it has moved %s and stayed there.", n, high, up)
	case SixTrend:
		return fmt.Sprintf("%d lots in a row are each %s than the one before: something is changing slowly.", n, high)
	case FourteenAlternating:
		return fmt.Sprintf("%d lots in a row go up and down by turns: two sources may be alternating, such as two tanks or two instruments.", n)
	case FifteenNear:
		return fmt.Sprintf("%d lots in a row lie closer to the usual level than chance allows: the limits are too wide for these lots, "+
			"or the values were smoothed or rounded.", n)
	case EightFar:
		return fmt.Sprintf("%d lots in a row are well away from the usual level, some higher and some lower: "+
			"lots of two kinds are probably mixed.", n)
	case RangeBeyond:
		return fmt.Sprintf("From one lot to the next the value jumped %s further than it usually does. Look at what changed between them.", up)
	case AverageBeyond:
		return fmt.Sprintf("Taken together, recent lots are %s than the usual level: it has drifted %s.", high, up)
	}
	return "Taken together, the values of this lot do not go with each other as they usually do. Look for what was different with it."
}
