package record

import (
	"fmt"
	"math"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/blend"
	"pourpath/colour/ladder"
)

// Slip is one thing that may have gone wrong where a stated total and the log
// contradict each other.
type Slip struct {
	Kind  string `json:"kind" doc:"What it would be: logged_twice, not_counted, missed_pour, wrong_glass, other_glass, last_alone, counted_twice, earlier_pour, decimal, left_in_glass, dose_for_total, whole_contents or unexplained."`
	Glass string `json:"glass,omitempty" doc:"The other glass that it concerns."`
	Entry int    `json:"entry,omitempty" doc:"Number of the entry that it concerns."`
	Words string `json:"words" doc:"The question to ask."`
}

// mismatch holds what a person states of a glass against the log: the total after
// a pour that the glasses have taken already, or the dose of a glass that was
// read.
func (b *bench) mismatch(e *Logged) {
	if e.StatedTotalML != nil {
		b.totalMismatch(e)
	}
	if e.StatedDose != nil {
		b.doseMismatch(e)
	}
}

func (b *bench) totalMismatch(e *Logged) {
	tallies := make([]ladder.Tally, len(b.trial.Glasses))
	for i, label := range b.trial.Glasses {
		tallies[i] = ladder.Tally{Glass: label, Pours: b.pours[label], Now: b.glasses[label].Glass(), Dose: blend.Dose(b.content(label).DoseMLPer100ML)}
	}
	slips, err := ladder.Slips(e.Glass, *e.StatedTotalML, tallies)
	if err != nil || len(slips) == 0 {
		return // a total that is none is refused by the request's own rules
	}
	for _, s := range slips {
		e.Slips = append(e.Slips, Slip{Kind: string(s.Kind), Glass: s.Glass, Entry: s.No, Words: s.Words})
	}
	words := slips[0].Words
	if len(slips) > 1 {
		words += " Or: " + slips[1].Words
	}
	e.Warnings = append(e.Warnings, calc.Warning{
		Code: "total_mismatch",
		Message: fmt.Sprintf("%.5g mL is stated as the total of glass %s, but the pours add up to %.5g mL. %s The pour is kept, and the dose is computed from the log.",
			*e.StatedTotalML, e.Glass, e.PouredTotalML, words),
	})
}

// sameDose reports whether a dose in mL per 100 mL that a person states is the one
// of a glass: doses are computed, and people tell them with one decimal.
func sameDose(stated, dose float64) bool {
	return math.Abs(stated-dose) <= 0.05+1e-9 || ladder.SameTotal(stated, dose)
}

func (b *bench) doseMismatch(e *Logged) {
	stated := *e.StatedDose
	if sameDose(stated, e.DoseMLPer100ML) {
		return
	}
	var ask []string
	for _, label := range b.trial.Glasses {
		if c := b.content(label); label != e.Glass && sameDose(stated, c.DoseMLPer100ML) {
			ask = append(ask, fmt.Sprintf("Glass %s has that dose: was it glass %s that was read?", label, label))
		}
	}
	if len(ask) == 0 && sameDose(stated, 100*e.PouredTotalML/b.trial.BaseML) {
		ask = append(ask, "It is what was poured, without what was taken out between the pours.")
	}
	if len(ask) == 0 {
		ask = append(ask, "Was another glass read, or a pour not logged?")
	}
	e.Warnings = append(e.Warnings, calc.Warning{
		Code: "dose_mismatch",
		Message: fmt.Sprintf("%.5g mL per 100 mL is stated as the dose of glass %s, but by the log it is %.5g. %s The reading is kept, at the dose of the log.",
			stated, e.Glass, e.DoseMLPer100ML, strings.Join(ask, " ")),
	})
}
