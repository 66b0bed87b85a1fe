package release

import (
	"context"

	"pourpath/api/record"
)

// Event is what the hook is told: a verdict that changed, or a decision.
type Event struct {
	Event       string           `json:"event" enum:"verdict,decision" doc:"What happened."`
	At          record.Instant   `json:"at" doc:"When it was recorded."`
	LotID       string           `json:"lot_id" doc:"Identifier of the lot."`
	Lot         string           `json:"lot" doc:"Its name."`
	SampleID    string           `json:"sample_id,omitempty" doc:"Identifier of the sample, of a verdict."`
	VerdictID   string           `json:"verdict_id,omitempty" doc:"Identifier of the verdict, of a verdict."`
	Before      *string          `json:"before" doc:"The verdict before, of the lot where a sample was judged for the first time and else of the sample, or the decision before; null for none."`
	After       string           `json:"after" doc:"The verdict: pass, fail or inconclusive; or the decision: released, held or rejected."`
	Spec        string           `json:"spec,omitempty" doc:"Identifier of the specification, of a verdict."`
	SpecVersion int              `json:"spec_version,omitempty" doc:"Its version."`
	Decision    *record.Decision `json:"decision" doc:"The newest decision about the lot; null for none."`
}

// tellSample tells of the first verdict on a sample, where the lot's verdict before
// it was another or none.
func (r *Release) tellSample(ctx context.Context, lot record.Lot, sample record.Sample) {
	if r.Hook == nil {
		return
	}
	ctx = context.WithoutCancel(ctx) // it is recorded, whether or not the answer is waited for
	before, err := r.store.VerdictsOf(ctx, lot.ID, record.Page{After: sample.VerdictID, Newest: true, Limit: 1})
	if err != nil {
		r.Hook.Lost(err)
		return
	}
	var was *string
	if len(before) > 0 {
		was = &before[0].Verdict
	}
	r.tellVerdict(ctx, lot, record.Verdict{LotID: lot.ID, SampleID: sample.ID, Judgement: sample.Judgement}, was)
}

// tellVerdict tells of a verdict where it is another than the one before.
func (r *Release) tellVerdict(ctx context.Context, lot record.Lot, v record.Verdict, before *string) {
	if r.Hook == nil || before != nil && *before == v.Verdict {
		return
	}
	decision, err := r.store.DecisionOf(context.WithoutCancel(ctx), lot.ID)
	if err != nil {
		r.Hook.Lost(err)
		return
	}
	r.Hook.Tell(Event{
		Event: "verdict", At: v.DecidedAt, LotID: lot.ID, Lot: lot.Name, SampleID: v.SampleID, VerdictID: v.VerdictID,
		Before: before, After: v.Verdict, Spec: v.Spec, SpecVersion: v.SpecVersion, Decision: decision,
	})
}

// tellDecision tells of a decision.
func (r *Release) tellDecision(lot record.Lot, d record.Decision, before *record.Decision) {
	e := Event{Event: "decision", At: d.RecordedAt, LotID: lot.ID, Lot: lot.Name, After: d.Decision, Decision: &d}
	if before != nil {
		e.Before = &before.Decision
	}
	r.Hook.Tell(e)
}
