// Package panel is a blind panel to whoever leads it and to its judges: it opens
// sessions on the glasses of a trial, gives out judges' links, takes what they hand
// in, closes, and tells the result. The API, the pages and the command line show
// what it answers.
//
// What a judge is shown is made by Judging alone, of a type that has no place for
// a dose, a glass's label or anybody else's answer.
package panel

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"math/big"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/colour"
	sensory "pourpath/colour/panel"
	"pourpath/reports/sheet"
)

// Panels answers about the panels of a store. It may be used concurrently once its
// fields are set.
type Panels struct {
	// Version is the program's, for documents; empty leaves it out.
	Version string
	// Now is the clock that documents are dated by, in the zone that they show times
	// in. New sets that of this machine.
	Now func() time.Time

	store *store.Store
	texts *sheet.Texts // of documents and figures; nil is English
}

// New returns the panels of a store.
func New(s *store.Store) *Panels { return &Panels{Now: time.Now, store: s} }

// In are the panels whose documents and figures are in a language; nil is English. They
// are the same panels otherwise.
func (p *Panels) In(texts *sheet.Texts) *Panels {
	other := *p
	other.texts = texts
	return &other
}

func (p *Panels) words() *sheet.Texts { return sheet.InEnglish(p.texts) }

// Panel returns a panel as its leader sees it; record.ErrNotFound where there is
// none.
func (p *Panels) Panel(ctx context.Context, id string) (Session, error) {
	return shown(p.store.Panel(ctx, id))
}

// PanelsOf lists the panels of a trial in the order in which they were opened.
func (p *Panels) PanelsOf(ctx context.Context, trialID string, page record.Page) ([]Session, error) {
	list, err := p.store.PanelsOf(ctx, trialID, page)
	return allShown(list, err)
}

// Panels lists all panels in the order in which they were opened.
func (p *Panels) Panels(ctx context.Context, page record.Page) ([]Session, error) {
	list, err := p.store.Panels(ctx, page)
	return allShown(list, err)
}

func allShown(list []record.Panel, err error) ([]Session, error) {
	if err != nil {
		return nil, err
	}
	out := make([]Session, len(list))
	for i, one := range list {
		if out[i], err = shown(one, nil); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// drawn is a whole number from 0 to n-1, each equally likely, that nobody can
// foresee.
func drawn(n int) int {
	v, err := rand.Int(rand.Reader, big.NewInt(int64(n)))
	if err != nil { // only where the machine has no randomness
		panic(err)
	}
	return int(v.Int64())
}

// refused gives a fault of the design the place in the request that it comes from.
func refused(err error) error {
	var faults colour.FieldErrors
	if !errors.As(err, &faults) {
		return err
	}
	list := make([]calc.Fault, len(faults))
	for i, f := range faults {
		list[i] = calc.Fault{Location: "/" + f.Field, Message: f.Message, Value: f.Value}
		if f.Field == "n" {
			list[i].Location = "/glasses"
		}
	}
	return calc.Refuse(list...)
}

// Open opens a panel on the glasses of a trial as they stand. The links are in the
// answer and nowhere else: their keys are not stored.
func (p *Panels) Open(ctx context.Context, trialID string, asked record.PanelBody) (SessionOpened, error) {
	keys := keyring{}
	var empty []calc.Warning
	made, err := p.store.OpenPanel(ctx, trialID, func(t record.Trial) (made record.Panel, change store.PanelChange, err error) {
		if made, change, err = opened(t, asked, keys); err == nil {
			empty, err = emptyDoubts(t, made)
		}
		return made, change, err
	})
	if err != nil {
		return SessionOpened{}, err
	}
	out, err := shown(made, nil)
	out.Warnings = append(out.Warnings, empty...)
	return SessionOpened{Session: out, Links: keys.links(made, len(made.Judges))}, err
}

func opened(t record.Trial, asked record.PanelBody, keys keyring) (record.Panel, store.PanelChange, error) {
	made, err := record.NewPanel(t, asked)
	if err != nil {
		return made, store.PanelChange{}, err
	}
	codes, err := sensory.Codes(len(made.Glasses), drawn)
	if err != nil {
		return made, store.PanelChange{}, refused(err)
	}
	for i := range made.Glasses {
		made.Glasses[i].Code = codes[i]
	}
	serving, err := sensory.NewServing(len(made.Glasses), made.PerJudge, len(asked.Judges), drawn)
	if err != nil {
		return made, store.PanelChange{}, refused(err)
	}
	made.Serving = string(serving.Kind)
	return made, keys.change(made, asked.Judges, serving.Orders), nil
}

// Join asks further judges to a panel, with orders of serving that go with those
// that were given out. The error is record.ErrPanelClosed or a *calc.Problem.
func (p *Panels) Join(ctx context.Context, id string, asked record.PanelJudgesBody) (SessionOpened, error) {
	keys := keyring{}
	grown, err := p.store.ChangePanel(ctx, id, func(now record.Panel) (store.PanelChange, error) {
		if err := now.Joins(asked.Judges); err != nil {
			return store.PanelChange{}, err
		}
		serving, err := sensory.Join(ordersOf(now), len(now.Glasses), now.PerJudge, len(asked.Judges), drawn)
		if err != nil {
			return store.PanelChange{}, refused(err)
		}
		return keys.change(now, asked.Judges, serving.Orders[len(now.Judges):]), nil
	})
	if err != nil {
		return SessionOpened{}, err
	}
	out, err := shown(grown, nil)
	return SessionOpened{Session: out, Links: keys.links(grown, len(asked.Judges))}, err
}

// ordersOf are the orders of serving of a panel's judges, by the places of its
// glasses.
func ordersOf(p record.Panel) [][]int {
	at := map[string]int{}
	for i, g := range p.Glasses {
		at[g.Code] = i
	}
	out := make([][]int, len(p.Judges))
	for i, j := range p.Judges {
		for _, code := range j.Codes {
			out[i] = append(out[i], at[code])
		}
	}
	return out
}

// Link gives a judge another link; the one before dies at once.
func (p *Panels) Link(ctx context.Context, id, judgeID string) (JudgeLink, error) {
	keys, name := keyring{}, ""
	now, err := p.store.ChangePanel(ctx, id, func(now record.Panel) (store.PanelChange, error) {
		j, there := now.Judge(judgeID)
		switch {
		case !there:
			return store.PanelChange{}, record.ErrNotFound
		case now.Closing != nil:
			return store.PanelChange{}, record.ErrPanelClosed
		}
		name = j.Name
		return store.PanelChange{Links: map[string]string{name: keys.cut(name)}}, nil
	})
	if err != nil {
		return JudgeLink{}, err
	}
	for _, l := range keys.links(now, len(now.Judges)) {
		if l.Judge == judgeID {
			return l, nil
		}
	}
	return JudgeLink{}, fmt.Errorf("panel: judge %q has no link", name)
}

// Enter records what the leader types for a judge: a paper sheet, or a correction.
// again is that it stands already. The error is record.ErrPanelClosed or a
// *calc.Problem, which tells what stands where something else does; while the session
// is open, of what judges handed in nothing is told.
func (p *Panels) Enter(ctx context.Context, id string, asked record.PanelSheetBody) (answer record.PanelAnswer, again bool, err error) {
	return p.take(ctx, id, func(now record.Panel) (record.PanelAnswer, bool, error) { return now.TakesSheet(asked) })
}

func (p *Panels) take(ctx context.Context, id string, takes func(record.Panel) (record.PanelAnswer, bool, error)) (answer record.PanelAnswer, again bool, err error) {
	now, err := p.store.ChangePanel(ctx, id, func(now record.Panel) (store.PanelChange, error) {
		if answer, again, err = takes(now); err != nil || again {
			return store.PanelChange{}, err
		}
		return store.PanelChange{Answer: &answer}, nil
	})
	if err == nil && !again {
		answer, _ = now.Standing(answer.JudgeID)
	}
	return answer, again, err
}

// Close closes a session. The error is record.ErrPanelClosed or a *calc.Problem,
// which names the judges who have not handed in and are not named in without.
func (p *Panels) Close(ctx context.Context, id string, asked record.PanelClosingBody) (Session, error) {
	return shown(p.store.ChangePanel(ctx, id, func(now record.Panel) (store.PanelChange, error) {
		if err := now.Closes(asked); err != nil {
			return store.PanelChange{}, err
		}
		return store.PanelChange{Closing: &asked}, nil
	}))
}
