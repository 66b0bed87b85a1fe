package record

import (
	"fmt"

	"pourpath/api/calc"
	"pourpath/colour/ladder"
)

// mostEntries is how long a trial's log may become: hundreds of times what an
// afternoon at the bench writes.
const mostEntries = 10000

// bench is a trial's glasses while its log is gone through.
type bench struct {
	trial   *Trial
	glasses map[string]ladder.Glass
}

func (t *Trial) bench() (bench, error) {
	b := bench{trial: t, glasses: make(map[string]ladder.Glass, len(t.Glasses))}
	full, err := ladder.NewGlass(t.BaseML)
	if err != nil {
		return b, fmt.Errorf("record: trial %q: %w: %s", t.ID, ErrDamaged, err.Error())
	}
	for _, label := range t.Glasses {
		b.glasses[label] = full
	}
	return b, nil
}

// take does to the glasses what an entry says. The error is a *calc.Problem with
// places in the entry.
func (b bench) take(e LogEntry) (out Logged, err error) {
	var f calc.Faults
	glass, there := b.glasses[e.Glass]
	if !there {
		f.Addf("/glass", e.Glass, "this trial has no such glass: want one of %s", b.trial.named())
		return out, f.Err()
	}
	switch e.Kind {
	case Pour:
		glass, err = glass.Pour(*e.VolumeML)
	case Withdrawal:
		glass, err = glass.Withdraw(*e.VolumeML)
	case Measuring:
	default:
		return out, fmt.Errorf("record: log entry %q is a %q, which is no kind of entry", e.ID, e.Kind)
	}
	if f.Add("", err); err != nil {
		return out, f.Err()
	}
	b.glasses[e.Glass] = glass
	out = Logged{LogEntry: e, Content: contentOf(glass), Warnings: []calc.Warning{}}
	out.Warnings = append(out.Warnings, b.mismatch(out)...)
	return out, nil
}

func contentOf(g ladder.Glass) Content {
	return Content{
		PouredTotalML: g.PouredML(), BaseInGlassML: g.BaseML(), AdditionInGlass: g.AdditionML(),
		DoseMLPer100ML: float64(g.Dose()), AdditionFraction: g.Fraction(),
	}
}

// suspect adds the warnings of a measurement: what gives reason to doubt it, and
// that the ladder cannot learn from it. A suspicion may take milliseconds, so
// they are looked for only where they are shown.
func (e *Logged) suspect() {
	if e.Kind != Measuring {
		return
	}
	e.Warnings = append(e.Warnings, Suspicions(Other, Reading{Measurement: e.Measurement, Circumstances: e.Circumstances, RecordedAt: e.RecordedAt}, nil)...)
	if e.PouredTotalML == 0 {
		e.Warnings = append(e.Warnings, calc.Warning{
			Code:    "base_alone",
			Message: fmt.Sprintf("Glass %s held base alone when it was read, so the ladder learns nothing from this reading: it is kept. Record it as a reading of the base wine.", e.Glass),
		})
	}
}

// run takes the whole log.
func (b bench) run() ([]Logged, error) {
	log := make([]Logged, len(b.trial.Log))
	for i, e := range b.trial.Log {
		var err error
		if log[i], err = b.take(e); err != nil {
			// The entry was taken once, so a refusal now is no fault of a request.
			return nil, fmt.Errorf("record: trial %q, entry %d: %w: %s", b.trial.ID, e.No, ErrDamaged, err.Error())
		}
	}
	return log, nil
}

// Progress goes through the log from its beginning.
func (t Trial) Progress() (Progress, error) {
	b, err := t.bench()
	if err != nil {
		return Progress{}, err
	}
	log, err := b.run()
	if err != nil {
		return Progress{}, err
	}
	for i := range log {
		log[i].suspect()
	}
	p := Progress{Glasses: make([]GlassState, len(t.Glasses)), Log: log}
	for i, label := range t.Glasses {
		p.Glasses[i] = GlassState{Glass: label, Content: contentOf(b.glasses[label])}
	}
	return p, nil
}

// Last is the last entry of the log with what the glass held after it.
func (t Trial) Last() (Logged, error) {
	b, err := t.bench()
	if err != nil {
		return Logged{}, err
	}
	log, err := b.run()
	if err != nil {
		return Logged{}, err
	}
	last := log[len(log)-1]
	last.suspect()
	return last, nil
}

// Accept returns nil where an entry can follow the log, or else ErrArchived or
// a *calc.Problem: there is no such glass, or it does not hold so much.
func (t Trial) Accept(e LogEntry) error {
	if t.ArchivedAt != nil {
		return ErrArchived
	}
	if len(t.Log) >= mostEntries {
		return calc.Refuse(calc.Fault{Message: fmt.Sprintf("the log has %d entries, the most that one trial takes: begin another trial", mostEntries)})
	}
	b, err := t.bench()
	if err != nil {
		return err
	}
	if _, err := b.run(); err != nil {
		return err
	}
	_, err = b.take(e)
	return err
}
