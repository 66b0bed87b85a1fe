package jcampdx

import (
	"fmt"
	"math"
	"strings"
)

// place is where a missing ordinate stands.
type place struct{ index, line int }

const placesTold = 10

// table is the data of a block as they are read, in the numbers of the file:
// factors and units come after.
type table struct {
	head  header
	at    int // line of the label
	pairs bool
	room  int // most points

	x       []float64 // of pairs only
	y       []float64 // NaN where missing
	missing []place   // the first few
	lacking int       // how many are missing

	shift    int  // points that the abscissas are ahead of the ordinates
	broken   bool // a line could not be read, so the points cannot be counted
	resync   bool // the next abscissa says where the data go on
	full     bool // more points than there is room for
	disorder bool // the order of the pairs was faulted

	// State of the ASDF decoder, see asdf.go.
	kind     kind
	diff     float64 // last difference
	wasDiff  bool    // the line before ended with a difference
	checking bool    // the next ordinate repeats the last
}

func newTable(h header, at int, pairs bool, room int) *table {
	return &table{head: h, at: at, pairs: pairs, room: room}
}

// line takes one line of data.
func (t *table) line(s *section, at int, text []byte) {
	if blank(text) || t.full {
		return
	}
	var err error
	if t.pairs {
		err = t.pairLine(s, at, text)
	} else {
		err = t.ordinateLine(s, at, text)
	}
	if err != nil {
		s.faultf(at, "%v", err)
		t.broken, t.resync, t.wasDiff = true, true, false
	}
}

func blank(text []byte) bool {
	for _, c := range text {
		if c != ' ' && c != '\t' {
			return false
		}
	}
	return true
}

// put appends n ordinates of the same value. A table that is full takes none.
func (t *table) put(at int, y float64, n int) error {
	if n > t.room-len(t.y) {
		t.full = true
		if t.room < MaxPoints {
			return fmt.Errorf("the file holds more than %d points in all: split it", MaxTotalPoints)
		}
		return fmt.Errorf("the block holds more than %d points here, which is the most that is read", MaxPoints)
	}
	for range n {
		if math.IsNaN(y) {
			if len(t.missing) < placesTold {
				t.missing = append(t.missing, place{len(t.y), at})
			}
			t.lacking++
		}
		t.y = append(t.y, y)
	}
	return nil
}

// checkX compares the abscissa at the head of a line with that of the point it
// belongs to: half a step, or half of the last printed digit where that is
// coarser. After a fault the lines that follow are judged from this one on.
func (t *table) checkX(s *section, at, point int, x number) {
	step := t.head.step()
	if !t.head.first.given || math.IsNaN(t.head.first.value) || step == 0 && t.head.points != 1 {
		return // already faulted
	}
	scale := t.head.xFactor.value
	is := x.value * scale
	want := t.head.abscissa(point + t.shift)
	tolerance := 0.5*max(math.Abs(step), x.digit*scale)*(1+1e-9) + 1e-12*math.Abs(want)
	if math.Abs(is-want) <= tolerance {
		t.resync = false
		return
	}
	if !t.resync {
		s.faultf(at, "abscissa check: the line starts at %.7g, but its first ordinate is point %d and belongs to %.7g%s", is, point+1, want, t.lost(is-want))
	}
	t.resync = false
	if off := math.Round((is - want) / step); step != 0 && math.Abs(off) <= MaxPoints {
		t.shift += int(off)
	}
}

// lost says what an abscissa that is off tells.
func (t *table) lost(off float64) string {
	step := t.head.step()
	n := math.Round(off / step)
	switch {
	case step == 0 || math.Abs(off-n*step) > 0.1*math.Abs(step) || math.Abs(n) > float64(t.head.points):
		return ": ##FIRSTX=, ##LASTX=, ##XFACTOR= or the line is wrong"
	case n > 0:
		return fmt.Sprintf(": ordinates lost before it: %g, or ##FIRSTX=, ##LASTX= or ##NPOINTS= is wrong", n)
	}
	return fmt.Sprintf(": ordinates too many before it: %g, or ##FIRSTX=, ##LASTX= or ##NPOINTS= is wrong", -n)
}

// pairLine reads X, Y pairs: blanks or semicolons between the pairs, a comma
// or blanks within one.
func (t *table) pairLine(s *section, at int, text []byte) error {
	words := strings.FieldsFunc(string(text), func(r rune) bool { return r == ' ' || r == '\t' || r == ';' })
	if err := refuseDecimalComma(words); err != nil {
		return err
	}
	var values []string
	for _, word := range words {
		for v := range strings.SplitSeq(word, ",") {
			if v != "" {
				values = append(values, v)
			}
		}
	}
	if len(values)%2 != 0 {
		return fmt.Errorf("a line of %d numbers: pairs of abscissa and ordinate are needed", len(values))
	}
	for i := 0; i < len(values); i += 2 {
		x, _, err := decimal(values[i])
		if err != nil {
			return fmt.Errorf("the abscissa %s: %w", quoted(values[i]), err)
		}
		y := math.NaN()
		if values[i+1] != "?" {
			if y, _, err = decimal(values[i+1]); err != nil {
				return fmt.Errorf("the ordinate %s: %w", quoted(values[i+1]), err)
			}
		}
		if err := t.put(at, y, 1); err != nil {
			return err
		}
		t.x = append(t.x, x)
		t.checkOrder(s, at)
	}
	return nil
}

// refuseDecimalComma refuses a line of pairs whose commas may be decimal ones:
// a comma right between two digits parts a pair only where numbers with points
// stand around it and every pair of the line is written so.
func refuseDecimalComma(words []string) error {
	commas, points := 0, false
	for _, word := range words {
		points = points || strings.Contains(word, ".")
		for i := 1; i+1 < len(word); i++ {
			if word[i] == ',' && digit(word[i-1]) && digit(word[i+1]) {
				commas++
			}
		}
	}
	if commas == 0 || points && commas == len(words) {
		return nil
	}
	return fmt.Errorf("a comma stands between digits and may be a decimal comma: write decimals with a point and a blank after a comma that parts a pair")
}

// checkOrder faults the first pair that breaks the order of the others.
func (t *table) checkOrder(s *section, at int) {
	n := len(t.x)
	if n < 2 || t.disorder {
		return
	}
	before, last := t.x[n-2], t.x[n-1]
	switch {
	case last == before:
		s.faultf(at, "the abscissa %g stands twice: keep one ordinate for each", last)
	case (last > before) != (t.x[1] > t.x[0]):
		s.faultf(at, "the abscissa %g follows %g: abscissas must all ascend or all descend", last, before)
	default:
		return
	}
	t.disorder = true
}

// close makes the checks that need all of the data.
func (t *table) close(s *section, at int) {
	h := &t.head
	if t.broken || t.full {
		return // the count means nothing, and the reason was given
	}
	if len(t.y) == 0 {
		s.faultf(t.at, "no ordinate follows the label of the data")
		return
	}
	if h.points > 0 && len(t.y) != h.points {
		s.faultf(h.pointsLine, "##NPOINTS= says %d, but %d points were found up to line %d", h.points, len(t.y), at)
	}
	if t.pairs {
		t.checkEnd(s, "FIRSTX", h.first, t.x[0])
		t.checkEnd(s, "LASTX", h.last, t.x[len(t.x)-1])
	}
	t.checkFirstY(s)
}

// checkEnd compares a pair's abscissa with the label that says what it is.
func (t *table) checkEnd(s *section, label string, want number, x float64) {
	is := x * t.head.xFactor.value
	if want.given && math.Abs(is-want.value) > 0.5*want.digit+1e-6*math.Abs(is) {
		s.faultf(want.line, "##%s= says %g, but the data have %g there", label, want.value, is)
	}
}

// checkFirstY warns where ##FIRSTY= is neither the first ordinate nor its
// number in the file; both are found.
func (t *table) checkFirstY(s *section) {
	want, raw := t.head.firstY, t.y[0]
	is := raw * t.head.yFactor.value
	near := func(v float64) bool {
		return math.Abs(v-want.value) <= want.digit+t.head.yFactor.value+1e-6*math.Abs(v)
	}
	if !want.given || math.IsNaN(want.value) || math.IsNaN(raw) || near(is) || near(raw) {
		return
	}
	s.block.warn("first_y", fmt.Sprintf("##FIRSTY= says %g, but the first ordinate is %g: see that ##YFACTOR= is right.", want.value, is))
}
