package bench

import (
	"fmt"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// TrialAnswer is a trial with what its log has come to.
type TrialAnswer struct {
	record.Trial
	Glasses      []record.GlassState  `json:"glasses" doc:"The glasses in the order in which they were declared, with what is in them now."`
	Entries      []record.Logged      `json:"entries" doc:"Pours, withdrawals and what was undone, in the order in which they were recorded, each with what the glass held after it."`
	Measurements []record.Logged      `json:"measurements" doc:"What was read of glasses, in the order in which it was recorded, each with what the glass held then. no is its place among all entries."`
	Notes        []record.Logged      `json:"notes" doc:"Notes and scores, in the order in which they were recorded."`
	Choices      []record.Logged      `json:"choices" doc:"Doses that were chosen, in the order in which they were recorded: the latest that stands counts."`
	FinalChecks  []record.Logged      `json:"final_checks" doc:"What was recorded of final checks, in that order."`
	Choice       *record.Logged       `json:"choice,omitempty" doc:"The choice that counts."`
	FinalCheck   *FinalCheckAnswer    `json:"final_check,omitempty" doc:"The final check of that choice, as far as it was made."`
	Ladder       *calc.LadderResponse `json:"ladder,omitempty" doc:"As /v1/ladder answers for the doses in the glasses, in their order, recalibrated by the measurements. A rung's dose_ml is what its dose is in base_ml of base. Absent where nothing was read of a wine."`
	Warnings     []calc.Warning       `json:"warnings" doc:"What must be known of the trial."`
}

// FinalCheckAnswer is a final check with what its reading came to.
type FinalCheckAnswer struct {
	record.FinalCheck
	Colour     *calc.WineColour `json:"colour,omitempty" doc:"Its colour, as read."`
	Difference *calc.Difference `json:"difference,omitempty" doc:"That colour less the target."`
}

// shown is show for what the store answered with.
func (b *Bench) shown(t record.Trial, err error) (TrialAnswer, error) {
	if err != nil {
		return TrialAnswer{}, err
	}
	return b.show(t)
}

func (b *Bench) show(t record.Trial) (TrialAnswer, error) {
	key := t.ID + " " + strconv.Itoa(len(t.Log))
	if known, ok := b.answers.Get(key); ok {
		known.Trial = t
		return known, nil
	}
	progress, err := t.Progress()
	if err != nil {
		return TrialAnswer{}, err
	}
	out := TrialAnswer{
		Trial: t, Glasses: progress.Glasses, Choice: progress.Choice, Warnings: []calc.Warning{},
		Entries: []record.Logged{}, Measurements: []record.Logged{}, Notes: []record.Logged{}, Choices: []record.Logged{}, FinalChecks: []record.Logged{},
	}
	for _, tool := range t.Tools {
		out.Warnings = append(out.Warnings, tool.Warnings()...)
	}
	if err := out.predict(progress); err != nil {
		return out, err
	}
	if err := out.list(progress); err != nil {
		return out, err
	}
	if err := out.checked(progress); err != nil {
		return out, err
	}
	b.answers.Add(key, out)
	return out, nil
}

// list sorts the log by what its entries are, with what is asked of readings that
// do not fit.
func (a *TrialAnswer) list(p record.Progress) error {
	asked := map[int][]calc.Warning{}
	if a.Ladder != nil && doubted(a.Ladder.Warnings) {
		var err error
		if asked, err = strays(a.Trial, p); err != nil {
			return err
		}
	}
	for _, e := range p.Log {
		switch e.Kind {
		case record.Measuring:
			e.Warnings = append(e.Warnings, asked[e.No]...)
			a.Measurements = append(a.Measurements, e)
		case record.Noting:
			a.Notes = append(a.Notes, e)
		case record.Choosing:
			a.Choices = append(a.Choices, e)
		case record.Checking:
			a.FinalChecks = append(a.FinalChecks, e)
		default:
			a.Entries = append(a.Entries, e)
		}
	}
	return nil
}

// predict adds the trial's ladder, or says why there is none.
func (a *TrialAnswer) predict(p record.Progress) error {
	none := func(why string) {
		a.Warnings = append(a.Warnings, calc.Warning{
			Code: "no_ladder", Message: "There is no predicted ladder: " + why + ". The log is kept all the same.",
		})
	}
	question, ok := a.Trial.Ladder(p)
	if !ok {
		none(unread(a.Trial.Missing(p)))
		return nil
	}
	answer, err := calc.Ladder(question)
	switch problem := calc.AsProblem(err); {
	case problem != nil:
		none(problem.Detail)
	case err != nil:
		return err
	default:
		a.Ladder = &answer
	}
	return nil
}

// unread says that nothing was read of a wine, and what to do.
func unread(wine string) string {
	if wine == "addition" {
		return "nothing was read of the addition. Pour a glass, 5 to 15 mL per 100 mL of base, and read it: the ladder is known from that"
	}
	return "nothing was read of the " + wine + " when the trial began"
}

// checked adds the final check, or says that the chosen dose wants one.
func (a *TrialAnswer) checked(p record.Progress) error {
	if p.Choice == nil {
		return nil
	}
	if p.FinalCheck == nil {
		a.Warnings = append(a.Warnings, calc.Warning{Code: "no_final_check", Message: fmt.Sprintf(
			"The chosen dose (entry %d) was not checked: pour it fresh, once, at 250 mL or more, read it, keep it cold overnight and look again.", p.Choice.No)})
		return nil
	}
	a.FinalCheck = &FinalCheckAnswer{FinalCheck: *p.FinalCheck}
	m := p.FinalCheck.Measurement
	question, ok := a.Trial.Ladder(p)
	if m == (record.Measurement{}) || !ok || a.Ladder == nil {
		return nil
	}
	prepared, err := calc.Prepare(question)
	if err != nil {
		return err
	}
	colour, difference, err := prepared.Against(m.Wine("final check"))
	if err != nil {
		return err
	}
	a.FinalCheck.Colour, a.FinalCheck.Difference = &colour, difference
	return nil
}

// doubted says whether a ladder warns of what it was recalibrated to.
func doubted(list []calc.Warning) bool {
	for _, w := range list {
		if w.Code == "rung_off_path" || w.Code == "unusual_yield" {
			return true
		}
	}
	return false
}

// mostRead is how many readings are held against each other one by one.
const mostRead = 40

// strays asks about the measurements that do not fit the others, by their number
// in the log.
func strays(t record.Trial, p record.Progress) (map[int][]calc.Warning, error) {
	out := map[int][]calc.Warning{}
	rungs := p.Rungs()
	question, ok := t.Ladder(p)
	if !ok || len(rungs) == 0 || len(rungs) > mostRead {
		return out, nil
	}
	prepared, err := calc.Prepare(question)
	if calc.AsProblem(err) != nil {
		return out, nil //nolint:nilerr // the ladder says why there is none
	}
	if err != nil {
		return out, err
	}
	doses := make([]float64, len(p.Glasses))
	for i, g := range p.Glasses {
		doses[i] = g.DoseMLPer100ML
	}
	found, err := prepared.Strays(doses)
	if calc.AsProblem(err) != nil {
		return out, nil //nolint:nilerr // nothing is asked of an entry that is kept already
	}
	if err != nil {
		return out, err
	}
	for _, s := range found {
		e := rungs[s.Rung]
		out[e.No] = append(out[e.No], calc.Warning{Code: "off_path", Message: strayWords(e, s, p, len(rungs))})
	}
	return out, nil
}

func strayWords(e record.Logged, s calc.Stray, p record.Progress, n int) string {
	with := "of this base and addition"
	if n > 1 {
		with += " together with the other readings"
	}
	var fits []string
	for _, i := range s.Fits {
		if g := p.Glasses[i]; g.Glass != e.Glass {
			fits = append(fits, fmt.Sprintf("glass %s (%.4g mL per 100 mL)", g.Glass, g.DoseMLPer100ML))
		}
	}
	ask := "Was it the right glass, cell and dose?"
	if len(fits) > 0 {
		ask = "It would fit " + strings.Join(fits, " or ") + ": was it the right glass?"
	}
	return fmt.Sprintf("The reading of glass %s at %.4g mL per 100 mL of base (entry %d) fits no plausible path %s. %s It is kept and the ladder is recalibrated to it; if it was a slip, undo entry %d and record it again.",
		e.Glass, e.DoseMLPer100ML, e.No, with, ask, e.No)
}

// ChoiceOffTarget reports whether the colour of the chosen dose, taken at face value
// as it is known by now, is outside the tolerance of the trial's target; false where
// one of these is not there, or for a dose beyond those that were poured.
func (a TrialAnswer) ChoiceOffTarget() bool {
	if a.Choice == nil || a.Target == nil || a.Target.Tolerance == nil || a.Ladder == nil || a.Ladder.Nearest == nil {
		return false
	}
	within, dose := a.Ladder.Nearest.NominalDoses, a.Choice.DoseMLPer100ML
	const slack = 1e-9 // of a dose at an end
	largest := 0.0
	for _, r := range a.Ladder.Rungs {
		largest = max(largest, r.DoseMLPer100ML)
	}
	inside := within != nil && dose >= within[0]-slack && dose <= within[1]+slack
	return dose <= largest+slack && !inside
}
