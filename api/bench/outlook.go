package bench

import (
	"math"
	"slices"

	"pourpath/api/calc"
)

// Outlook is the trial as a question for a ladder that reaches beyond what was
// poured so far, so that the dose closest to the target can be told and drawn
// before the first pour: the doses in the glasses, base alone, and an end at 20 mL
// per 100 mL of base or a quarter beyond the strongest glass. ok is false where
// nothing was read of a wine.
func (t TrialAnswer) Outlook() (question calc.LadderRequest, ok bool, err error) {
	progress, err := t.Progress()
	if err != nil {
		return question, false, err
	}
	if question, ok = t.Trial.Ladder(progress); !ok {
		return question, false, nil
	}
	end := usualLargest * t.BaseML / 100
	for _, ml := range question.DosesML {
		end = max(end, math.Ceil(1.25*ml))
	}
	question.DosesML = append(question.DosesML, 0, end)
	slices.Sort(question.DosesML)
	question.DosesML = slices.Compact(question.DosesML)
	return question, true, nil
}
