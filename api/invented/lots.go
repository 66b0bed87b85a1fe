package invented

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// product is what the lots are of.
const product = "House rosé 750 mL"

// checks are those of the laboratory's instrument, one a quarter. All are passed.
func (t *story) checks() {
	at := func(nm, certified, reading float64) record.CheckPoint {
		return record.CheckPoint{NM: &nm, Certified: certified, Limit: 0.005, Reading: reading}
	}
	points := [][]record.CheckPoint{
		{at(420, 0.532, 0.531), at(520, 0.498, 0.499), at(620, 0.511, 0.511)},
		{at(420, 0.532, 0.530), at(520, 0.498, 0.498), at(620, 0.511, 0.509)},
		{at(420, 0.532, 0.533), at(520, 0.498, 0.499), at(620, 0.511, 0.510)},
	}
	for i, days := range []int{239, 149, 59} {
		t.tell(t.daysAgo(days, 8), "a check of the instrument", func(ctx context.Context) error {
			due := record.At(t.daysAgo(days-91, 0))
			body := record.InstrumentCheckBody{
				Instrument: "bench 2", Kind: record.FilterCheck, Reference: "Filter F2", By: "morning shift", NextDue: &due,
				Points: points[i],
			}
			body, err := asked(body)
			if err == nil {
				_, err = t.release.AddCheck(ctx, body)
			}
			return err
		})
	}
}

// lot is what was bottled.
type lot struct {
	name       string
	days       int     // bottled so many days ago
	yellow     float64 // by which its base is browner than usual, at 420 nm
	strength   float64 // of its red, against what was chosen
	retained   []int   // days after bottling on which kept bottles were read
	undecided  bool
	statedNote string // on its statement; without one none is issued
}

// bottled are the lots: about one in nine days. One base had browned in a cask that
// was not full, one lot got too much red, and the newest waits for a decision.
func bottled() []lot {
	const seed = 26 // of the scatter from lot to lot
	rng := rand.New(rand.NewPCG(seed, 0))
	lots := make([]lot, 26)
	for i := range lots {
		lots[i] = lot{
			name: fmt.Sprintf("HR-%02d", i+1), days: 229 - 9*i,
			yellow: 0.0025 * rng.NormFloat64(), strength: 1 + 0.03*rng.NormFloat64(),
		}
	}
	for _, i := range []int{0, 2, 4, 6, 8} {
		lots[i].retained = []int{40, 80, 120, 180}
	}
	lots[10].statedNote, lots[23].statedNote = "Issued with the delivery.", "Issued with the delivery."
	lots[15].yellow = 0.036
	lots[20].yellow = 0.030
	lots[25].undecided = true
	return lots
}

// readings are those of a bottle so many days old, with the instrument's scatter. The
// base is as the trial's; colour is lost as this winery's wine loses it.
func (l lot) readings(days int, rng *rand.Rand) record.Measurement {
	lost := 1 - math.Exp2(-float64(days)/300)
	as := func(base, red, keeps float64) float64 {
		a := base + red*l.strength*keeps + 0.0008*rng.NormFloat64()
		return math.Round(a*1000) / 1000
	}
	return read(
		as(0.102+l.yellow+0.02*lost, 0.132, 1-0.06*lost), as(0.027+0.2*l.yellow, 0.208, 1-0.15*lost), as(0.010, 0.037, 1-0.06*lost),
		two(as(0.053+0.6*l.yellow, 0.122, 1-0.1*lost), as(0.017, 0.111, 1-0.13*lost))...,
	)
}

// lots tells of the specification, and of each lot from bottling on.
func (t *story) lots() {
	t.tell(t.daysAgo(232, 9), "the specification", t.specification)
	rng := rand.New(rand.NewPCG(27, 0))
	for _, l := range bottled() {
		var id string
		fresh := l.readings(0, rng)
		t.tell(t.daysAgo(l.days, 10), l.name, func(ctx context.Context) (err error) {
			id, err = t.bottle(ctx, l, fresh)
			return err
		})
		for _, days := range l.retained {
			kept := l.readings(days, rng)
			if days >= l.days {
				continue
			}
			t.tell(t.daysAgo(l.days-days, 14), l.name+" read again", func(ctx context.Context) error {
				_, err := t.sample(ctx, id, record.SampleBody{Measurement: kept, Stage: record.Retained})
				return err
			})
		}
	}
}

// specification is the colour of the dose that was chosen, as the final check read it.
func (t *story) specification(ctx context.Context) error {
	risk := 0.05
	from := record.At(t.clock.Now())
	body := record.SpecBody{
		Spec: calc.Spec{
			Name: "House rosé", Tolerance: &calc.SpecTolerance{DeltaE00: 2},
			Limits: &calc.Limits{L: &[2]float64{86, 88.5}, Tint: &[2]float64{0.9, 1.1}},
			Rule:   "guarded", MaxRisk: &risk, Reading: &calc.ReadingMethod{Source: "readings", ExtraNM: []float64{460, 570}},
		},
		Reference: &record.SpecReference{Trial: t.house}, Product: product, ValidFrom: &from, ApprovedBy: "Rowan, quality",
	}
	body, err := asked(body)
	if err == nil {
		_, err = t.release.AddSpec(ctx, body)
	}
	return err
}

// bottle adds a lot with a sample of its run, and decides about it by the verdict.
func (t *story) bottle(ctx context.Context, l lot, m record.Measurement) (id string, err error) {
	body, err := asked(record.LotBody{Name: l.name, Product: product, BottledAt: t.told(), Storage: "12 °C, screw cap"})
	if err != nil {
		return "", err
	}
	made, err := t.release.AddLot(ctx, body)
	if err != nil {
		return "", err
	}
	t.wait(90)
	sample, err := t.sample(ctx, made.ID, record.SampleBody{Measurement: m, Stage: record.Middle})
	if err != nil || l.undecided {
		return made.ID, err
	}
	t.wait(60)
	return made.ID, t.decide(ctx, made.ID, l, sample)
}

func (t *story) sample(ctx context.Context, lot string, body record.SampleBody) (record.Sample, error) {
	body.Circumstances = t.benchTwo()
	body, err := asked(body)
	if err != nil {
		return record.Sample{}, err
	}
	return t.release.AddSample(ctx, lot, body)
}

// decide goes by the verdict, whatever it is: what passes is released, what is
// undecided is held until it is read once more, and what fails is rejected.
func (t *story) decide(ctx context.Context, id string, l lot, sample record.Sample) error {
	body := record.DecisionBody{Decision: "released", Verdicts: []string{sample.VerdictID}, By: "Rowan, quality"}
	switch sample.Verdict {
	case "inconclusive":
		body.Decision, body.Reason = "held", "The reading cannot tell. A second bottle is to be read."
	case "fail":
		body.Decision, body.Reason = "rejected", "Its base had browned in a cask that was not full. It goes back to be blended."
	}
	body, err := asked(body)
	if err != nil {
		return err
	}
	if _, err := t.release.Decide(ctx, id, body); err != nil {
		return err
	}
	if l.statedNote == "" {
		return nil
	}
	statement, err := asked(record.StatementBody{Verdict: sample.VerdictID, IssuedBy: "Rowan, quality", Note: l.statedNote})
	if err == nil {
		_, err = t.release.Issue(ctx, id, statement)
	}
	return err
}
