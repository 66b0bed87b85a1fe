package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

const (
	exampleTrial = `{"name": "First ladder", "base": {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}},
 "addition": {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},
 "base_ml": 100, "target": {"cielab": {"L": 85, "a": 16, "b": 4}, "tolerance": {"delta_e_00": 3}}, "glasses": ["A", "B", "C"]}`
	examplePour        = `{"glass": "B", "volume_ml": 2, "stated_total_ml": 10, "tool": "5 mL syringe", "key": "7c1d"}`
	exampleWithdrawal  = `{"glass": "B", "volume_ml": 15, "why": "tasting"}`
	exampleUndo        = `{"entry": 1, "why": "it went into glass C", "by": "Ada", "key": "7c1e"}`
	exampleNote        = `{"glass": "B", "note": "bright, a little short", "score": 71, "scale": "liking, 0 to 100", "who": "Ada"}`
	exampleChoice      = `{"glass": "B", "reasons": "closest to the target, and liked best"}`
	exampleFinalCheck  = `{"volume_ml": 250, "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10}, "looked_again": {"at": "2026-11-26T09:00:00Z", "clear": true}}`
	examplePlan        = `{"kind": "closing", "tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}], "to_ml": 12}`
	exampleMeasurement = `{"glass": "B", "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10}, "minutes_since_blending": 20}`
)

// trialCalls are the calls about trials.
func (s *service) trialCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/trials", id: "add-trial", tag: tagRecords, summary: "Begin a trial",
		description: "A base, an addition and the glasses that it will be poured into. What stored wines and a stored target are at this moment is copied into the trial and used from then on.",
		body:        reflect.TypeFor[record.TrialBody](), example: exampleTrial,
		status: http.StatusCreated, answer: reflect.TypeFor[bench.TrialAnswer](), handle: s.addTrial,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/trials", id: "list-trials", tag: tagRecords, summary: "List trials",
		description: "Trials in the order in which they were begun.",
		answer:      reflect.TypeFor[listOf[bench.TrialAnswer]](), handle: s.listTrials,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/trials/{id}", id: "trial", tag: tagRecords, summary: "One trial",
		description: "A trial with its glasses, its log, and the ladder as it is predicted from the wines and from what was measured.",
		answer:      reflect.TypeFor[bench.TrialAnswer](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return trialReply(s.bench.Trial(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodDelete, path: "/v1/trials/{id}", id: "archive-trial", tag: tagRecords, summary: "Archive a trial",
		description: "Takes the trial out of lists; it stays readable and takes no more entries.",
		answer:      reflect.TypeFor[bench.TrialAnswer](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return trialReply(s.bench.Archive(ctx, in.ID))
		},
	})
	s.trialLogCalls(api)
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/trials/{id}/plan", id: "plan-trial", tag: tagRecords, summary: "Plan what to pour",
		description: "Which tool and sample volume to take, the rungs of a ladder on that tool's graduation, the pours that walk the glasses up it, and which rung to read next. Nothing is stored.",
		body:        reflect.TypeFor[bench.TrialPlanRequest](), example: examplePlan,
		answer: reflect.TypeFor[bench.TrialPlan](), handle: s.planTrial,
	})
}

// trialLogCalls are the calls that add to a trial's log.
func (s *service) trialLogCalls(api huma.API) {
	logCall[record.PourBody](s, api, "pours", recordOp[toWine]{
		id: "add-pour", summary: "Log a pour", example: examplePour,
		description: "Addition poured into a glass. The dose and its uncertainty are computed from what is in the glass and the tools that it was measured with: more than the named tool holds is refused, a volume between two of its lines is asked about (off_graduation). A stated total that contradicts the log is warned of (total_mismatch) with the likeliest slip, and the pour is kept.",
	})
	logCall[record.WithdrawalBody](s, api, "withdrawals", recordOp[toWine]{
		id: "add-withdrawal", summary: "Log a withdrawal", example: exampleWithdrawal,
		description: "Blend taken out of a glass: a sip, a cell filled for a reading. The rest keeps its dose, and later pours count for more.",
	})
	logCall[record.MeasurementBody](s, api, "measurements", recordOp[toWine]{
		id: "add-measurement", summary: "Log a measurement", example: exampleMeasurement,
		description: "What was read of the blend in a glass, at the dose that it holds. The trial's ladder is recalibrated to it. A reading right after blending, by minutes_since_blending or else by the log's times, is marked to be repeated the next day (read_again_next_day); one that fits no plausible path asks whether it was the right glass (off_path). Both are kept.",
	})
	logCall[record.UndoBody](s, api, "undo", recordOp[toWine]{
		id: "undo-entry", summary: "Take an entry back", example: exampleUndo,
		description: "Adds an entry to the log that takes an earlier one back; nothing is deleted, and taking back an undo lets the entry stand again. What would make a later entry impossible, such as a withdrawal of more than there would have been, or would turn a final check into one of another dose, is refused with the entry that stands in the way.",
	})
	logCall[record.NoteBody](s, api, "notes", recordOp[toWine]{
		id: "add-note", summary: "Log a note or score", example: exampleNote,
		description: "A note on a glass, a score, or both, at the dose that it holds.",
	})
	logCall[record.ChoiceBody](s, api, "choice", recordOp[toWine]{
		id: "choose-dose", summary: "Choose a dose", example: exampleChoice,
		description: "The dose that was chosen, by its glass or as a number, with the reasons. The latest choice counts; earlier ones stay in the log.",
	})
	logCall[record.FinalCheckBody](s, api, "final-check", recordOp[toWine]{
		id: "add-final-check", summary: "Log the final check", example: exampleFinalCheck,
		description: "The chosen dose, poured fresh and once at 250 mL or more, read, kept cold overnight and looked at again. What was seen the next day may be added by a second call with looked_again alone. The ladder is not recalibrated to it: it is what the ladder is tested by.",
	})
}

// logCall registers a call that adds to a trial's log.
func logCall[B interface {
	calc.Request
	Entry() record.LogEntry
}](s *service, api huma.API, path string, op recordOp[toWine]) {
	op.method, op.path, op.tag = http.MethodPost, "/v1/trials/{id}/"+path, tagRecords
	op.body, op.answer, op.status = reflect.TypeFor[B](), reflect.TypeFor[record.Logged](), http.StatusCreated
	op.errors = []int{http.StatusConflict}
	op.handle = func(ctx context.Context, in *toWine) (*reply, error) {
		entry, err := record.EntryOf[B](in.RawBody)
		if err != nil {
			return nil, err
		}
		added, err := s.bench.Add(ctx, in.ID, entry)
		if err != nil {
			return nil, err
		}
		out, err := jsonReply(added, 0)
		if err != nil {
			return nil, err
		}
		out.Location = "/v1/trials/" + in.ID
		return out, nil
	}
	registerRecord(s, api, op)
}

func (s *service) addTrial(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.TrialBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	added, err := s.bench.Begin(ctx, asked)
	out, err := trialReply(added, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/trials/" + added.ID
	return out, nil
}

func trialReply(t bench.TrialAnswer, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(t, 0)
}

func (s *service) planTrial(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[bench.TrialPlanRequest](in.RawBody)
	if err != nil {
		return nil, err
	}
	plan, err := s.bench.Plan(ctx, in.ID, asked)
	if err != nil {
		return nil, err
	}
	return jsonReply(plan, 0)
}

func (s *service) listTrials(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	trials, err := s.bench.Trials(ctx, p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(trials, limit, func(t bench.TrialAnswer) string { return t.ID }), 0)
}
