package ladder

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
)

// Logged is one pour of the addition as a log has it.
type Logged struct {
	No int     // place in the log, counted over all glasses, ascending
	ML float64 // above 0
}

// Tally is what a log says was poured into one glass.
type Tally struct {
	Glass string // its label
	Pours []Logged
	Now   Glass // what is in it; the zero Glass where that is not known
	// Dose is what its dose is called where the glass's base is not base alone but
	// holds further wines; 0 for the dose of Now.
	Dose blend.Dose
}

// TotalML is the sum of the pours.
func (t Tally) TotalML() (sum float64) {
	for _, p := range t.Pours {
		sum += p.ML
	}
	return sum
}

// SlipKind is what may lie behind a total that the log contradicts.
type SlipKind string

// The kinds of slip, likeliest first where several explain the same total. The
// order is a judgement, no source: what happens with the last pour comes before
// what happens with an earlier one, what is common before what is rare.
const (
	LoggedTwice   SlipKind = "logged_twice"   // the last pour stands in the log twice in a row
	NotCounted    SlipKind = "not_counted"    // the person's total leaves out the last pour
	MissedPour    SlipKind = "missed_pour"    // a pour as large as others of the glass was not logged
	WrongGlass    SlipKind = "wrong_glass"    // a pour went into another glass than the log says
	OtherGlass    SlipKind = "other_glass"    // the total is that of another glass
	LastAlone     SlipKind = "last_alone"     // the total is the last pour alone
	CountedTwice  SlipKind = "counted_twice"  // the person's total counts the last pour twice
	EarlierPour   SlipKind = "earlier_pour"   // the person's total leaves out an earlier pour
	Decimal       SlipKind = "decimal"        // a decimal point is misplaced, in the total or in a pour
	LeftInGlass   SlipKind = "left_in_glass"  // the total is what is left of the addition after withdrawals
	DoseForTotal  SlipKind = "dose_for_total" // the total is the dose in mL per 100 mL
	WholeContents SlipKind = "whole_contents" // the total is base and addition together
	Unexplained   SlipKind = "unexplained"    // no single slip gives the total
)

var slipOrder = []SlipKind{LoggedTwice, NotCounted, MissedPour, WrongGlass, OtherGlass, LastAlone, CountedTwice, EarlierPour, Decimal, LeftInGlass, DoseForTotal, WholeContents, Unexplained}

// Slip is one thing that may have gone wrong.
type Slip struct {
	Kind  SlipKind
	Glass string // the other glass that it concerns; empty where there is none
	No    int    // the entry of the log that it concerns; 0 where there is none
	Words string // what it would be, and the question to ask, for a person
}

// A stated total contradicts the log when it is off by more than totalSlackML and
// by more than totalSlackPart of the larger one: sums of volumes that were
// rounded, or turned from other units, differ by less; the smallest division of a
// 1 mL syringe is not lost in it.
const (
	totalSlackML   = 0.02
	totalSlackPart = 0.002
)

// SameTotal reports whether two totals in mL are one: within 0.02 mL or 0.2 %.
func SameTotal(a, b float64) bool {
	return math.Abs(a-b) <= math.Max(totalSlackML, totalSlackPart*math.Max(math.Abs(a), math.Abs(b)))
}

// Slips holds a total in mL that a person states for a glass against what the log
// has, and lists what may lie behind a contradiction, likeliest first. It is empty
// when there is none. Every slip by itself gives the stated total; where no single
// one does the list is one Unexplained slip. The log decides, the list asks.
//
// Errors: colour.FieldErrors at "stated_total_ml" unless it is 0 or more, and at
// "glass" unless the tallies have it.
func Slips(glass string, statedML float64, tallies []Tally) ([]Slip, error) {
	var faults colour.FieldErrors
	if !(statedML >= 0 && !math.IsInf(statedML, 1)) {
		faults.Addf("stated_total_ml", finite(statedML), "a total is a number of millilitres, 0 or more")
	}
	at := slices.IndexFunc(tallies, func(t Tally) bool { return t.Glass == glass })
	if at < 0 {
		labels := make([]string, len(tallies))
		for i, t := range tallies {
			labels[i] = t.Glass
		}
		faults.Addf("glass", glass, "there is no such glass: the glasses are %q", labels)
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	s := suspect{of: tallies[at], stated: statedML, total: tallies[at].TotalML()}
	if SameTotal(s.stated, s.total) {
		return nil, nil
	}
	for i, t := range tallies {
		if i != at {
			s.others = append(s.others, t)
		}
	}
	s.lastPour()
	s.otherGlasses()
	s.earlier()
	s.decimals()
	s.contents()
	if len(s.found) == 0 {
		s.unexplained()
	}
	slices.SortStableFunc(s.found, func(a, b Slip) int {
		return slices.Index(slipOrder, a.Kind) - slices.Index(slipOrder, b.Kind)
	})
	return s.found, nil
}

// suspect is a stated total under examination.
type suspect struct {
	of            Tally
	others        []Tally
	stated, total float64
	found         []Slip
}

func (s *suspect) add(kind SlipKind, glass string, no int, format string, args ...any) {
	s.found = append(s.found, Slip{kind, glass, no, fmt.Sprintf(format, args...)})
}

// gives reports whether a total would be the stated one.
func (s *suspect) gives(ml float64) bool { return SameTotal(s.stated, ml) }

func (s *suspect) last() (Logged, bool) {
	if len(s.of.Pours) == 0 {
		return Logged{}, false
	}
	return s.of.Pours[len(s.of.Pours)-1], true
}

// lastPour looks at what may have gone wrong with the newest pour.
func (s *suspect) lastPour() {
	last, ok := s.last()
	if !ok {
		return
	}
	before := s.total - last.ML
	if s.gives(before) {
		if n := len(s.of.Pours); n > 1 && SameTotal(s.of.Pours[n-2].ML, last.ML) && last.No == s.of.Pours[n-2].No+1 {
			s.add(LoggedTwice, "", last.No, "Entries %d and %d are both %.5g mL into glass %s, one right after the other: was one pour logged twice?", last.No-1, last.No, last.ML, s.of.Glass)
		}
		s.add(NotCounted, "", last.No, "It is the total without the last pour of %.5g mL: has that one not been counted, or did it go into another glass?", last.ML)
	}
	if before > 0 && s.gives(last.ML) {
		s.add(LastAlone, "", last.No, "It is the last pour alone: were the earlier ones left out?")
	}
	if s.gives(s.total + last.ML) {
		s.add(CountedTwice, "", last.No, "It is the total with the last pour of %.5g mL twice: was it counted twice?", last.ML)
	}
}

// otherGlasses looks for pours that changed places and totals of other glasses.
func (s *suspect) otherGlasses() {
	last, poured := s.last()
	for _, t := range s.others {
		sum := t.TotalML()
		switch {
		case sum == 0:
		case poured && s.gives(sum+last.ML):
			s.add(WrongGlass, t.Glass, last.No, "It is what glass %s would have with this pour of %.5g mL: was it poured into glass %s?", t.Glass, last.ML, t.Glass)
		case s.gives(sum):
			s.add(OtherGlass, t.Glass, 0, "It is the total of glass %s: are the two glasses mixed up?", t.Glass)
		}
		for i := len(t.Pours) - 1; i >= 0; i-- {
			if p := t.Pours[i]; s.gives(s.total + p.ML) {
				s.add(WrongGlass, t.Glass, p.No, "It is the total with the %.5g mL that are logged for glass %s (entry %d): did that pour go into glass %s?", p.ML, t.Glass, p.No, s.of.Glass)
				break // of equal pours the newest
			}
		}
	}
}

// earlier looks for a pour before the last one that the person left out, and for
// a pour of a usual size that the log lacks.
func (s *suspect) earlier() {
	last, _ := s.last()
	for i := len(s.of.Pours) - 2; i >= 0; i-- {
		if p := s.of.Pours[i]; s.gives(s.total-p.ML) && !SameTotal(p.ML, last.ML) {
			s.add(EarlierPour, "", p.No, "It leaves out the pour of %.5g mL (entry %d): has that one not been counted?", p.ML, p.No)
			break // one of them is enough: the question is the same
		}
	}
	usual := s.of.Pours
	if len(usual) == 0 { // the glass's first pour is as large as others were
		for _, t := range s.others {
			usual = append(usual, t.Pours...)
		}
	}
	for _, p := range slices.Backward(usual) {
		if s.stated > s.total && s.gives(s.total+p.ML) {
			s.add(MissedPour, "", 0, "It is %.5g mL more than the log has, as much as entry %d: was a pour into glass %s not logged?", p.ML, p.No, s.of.Glass)
			return
		}
	}
}

// decimals looks for a misplaced decimal point.
func (s *suspect) decimals() {
	for _, factor := range []float64{10, 0.1} {
		word := "ten times"
		if factor < 1 {
			word = "a tenth of"
		}
		if s.total > 0 && s.gives(factor*s.total) {
			s.add(Decimal, "", 0, "It is %s the sum of the pours: is a decimal point misplaced?", word)
		}
		for i := len(s.of.Pours) - 1; i >= 0; i-- {
			if p := s.of.Pours[i]; len(s.of.Pours) > 1 && s.gives(s.total+(factor-1)*p.ML) {
				s.add(Decimal, "", p.No, "It fits if entry %d were %.5g mL and not %.5g: is a decimal point misplaced there?", p.No, factor*p.ML, p.ML)
			}
		}
	}
}

// contents looks for another quantity of the glass that was taken for the total.
func (s *suspect) contents() {
	g := s.of.Now
	if !(g.VolumeML() > 0) {
		return
	}
	if g.AdditionML() < g.PouredML() && s.gives(g.AdditionML()) {
		s.add(LeftInGlass, "", 0, "It is what is left of the addition in the glass, after what was taken out of it; the total counts all that was poured.")
	}
	dose := s.of.Dose
	if dose == 0 {
		dose = g.Dose()
	}
	if s.gives(float64(dose)) {
		s.add(DoseForTotal, "", 0, "It is the dose in mL per 100 mL of base, not the mL that were poured.")
	}
	if s.gives(g.VolumeML()) {
		s.add(WholeContents, "", 0, "It is all that is in the glass, base and addition; the total counts the addition alone.")
	}
}

func (s *suspect) unexplained() {
	off := s.stated - s.total
	if off > 0 {
		s.add(Unexplained, "", 0, "%.5g mL more are stated than logged: was a pour not logged, or logged for another glass?", off)
		return
	}
	s.add(Unexplained, "", 0, "%.5g mL less are stated than logged: was a pour logged twice, or poured into another glass?", -off)
}
