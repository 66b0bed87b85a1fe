package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

const (
	exampleJudge    = `{"spec_version": 2}`
	exampleVerify   = `{"limit": 1000}`
	exampleDecision = `{"decision": "held", "by": "Ada", "reason": "the sample of the end of the run is read again tomorrow"}`
)

// verdictCalls are the calls about verdicts, and what was decided by them.
func (s *service) verdictCalls(api huma.API) {
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/lots/{id}/verdicts", id: "judge-again", tag: tagRecords, summary: "Judge stored samples again",
		description: "Judges samples of the lot by another version of its specification, or by another specification. Each gets another verdict; those that it has stay. changed counts the verdicts that differ from the one before.",
		body:        reflect.TypeFor[record.JudgeBody](), example: exampleJudge,
		status: http.StatusCreated, answer: reflect.TypeFor[release.Again](), errors: []int{http.StatusConflict}, handle: s.judgeAgain,
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/lots/{id}/verdicts", id: "list-verdicts", tag: tagRecords, summary: "The verdicts on a lot",
		description: "All verdicts on its samples, in the order in which they were given.",
		answer:      reflect.TypeFor[listOf[record.Verdict]](),
		handle: func(ctx context.Context, in *ofWine) (*reply, error) {
			return pageReply(in.Listing, func(p record.Page) ([]record.Verdict, error) { return s.release.Verdicts(ctx, in.ID, p) },
				func(v record.Verdict) string { return v.VerdictID })
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/verdicts/{id}", id: "verdict", tag: tagRecords, summary: "One verdict",
		description: "A verdict with all that it was found by.",
		answer:      reflect.TypeFor[record.Verdict](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return foundReply(s.release.Verdict(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[verifying]{
		method: http.MethodPost, path: "/v1/verdicts/verify", id: "verify-verdicts", tag: tagRecords, summary: "Compute stored verdicts anew",
		description: "Computes verdicts from the specifications and samples that are stored with them, and says how many have the same figures and what differs in the others. Nothing is stored. It answers in parts of limit verdicts: next is where to go on. With the header Accept: application/x-ndjson the answer comes as lines of JSON: {\"done\": n} after each thousand, then {\"answer\": …} as it is without, or {\"problem\": …}.",
		body:        reflect.TypeFor[release.VerifyBody](), example: exampleVerify,
		answer: reflect.TypeFor[release.Recomputed](), choices: []string{lines}, errors: []int{http.StatusNotFound}, stream: s.verifyVerdicts,
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/lots/{id}/decisions", id: "add-decision", tag: tagRecords, summary: "Decide about a lot",
		description: "What was decided about the lot, by whom and by which verdicts. A release needs a reason where the newest verdict on a sample is no pass. Decisions are never changed: the newest counts.",
		body:        reflect.TypeFor[record.DecisionBody](), example: exampleDecision,
		status: http.StatusCreated, answer: reflect.TypeFor[record.Decision](), errors: []int{http.StatusConflict}, handle: s.decide,
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/lots/{id}/decisions", id: "list-decisions", tag: tagRecords, summary: "The decisions about a lot",
		description: "In the order in which they were recorded.",
		answer:      reflect.TypeFor[listOf[record.Decision]](),
		handle: func(ctx context.Context, in *ofWine) (*reply, error) {
			return pageReply(in.Listing, func(p record.Page) ([]record.Decision, error) { return s.config.Records.DecisionsOf(ctx, in.ID, p) },
				func(d record.Decision) string { return d.ID })
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/lots/{id}/run", id: "run-advice", tag: tagRecords, summary: "Whether to stop a bottling run",
		description: "What the newest samples of the run say: stop where the newest is outside, where the two newest have no pass, or where two of the newest three are beyond one warning limit on one side; else go on.",
		answer:      reflect.TypeFor[record.RunAdvice](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return foundReply(s.release.Run(ctx, in.ID))
		},
	})
}

func (s *service) judgeAgain(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.JudgeBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	again, err := s.release.Judge(ctx, in.ID, asked)
	return madeReply("/v1/lots/"+in.ID+"/verdicts", again, err)
}

// verifying is a request to compute verdicts anew.
type verifying struct {
	Accept string `header:"Accept" doc:"application/x-ndjson for lines of JSON that tell how far it is."`
	Sent
}

// lines is the media type of JSON in lines.
const lines = "application/x-ndjson"

func (s *service) verifyVerdicts(ctx context.Context, in *verifying) (func(huma.Context), error) {
	asked, err := calc.DecodeWhole[release.VerifyBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	if negotiate(in.Accept, []string{"application/json", lines}) == 1 {
		return func(c huma.Context) { s.verifyInLines(c, asked) }, nil
	}
	found, err := s.release.Verify(ctx, asked, nil)
	if err != nil {
		return nil, err
	}
	text, err := encode(found)
	return func(c huma.Context) {
		c.SetStatus(http.StatusOK)
		c.SetHeader("Content-Type", "application/json")
		if _, err := c.BodyWriter().Write(text); err != nil {
			s.config.Log.Warn("an answer was not taken", "error", err)
		}
	}, err
}

func (s *service) decide(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.DecisionBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	made, err := s.release.Decide(ctx, in.ID, asked)
	return madeReply("/v1/lots/"+in.ID+"/decisions", made, err)
}
