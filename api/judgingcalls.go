package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/access"
	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// judgingPath is the one address of the interface that a judge's key is good for.
const judgingPath = "/v1/judging"

type (
	// AsJudge is the part of a request that says which judge it is from. The gate reads
	// it; it stands here for the interface's description.
	AsJudge struct {
		Authorization string `header:"Authorization" doc:"Bearer and the key of the judge's link; a browser that opened the link has a cookie instead."`
	}
	judgingBody struct {
		AsJudge
		Sent
	}
)

// judgingCalls are the calls for judges.
func (s *service) judgingCalls(api huma.API) {
	unknown := []int{http.StatusUnauthorized}
	registerRecord(s, api, recordOp[AsJudge]{
		method: http.MethodGet, path: judgingPath, id: "judging", tag: tagPanels, summary: "What a judge is asked",
		description: "The question and the codes of this judge's glasses in the order in which they are served; after handing in, what was handed in (not by a link that was given out later); after closing, that the session has ended and nothing else.",
		answer:      reflect.TypeFor[panel.Judging](), errors: unknown,
		handle: func(ctx context.Context, _ *AsJudge) (*reply, error) {
			judge, err := s.judge(ctx)
			if err != nil {
				return nil, err
			}
			return foundReply(s.panel.Judging(ctx, judge))
		},
	})
	registerRecord(s, api, recordOp[judgingBody]{
		method: http.MethodPost, path: judgingPath, id: "hand-in", tag: tagPanels, summary: "Hand in a judge's answers",
		description: "All of the judge's glasses at once, and once: the same sent again counts once (200), anything else is refused with what stands (409; by a link that was given out later everything is, without what stands), and so is whatever comes after closing.",
		body:        reflect.TypeFor[record.PanelHandInBody](), example: exampleHandIn,
		status: http.StatusCreated, answer: reflect.TypeFor[panel.Judging](), once: true, errors: append(unknown, http.StatusConflict),
		handle: func(ctx context.Context, in *judgingBody) (*reply, error) {
			judge, err := s.judge(ctx)
			if err != nil {
				return nil, err
			}
			asked, err := calc.DecodeWhole[record.PanelHandInBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			out, again, err := s.panel.HandIn(ctx, judge, asked)
			return onceReply(judgingPath, out, again, err)
		},
	})
}

// judge is the judge whose key came with a request, as the gate has found.
func (s *service) judge(ctx context.Context) (string, error) {
	if id := access.VisitorOf(ctx).Judge; id != "" {
		return id, nil
	}
	return "", record.ErrNoJudge
}
