package bench

import (
	"math"
	"slices"
	"strconv"

	"pourpath/api/calc"
	"pourpath/reports"
)

// Figure is the picture of a trial's path as far as Outlook reaches; ok is false
// where there is none. It is remembered as answers are, as the page of a trial
// shows it in two places.
func (b *Bench) Figure(t TrialAnswer) (figure reports.LadderFigure, ok bool, err error) {
	key := t.ID + " " + strconv.Itoa(len(t.Log)) + " " + b.words().Lang
	if figure, ok = b.figures.Get(key); ok {
		return figure, true, nil
	}
	question, ok, err := t.Outlook()
	if err != nil || !ok || t.Ladder == nil {
		return figure, false, err
	}
	if figure, err = calc.LadderFigure(question, b.Version, &b.words().Figures); err != nil {
		return figure, false, err
	}
	b.figures.Add(key, figure)
	return figure, true, nil
}

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
