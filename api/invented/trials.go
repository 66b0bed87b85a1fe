package invented

import (
	"context"
	"errors"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// The tools of the benches. Limits of glass are those of its class.
var (
	syringe  = calc.Tool{Name: "10 mL syringe", Kind: "syringe", CapacityML: 10, GraduationML: 0.5}
	pipette  = calc.Tool{Name: "10 mL graduated pipette", Kind: "graduated_pipette", CapacityML: 10, GraduationML: 0.1, Class: "B"}
	cylinder = calc.Tool{Name: "50 mL cylinder", Kind: "cylinder", CapacityML: 50, GraduationML: 1, Class: "A"}
)

// glass is what was poured into a glass: mL of the addition.
type glass struct {
	label string
	ml    float64
}

// begin begins a trial; target is the name of a stored one.
func (t *story) begin(ctx context.Context, body record.TrialBody, base, addition, target string) (string, error) {
	body.Base.ID, body.Addition.ID = t.wines[base], t.wines[addition]
	id := t.targets[target]
	body.Target = &calc.Target{ID: &id}
	body, err := asked(body)
	if err != nil {
		return "", err
	}
	made, err := t.bench.Begin(ctx, body)
	return made.ID, err
}

// entry is the body of an entry of a trial's log.
type entry interface {
	calc.Request
	Entry() record.LogEntry
}

// log adds an entry to a trial, five minutes after what was before.
func log[B entry](ctx context.Context, t *story, trial string, body B) error {
	t.wait(5)
	body, err := asked(body)
	if err == nil {
		_, err = t.bench.Add(ctx, trial, body.Entry())
	}
	return err
}

func (t *story) pour(ctx context.Context, trial string, tool calc.Tool, glasses ...glass) error {
	for _, g := range glasses {
		if err := log(ctx, t, trial, record.PourBody{Glass: g.label, VolumeML: g.ml, Said: record.Said{Tool: tool.Name, Who: "Fern"}}); err != nil {
			return err
		}
	}
	return nil
}

// reads is a glass that was read, an hour and more after it was poured.
func (t *story) reads(label string, m record.Measurement) record.MeasurementBody {
	return record.MeasurementBody{Glass: label, Measurement: m, Circumstances: t.benchTwo()}
}

// houseRosé is the trial that is done: poured and read, judged blind, chosen, and
// checked after a night in the cold.
func (t *story) houseRosé() {
	t.tell(t.daysAgo(236, 9), "the house rosé's trial", func(ctx context.Context) (err error) {
		t.house, err = t.begin(ctx, record.TrialBody{
			TrialFields: record.TrialFields{Name: "House rosé", BaseML: 400, Tools: []calc.Tool{cylinder, pipette}},
			Glasses:     []string{"A", "B", "C", "D", "E", "F"},
		}, houseWhite, houseRed, lastYears)
		if err != nil {
			return err
		}
		if err := t.pour(ctx, t.house, cylinder, glass{"B", 8}, glass{"C", 16}, glass{"D", 24}, glass{"E", 32}, glass{"F", 40}); err != nil {
			return err
		}
		t.wait(75)
		return errors.Join(
			log(ctx, t, t.house, t.reads("C", read(0.193, 0.169, 0.036, two(0.138, 0.093)...))),
			log(ctx, t, t.house, t.reads("D", read(0.235, 0.233, 0.047, two(0.175, 0.128)...))),
			log(ctx, t, t.house, t.reads("F", read(0.310, 0.359, 0.069, two(0.247, 0.196)...))),
		)
	})
	t.tell(t.daysAgo(235, 10), "the house rosé's panel", t.housePanel)
	t.tell(t.daysAgo(235, 13), "the house rosé's choice", func(ctx context.Context) error {
		volume := 260.0
		err := errors.Join(
			log(ctx, t, t.house, record.NoteBody{Glass: "D", Note: "Clean and bright, the red does not show on the palate.", Who: "Fern"}),
			log(ctx, t, t.house, record.ChoiceBody{Glass: "D", Reasons: "Put first by the panel, and nearest to last year's rosé.", Who: "Fern"}),
		)
		if err != nil {
			return err
		}
		t.wait(90)
		return log(ctx, t, t.house, record.FinalCheckBody{
			VolumeML: &volume, Measurement: read(0.234, 0.235, 0.047, two(0.175, 0.128)...), Circumstances: t.benchTwo(), Tool: cylinder.Name, Who: "Fern",
		})
	})
	t.tell(t.daysAgo(234, 9), "the house rosé's night in the cold", func(ctx context.Context) error {
		return log(ctx, t, t.house, record.FinalCheckBody{LookedAgain: &record.LookedAgain{Clear: true, Note: "After a night at 2 °C: no haze, no crystals."}, Who: "Fern"})
	})
}

// deepRosé is a trial whose glasses stand before a panel now.
func (t *story) deepRosé() {
	var trial string
	t.tell(t.daysAgo(1, 15), "the deep rosé's trial", func(ctx context.Context) (err error) {
		trial, err = t.begin(ctx, record.TrialBody{
			TrialFields: record.TrialFields{Name: "Deep rosé", BaseML: 250, Tools: []calc.Tool{cylinder, pipette}},
			Glasses:     []string{"A", "B", "C", "D", "E"},
		}, "White, tank 3", "Young red, tank 2", "Deep (intensity, tint)")
		if err != nil {
			return err
		}
		return t.pour(ctx, trial, cylinder, glass{"B", 15}, glass{"C", 22}, glass{"D", 30}, glass{"E", 37})
	})
	t.tell(t.minutesAgo(50), "the deep rosé's panel", func(ctx context.Context) error { return t.deepPanel(ctx, trial) })
}

// springRosé is a trial in the middle of its bench work: some glasses are poured, one
// was read, one was sipped from.
func (t *story) springRosé() {
	t.tell(t.minutesAgo(170), "the spring rosé's trial", func(ctx context.Context) error {
		trial, err := t.begin(ctx, record.TrialBody{
			TrialFields: record.TrialFields{Name: "Spring rosé", BaseML: 100, Tools: []calc.Tool{syringe, pipette}},
			Glasses:     []string{"A", "B", "C", "D", "E"},
		}, "White, tank 5", "Red, barrel 7", lastYears)
		if err != nil {
			return err
		}
		if err := t.pour(ctx, trial, syringe, glass{"B", 2}, glass{"C", 4}, glass{"D", 8}); err != nil {
			return err
		}
		t.wait(75)
		err = errors.Join(
			log(ctx, t, trial, t.reads("C", read(0.194, 0.173, 0.036, two(0.138, 0.094)...))),
			log(ctx, t, trial, record.WithdrawalBody{Glass: "D", VolumeML: 15, Why: "tasting", Said: record.Said{Who: "Fern"}}),
			log(ctx, t, trial, record.NoteBody{Glass: "D", Note: "A shade too deep; the next glass between C and D.", Who: "Fern"}),
		)
		if err != nil {
			return err
		}
		t.wait(20)
		return t.pour(ctx, trial, syringe, glass{"B", 1})
	})
}
