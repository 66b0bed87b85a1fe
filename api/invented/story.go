package invented

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

// story is a cellar whose past is told event by event.
type story struct {
	store   *store.Store
	bench   *bench.Bench
	panels  *panel.Panels
	release *release.Release

	clock  *Clock
	now    time.Time
	events []event

	wines   map[string]string // identifiers by name
	targets map[string]string
	house   string // identifier of the trial that the house rosé was chosen in
}

// event is something that is done at a time.
type event struct {
	at   time.Time
	what string // for an error
	do   func(context.Context) error
}

// Fill fills a new store, whose clock is the one given: with the wines and targets
// of pages.InventedCellar, and with the work of the last months up to now. Judgements
// say that they were made by version. At the end the clock goes as the machine's.
func Fill(ctx context.Context, s *store.Store, clock *Clock, version string) error {
	b := bench.New(s)
	t := &story{
		store: s, bench: b, panels: panel.New(s), release: release.New(s, b, version),
		clock: clock, now: time.Now().UTC(), wines: map[string]string{}, targets: map[string]string{},
	}
	defer clock.run()
	if err := t.cellar(); err != nil {
		return err
	}
	t.houseRosé()
	t.checks()
	t.lots()
	t.deepRosé()
	t.springRosé()
	slices.SortStableFunc(t.events, func(a, b event) int { return a.at.Compare(b.at) })
	for _, e := range t.events {
		clock.stand(e.at)
		if err := e.do(ctx); err != nil {
			return fmt.Errorf("invented: %s: %w", e.what, err)
		}
	}
	return nil
}

// daysAgo is a time of day, in hours UTC, so many days before today.
func (t *story) daysAgo(days, hour int) time.Time {
	return t.now.Truncate(24*time.Hour).AddDate(0, 0, -days).Add(time.Duration(hour) * time.Hour)
}

// minutesAgo is for what is under way.
func (t *story) minutesAgo(minutes int) time.Time {
	return t.now.Add(-time.Duration(minutes) * time.Minute)
}

func (t *story) tell(at time.Time, what string, do func(context.Context) error) {
	t.events = append(t.events, event{at: at, what: what, do: do})
}

// wait lets minutes pass within an event.
func (t *story) wait(minutes int) {
	t.clock.stand(t.clock.Now().Add(time.Duration(minutes) * time.Minute))
}

// told is the time of the story as a record has it.
func (t *story) told() *record.Instant {
	at := record.At(t.clock.Now())
	return &at
}

// asked is a request as the interface reads it: by its checks, from its JSON.
func asked[B calc.Request](body B) (B, error) {
	text, err := json.Marshal(body)
	if err != nil {
		return body, err
	}
	return calc.DecodeWhole[B](text)
}

func read(a420, a520, a620 float64, extra ...calc.Reading) record.Measurement {
	return record.Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620, Extra: extra}}
}

// two are readings at the further wavelengths that a colour is surest with.
func two(a460, a570 float64) []calc.Reading {
	return []calc.Reading{{NM: 460, Absorbance: a460}, {NM: 570, Absorbance: a570}}
}

// benchTwo is how the laboratory reads.
func (t *story) benchTwo() record.Circumstances {
	return record.Circumstances{TakenAt: t.told(), Instrument: "bench 2", Analyst: "morning shift", Blank: "water"}
}
