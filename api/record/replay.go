package record

import (
	"fmt"
	"math"

	"pourpath/api/calc"
	"pourpath/colour/blend"
	"pourpath/colour/ladder"
)

// mostEntries is how long a trial's log may become: hundreds of times what an
// afternoon at the bench writes.
const mostEntries = 10000

// bench is a trial's glasses while its log is gone through.
type bench struct {
	trial   *Trial
	glasses map[string]ladder.Filling
	pours   map[string][]ladder.Logged // those that stand, by glass
	lastly  map[string]LogEntry        // the newest of those
	kit     map[string]bool            // glasses that a tool of the trial was used for
	undone  map[int]int                // the entry that took an entry back, by its number
	choice  *Logged                    // the latest that stands
	check   *FinalCheck                // of that choice
}

func (t *Trial) bench() (bench, error) {
	b := bench{
		trial: t, glasses: make(map[string]ladder.Filling, len(t.Glasses)), pours: map[string][]ladder.Logged{},
		lastly: map[string]LogEntry{}, kit: map[string]bool{}, undone: undone(t.Log),
	}
	full, err := ladder.Fill(ladder.Unstated(t.GlassBaseML()))
	if err != nil {
		return b, fmt.Errorf("record: trial %q: %w: %s", t.ID, ErrDamaged, err.Error())
	}
	for _, label := range t.Glasses {
		b.glasses[label] = full
	}
	return b, nil
}

// take does to the glasses what an entry says, unless it was taken back. The error
// is a *calc.Problem with places in the entry.
func (b *bench) take(e LogEntry) (out Logged, err error) {
	var f calc.Faults
	out = Logged{LogEntry: e, UndoneBy: b.undone[e.No], Warnings: []calc.Warning{}}
	glass, there := b.glasses[e.Glass]
	if !there && e.needsGlass() {
		f.Addf("/glass", e.Glass, "this trial has no such glass: want one of %s", b.trial.named())
		return out, f.Err()
	}
	if e.Kind == Undo {
		b.tellUndone(&out)
	}
	if out.UndoneBy != 0 {
		out.Content = b.content(out.Glass)
		return out, nil
	}
	switch e.Kind {
	case Pour, Withdrawal:
		if out.Warnings, err = b.move(glass, e, &f); err != nil {
			f.Add("", err)
		}
	case Measuring:
		out.sincePour = minutesSince(b.lastly[e.Glass], e)
	case Noting, Undo:
	case Choosing, Checking:
		b.decide(&out, &f)
		return out, f.Err()
	default:
		return out, fmt.Errorf("record: log entry %q is a %q, which is no kind of entry", e.ID, e.Kind)
	}
	if err := f.Err(); err != nil {
		return out, err
	}
	out.Content = b.content(out.Glass)
	b.mismatch(&out)
	return out, nil
}

// needsGlass says whether an entry must name a glass of the trial.
func (e LogEntry) needsGlass() bool {
	switch e.Kind {
	case Undo, Checking:
		return false
	case Choosing:
		return e.Glass != "" || e.ChosenDose == nil
	}
	return true
}

// move pours into a glass or takes out of it.
func (b *bench) move(glass ladder.Filling, e LogEntry, f *calc.Faults) ([]calc.Warning, error) {
	m, ok := b.trial.measured(e, f)
	if !ok {
		return nil, nil
	}
	var err error
	if e.Kind == Withdrawal {
		glass, err = glass.Withdraw(*e.VolumeML, m.u)
	} else {
		glass, err = glass.Pour(m.parts...)
	}
	if err != nil {
		return nil, err
	}
	b.glasses[e.Glass] = glass
	b.kit[e.Glass] = b.kit[e.Glass] || m.ofKit
	if e.Kind == Pour {
		b.pours[e.Glass] = append(b.pours[e.Glass], ladder.Logged{No: e.No, ML: *e.VolumeML})
		b.lastly[e.Glass] = e
	}
	return m.questions, nil
}

// tellUndone gives an undo the glass of what it is about.
func (b *bench) tellUndone(out *Logged) {
	e := out.LogEntry
	for e.Kind == Undo && e.Undoes >= 1 && e.Undoes < e.No {
		e = b.trial.Log[e.Undoes-1]
	}
	out.Glass = e.Glass
}

// decide takes a choice or a final check.
func (b *bench) decide(out *Logged, f *calc.Faults) {
	if out.Kind == Choosing {
		if out.ChosenDose == nil {
			out.Content = b.content(out.Glass)
		} else {
			out.Content = b.trial.fresh(*out.ChosenDose, b.trial.BaseML)
		}
		chosen := *out
		b.choice, b.check = &chosen, nil
		return
	}
	switch {
	case b.choice == nil:
		f.Addf("", nil, "no dose is chosen yet: choose one first, and pour that one fresh for the final check")
		return
	case out.VolumeML == nil && b.check == nil:
		f.Addf("/volume_ml", nil, "there is no final check yet of the dose that entry %d chose: how much of it was poured?", b.choice.No)
		return
	}
	b.check = b.check.note(out.LogEntry, b.choice)
	dose := b.choice.DoseMLPer100ML
	out.Content = b.trial.fresh(dose, b.check.Volume/(1+b.trial.heldPer1()+dose/100))
	out.Content.UDose = math.Sqrt2 * blend.VolumeU * dose // of addition and base
	out.Warnings = append(out.Warnings, b.check.checkWarnings()...)
}

// fresh is a glass of a dose that was poured once into so much base.
func (t *Trial) fresh(dose, baseML float64) Content {
	held, addition := baseML*t.heldPer1(), baseML*dose/100
	return Content{
		PouredTotalML: addition, BaseInGlassML: baseML, HeldInGlassML: held, AdditionInGlass: addition,
		DoseMLPer100ML: dose, AdditionFraction: addition / (baseML + held + addition),
	}
}

// content is what a glass holds now; nothing where there is no such glass.
func (b *bench) content(label string) Content {
	f, ok := b.glasses[label]
	if !ok {
		return Content{}
	}
	g, held := f.Glass(), b.trial.heldPer1()
	c := Content{
		PouredTotalML: g.PouredML(), BaseInGlassML: g.BaseML() / (1 + held), AdditionInGlass: g.AdditionML(),
		DoseMLPer100ML: float64(g.Dose()) * (1 + held), AdditionFraction: g.Fraction(),
	}
	if held > 0 {
		c.HeldInGlassML = g.BaseML() - c.BaseInGlassML
	}
	u := f.DoseU()
	c.UDose = u.Combined() * (1 + held)
	if dose := float64(g.Dose()); b.kit[label] && dose > 0 {
		c.uDose = &calc.UDose{SharedPercent: min(100*u.Bias/dose, mostUPercent), OwnPercent: min(100*u.Reading/dose, mostUPercent)}
	}
	return c
}

// mostUPercent is the most that a ladder takes for the uncertainty of a dose.
const mostUPercent = 50

// impossible is an entry that cannot follow those before it.
type impossible struct {
	entry LogEntry
	err   error
}

func (i *impossible) Error() string {
	return fmt.Sprintf("entry %d (%s): %s", i.entry.No, i.entry.words(), i.err.Error())
}

func (i *impossible) Unwrap() error { return i.err }

// words is what an entry is, for a person.
func (e LogEntry) words() string {
	switch {
	case e.Kind == Undo:
		return fmt.Sprintf("undo of entry %d", e.Undoes)
	case e.VolumeML != nil && e.Glass != "":
		return fmt.Sprintf("%s of %.5g mL, glass %s", e.Kind, *e.VolumeML, e.Glass)
	case e.Kind == Checking:
		return "final check"
	case e.Glass != "":
		return fmt.Sprintf("%s, glass %s", e.Kind, e.Glass)
	}
	return string(e.Kind)
}

// run takes the whole log; the error is an *impossible.
func (b *bench) run() ([]Logged, error) {
	log := make([]Logged, len(b.trial.Log))
	for i, e := range b.trial.Log {
		var err error
		if log[i], err = b.take(e); err != nil {
			return nil, &impossible{e, err}
		}
	}
	return log, nil
}

// replayed goes through a stored log. An entry that was taken once is no fault of
// a request when it is refused now.
func (t *Trial) replayed() (bench, []Logged, error) {
	b, err := t.bench()
	if err != nil {
		return b, nil, err
	}
	log, err := b.run()
	if err != nil {
		return b, nil, fmt.Errorf("record: trial %q: %w: %s", t.ID, ErrDamaged, err.Error())
	}
	return b, log, nil
}

// Progress goes through the log from its beginning.
func (t Trial) Progress() (Progress, error) {
	b, log, err := t.replayed()
	if err != nil {
		return Progress{}, err
	}
	for i := range log {
		log[i].suspect()
	}
	p := Progress{Glasses: make([]GlassState, len(t.Glasses)), Log: log, Choice: b.choice, FinalCheck: b.check}
	for i, label := range t.Glasses {
		p.Glasses[i] = GlassState{Glass: label, Content: b.content(label), filling: b.glasses[label]}
	}
	return p, nil
}

// Last is the last entry of the log with what the glass held after it.
func (t Trial) Last() (Logged, error) {
	_, log, err := t.replayed()
	if err != nil {
		return Logged{}, err
	}
	last := log[len(log)-1]
	last.suspect()
	return last, nil
}

// Accept returns nil where an entry can follow the log, or else ErrArchived or
// a *calc.Problem: there is no such glass, it does not hold so much, or what is to
// be undone cannot be.
func (t Trial) Accept(e LogEntry) error {
	if t.ArchivedAt != nil {
		return ErrArchived
	}
	if len(t.Log) >= mostEntries {
		return calc.Refuse(calc.Fault{Message: fmt.Sprintf("the log has %d entries, the most that one trial takes: begin another trial", mostEntries)})
	}
	b, _, err := t.replayed()
	if err != nil {
		return err
	}
	if e.No = len(t.Log) + 1; e.Kind == Undo {
		return t.acceptUndo(e, b.undone)
	}
	_, err = b.take(e)
	return err
}
