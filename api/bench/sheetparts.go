package bench

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// papers is what the documents of a trial are made of.
type papers struct {
	texts    *sheet.Texts
	trial    record.Trial
	progress record.Progress
	answer   TrialAnswer
	// question and known are nil where no ladder can be predicted.
	question *calc.LadderRequest
	known    *calc.Prepared
	lots     map[string]string // of stored wines, by their identifier
	of       map[string]string // which wines a warning is about, by its words
	now      time.Time
	version  string
}

func (b *Bench) papers(ctx context.Context, id string) (papers, error) {
	trial, err := b.store.Trial(ctx, id)
	if err != nil {
		return papers{}, err
	}
	p := papers{texts: b.words(), trial: trial, now: b.Now(), lots: map[string]string{}, of: map[string]string{}}
	if b.Version != "" {
		p.version = "Pourpath " + b.Version
	}
	if p.progress, err = trial.Progress(); err != nil {
		return p, err
	}
	if p.answer, err = b.show(trial); err != nil {
		return p, err
	}
	if p.answer.Ladder != nil {
		question, _ := trial.Ladder(p.progress)
		prepared, err := calc.Prepare(question)
		if err != nil {
			return p, err
		}
		p.question, p.known = &question, &prepared
	}
	p.findWarned()
	err = b.findLots(ctx, &p)
	return p, err
}

// findWarned remembers which wines warnings are about, as the ladder's say only
// 'this wine'.
func (p *papers) findWarned() {
	p.noteWine(p.trial.Base.Wine(), p.baseName())
	p.noteWine(p.trial.Addition.Wine(), p.additionName())
	for _, h := range p.trial.Held {
		p.noteWine(h.Wine.Wine(), p.heldName(h))
	}
	if t := p.trial.Target; t != nil && t.Wine != nil {
		p.noteWine(*t.Wine, p.texts.Told.TheTarget)
	}
}

// noteWine remembers what a wine is warned of; one of which nothing was read, or
// that is at fault, of nothing.
func (p *papers) noteWine(w calc.Wine, name string) {
	shown, err := calc.ShowWine(w, p.trial.View)
	if err != nil {
		return
	}
	for _, warning := range shown.Warnings {
		of := name
		if before := p.of[warning.Message]; before != "" {
			of = before + p.texts.Figures.Shared.And + name
		}
		p.of[warning.Message] = of
	}
}

// findLots looks up the lots of stored wines: they are not part of the trial.
func (b *Bench) findLots(ctx context.Context, p *papers) error {
	wines := []record.TrialWine{p.trial.Base, p.trial.Addition}
	for _, h := range p.trial.Held {
		wines = append(wines, h.Wine)
	}
	for _, w := range wines {
		if w.ID == "" {
			continue
		}
		stored, err := b.store.Wine(ctx, w.ID)
		if errors.Is(err, record.ErrNotFound) {
			continue // in records that were restored from an older archive
		}
		if err != nil {
			return err
		}
		p.lots[w.ID] = stored.Lot
	}
	return nil
}

func (p papers) head() sheet.Head {
	name := p.trial.Name
	if strings.TrimSpace(name) == "" {
		name = reports.Fill(p.texts.Told.Trial, "id", p.trial.ID)
	}
	zone := p.now.Format("UTC-07:00")
	if _, offset := p.now.Zone(); offset == 0 {
		zone = "UTC"
	}
	return sheet.Head{
		Trial: name, Date: p.texts.Date(p.now), View: p.trial.View.Core(), GlassDepthMM: calc.GlassDepthMM, Version: p.version,
		Conditions: reports.Fill(p.texts.Told.Begun, "date", p.texts.Date(p.trial.CreatedAt.In(p.now.Location())), "zone", zone),
	}
}

// when is a time for a narrow column. A date alone was stored as the start of its
// day in UTC. The year is that of the trial's beginning unless it is said.
func (p papers) when(at record.Instant) string {
	t := at.In(p.now.Location())
	alone := at.Equal(at.Truncate(24 * time.Hour))
	if alone {
		t = at.UTC()
	}
	return p.texts.Short(t, t.Year() != p.trial.CreatedAt.In(p.now.Location()).Year(), !alone)
}

// done is when an entry was done: as it was told, or else when it was recorded.
func (p papers) done(e record.LogEntry) string {
	switch {
	case e.At != nil:
		return p.when(*e.At)
	case e.TakenAt != nil:
		return p.when(*e.TakenAt)
	}
	return p.when(e.RecordedAt)
}

// or is a name, or what stands for one that nobody gave.
func or(name, fallback string) string {
	if strings.TrimSpace(name) == "" {
		return fallback
	}
	return name
}

func (p papers) baseName() string     { return or(p.trial.Base.Name, p.texts.Told.UnnamedBase) }
func (p papers) additionName() string { return or(p.trial.Addition.Name, p.texts.Told.UnnamedAddition) }

func (p papers) heldName(h record.TrialHeld) string { return or(h.Wine.Name, p.texts.Told.UnnamedWine) }

// pouredBase is what base stands for where it is poured: with what is held in it.
func (p papers) pouredBase() string {
	name := p.baseName()
	for _, h := range p.trial.Held {
		name += reports.Fill(p.texts.Figures.Ladder.HeldWine, "dose", p.texts.Figures.Significant(h.DoseMLPer100ML, 4), "wine", p.heldName(h))
	}
	return name
}

func (p papers) wines() (sheet.Wines, error) {
	var out sheet.Wines
	var err error
	if out.Base, err = p.wine(p.trial.Base, p.baseName()); err != nil {
		return out, err
	}
	addition, err := p.wine(p.trial.Addition, p.additionName())
	if err != nil {
		return out, err
	}
	out.Additions = append(out.Additions, addition)
	for _, h := range p.trial.Held {
		wine, err := p.wine(h.Wine, p.heldName(h))
		if err != nil {
			return out, err
		}
		wine.HeldMLPer100ML = h.DoseMLPer100ML
		out.Additions = append(out.Additions, wine)
	}
	if out.Target, err = p.target(); err != nil {
		return out, err
	}
	out.Blend, err = p.chosen()
	return out, err
}

// chosen is what the chosen dose makes, as it is predicted.
func (p papers) chosen() (*sheet.Wine, error) {
	c := p.progress.Choice
	if c == nil || p.known == nil {
		return nil, nil //nolint:nilnil // there is nothing to show
	}
	colour, swatch, err := p.at(c.DoseMLPer100ML)
	known := p.texts.Told.Predicted
	if p.known.Path.Calibrated() {
		known = p.texts.Told.PredictedLearned
	}
	return &sheet.Wine{Name: p.texts.Told.AtChosen, Known: known, Colour: colour, Swatch: swatch}, err
}

func (p papers) wine(w record.TrialWine, name string) (sheet.Wine, error) {
	out := sheet.Wine{Name: name, Lot: p.lots[w.ID], Known: p.howKnown(w.Measurement)}
	if !w.Known() {
		return out, nil
	}
	var err error
	out.Colour, out.Swatch, err = drawn(calc.ShowWine(w.Wine(), p.trial.View))
	return out, err
}

// drawn is a colour for a document: nil where the data make none.
func drawn(s calc.Shown, err error) (*sheet.Colour, reports.Swatch, error) {
	if problem := calc.AsProblem(err); problem != nil {
		return nil, reports.Swatch{}, nil //nolint:nilerr // the document then shows no colour
	}
	return &sheet.Colour{Lab: s.Lab, U: s.U}, s.Swatch, err
}

// howKnown says how a wine's colour is known.
func (p papers) howKnown(m record.Measurement) string {
	t := p.texts
	pathMM, dilution := m.Cell()
	number := func(v float64) string { return t.Figures.Plain(v, 6) }
	in := func(words, diluted string, pairs ...string) string {
		if dilution != 1 {
			words = diluted
		}
		return reports.Fill(words, append(pairs, "mm", number(pathMM), "times", number(dilution))...)
	}
	switch {
	case m.Readings != nil:
		at := []float64{420, 520, 620}
		for _, e := range m.Readings.Extra {
			at = append(at, e.NM)
		}
		slices.Sort(at)
		words := make([]string, len(at))
		for i, nm := range at {
			words[i] = number(nm)
		}
		return in(t.Told.ReadAt, t.Told.ReadAtDiluted, "nm", strings.Join(words, ", "))
	case m.Spectrum != nil && len(m.Spectrum.NM) > 0:
		return in(t.Told.Scanned, t.Told.ScannedDiluted, "from", number(m.Spectrum.NM[0]), "to", number(m.Spectrum.NM[len(m.Spectrum.NM)-1]))
	case m.CIELAB != nil:
		v := (&calc.View{Illuminant: m.CIELAB.Illuminant, Observer: m.CIELAB.Observer, PathMM: &m.CIELAB.PathMM}).Core()
		return reports.Fill(t.Told.Given, "mm", number(v.DepthMM), "illuminant", string(v.Illuminant), "observer", string(v.Observer))
	}
	return t.Told.NothingRead
}

func (p papers) target() (*sheet.Target, error) {
	t := p.trial.Target
	if t == nil {
		return nil, nil //nolint:nilnil // a trial needs no target
	}
	out := &sheet.Target{Name: p.texts.Told.ColourGiven}
	switch {
	case t.Wine != nil:
		out.Name = or(t.Wine.Name, p.texts.Told.AnotherWine)
	case t.Intensity != nil && t.Tint != nil:
		out.Name = reports.Fill(p.texts.Told.IntensityTint, "intensity", p.texts.Figures.Significant(*t.Intensity, 4), "tint", p.texts.Figures.Significant(*t.Tint, 4))
	}
	shown, tolerance, isColour, err := calc.ShowTarget(t, p.trial.View)
	if err != nil || !isColour {
		if calc.AsProblem(err) != nil {
			err = nil // the warnings say why there is no ladder
		}
		return out, err
	}
	out.Tolerance = tolerance
	out.Colour, out.Swatch, err = drawn(shown, nil)
	return out, err
}

// at is the colour at a dose by all that is known; nil where none is.
func (p papers) at(dose float64) (*sheet.Colour, reports.Swatch, error) {
	if p.known == nil {
		return nil, reports.Swatch{}, nil
	}
	return drawn(p.known.At(dose))
}

func doseOf(c record.Content) sheet.Dose {
	return sheet.Dose{MLPer100ML: c.DoseMLPer100ML, U: c.UDose}
}

// sentences are the words of warnings, each once, with the wine that they are
// about.
func (p papers) sentences(lists ...[]calc.Warning) []string {
	var out []string
	for _, list := range lists {
		for _, w := range list {
			words := p.texts.Said(w.Message)
			if name := p.of[w.Message]; name != "" {
				words = reports.Fill(p.texts.Told.Of, "wine", name, "message", words)
			}
			if !slices.Contains(out, words) {
				out = append(out, words)
			}
		}
	}
	return out
}
