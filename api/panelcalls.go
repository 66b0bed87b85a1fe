package api

import (
	"bytes"
	"context"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/reports/sheet"
)

const (
	examplePanel = `{"name": "Thursday", "glasses": ["A", "B", "C"], "question": "Which colour do you like most?", "answer": "ranks", "ties": false,
 "judges": [{"name": "Ada"}, {"name": "Ben"}, {"name": "Cleo"}, {"name": "Dan"}], "leader": "Eve"}`
	exampleJudges  = `{"judges": [{"name": "Fay"}]}`
	exampleSheetIn = `{"judge": "0196a0c4", "answers": [{"code": "412", "rank": 1}, {"code": "938", "rank": 2}, {"code": "275", "rank": 3}], "by": "Eve"}`
	exampleClosing = `{"without": ["0196a0c4"], "by": "Eve", "note": "north light, overcast"}`
	exampleHandIn  = `{"answers": [{"code": "412", "rank": 1}, {"code": "938", "rank": 2}, {"code": "275", "rank": 3, "note": "a little dull"}]}`
)

// linkRoute is the route, as the router names it, of a call without a body.
const linkRoute = "/v1/panels/:id/judges/:judge/link"

type (
	// OfJudge is the part of a request that names a judge of a panel.
	OfJudge struct {
		ByID
		Judge string `path:"judge" doc:"Identifier of the judge."`
	}
	resultOf struct {
		ByID
		InLanguage
		Accept string `header:"Accept" hidden:"true"`
	}
	paperOf struct {
		ByID
		AsSheet
	}
	sheetsOf struct {
		ByID
		AsSheet
		Judge string `query:"judge" doc:"Identifier of a judge, for that sheet alone."`
	}
)

// panelCalls are the calls about panels, for their leader.
func (s *service) panelCalls(api huma.API) {
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/trials/{id}/panels", id: "open-panel", tag: tagPanels, summary: "Open a panel on a trial's glasses",
		description: "A blind session: each glass gets three random digits, each judge an order of serving and a link. The doses that the glasses hold now are copied in, so that later pours change nothing of the panel. The links are in this answer and nowhere else.",
		body:        reflect.TypeFor[record.PanelBody](), example: examplePanel,
		status: http.StatusCreated, answer: reflect.TypeFor[panel.SessionOpened](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			asked, err := calc.DecodeWhole[record.PanelBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			out, err := s.panel.Open(ctx, in.ID, asked)
			return madeReply("/v1/panels/"+out.ID, out, err)
		},
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/trials/{id}/panels", id: "list-panels", tag: tagPanels, summary: "The panels of a trial",
		description: "In the order in which they were opened. For the leader: the codes with their glasses and doses are in it.",
		answer:      reflect.TypeFor[listOf[panel.Session]](),
		handle: func(ctx context.Context, in *ofWine) (*reply, error) {
			return pageReply(in.Listing, func(p record.Page) ([]panel.Session, error) { return s.panel.PanelsOf(ctx, in.ID, p) },
				func(p panel.Session) string { return p.ID })
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/panels/{id}", id: "panel", tag: tagPanels, summary: "One panel, for its leader",
		description: "Which code is which glass, who judges in which order, and who has handed in. What was answered is told once the session is closed. Not for judges.",
		answer:      reflect.TypeFor[panel.Session](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return foundReply(s.panel.Panel(ctx, in.ID))
		},
	})
	s.panelJudgeCalls(api)
	s.panelClosing(api)
	s.panelPapers(api)
}

// panelJudgeCalls are those about judges and what they answered.
func (s *service) panelJudgeCalls(api huma.API) {
	conflict := []int{http.StatusConflict}
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/panels/{id}/judges", id: "join-panel", tag: tagPanels, summary: "Ask further judges",
		description: "Judges who join while the session is open. Their orders of serving are those that leave places and sequences most even. The answer has the links of those who joined.",
		body:        reflect.TypeFor[record.PanelJudgesBody](), example: exampleJudges,
		status: http.StatusCreated, answer: reflect.TypeFor[panel.SessionOpened](), errors: conflict,
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			asked, err := calc.DecodeWhole[record.PanelJudgesBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			out, err := s.panel.Join(ctx, in.ID, asked)
			return madeReply("/v1/panels/"+out.ID, out, err)
		},
	})
	registerRecord(s, api, recordOp[OfJudge]{
		method: http.MethodPost, path: "/v1/panels/{id}/judges/{judge}/link", id: "link-judge", tag: tagPanels, summary: "Give a judge another link",
		description: "The link that the judge had dies at once. What was handed in stays, and is not shown by the new link.",
		status:      http.StatusCreated, answer: reflect.TypeFor[panel.JudgeLink](), errors: conflict,
		handle: func(ctx context.Context, in *OfJudge) (*reply, error) {
			out, err := s.panel.Link(ctx, in.ID, in.Judge)
			return madeReply("/v1/panels/"+in.ID, out, err)
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/panels/{id}/answers", id: "enter-panel-answer", tag: tagPanels, summary: "Type a judge's paper sheet",
		description: "What a judge wrote on paper, or a correction: another record, which names the answer that stands and says why; both are kept. The same sent again counts once (200). Of what a judge handed in by link nothing is told, nor compared, while the session is open: it is refused (409) unless it is corrected. A correction after closing is marked, as the codes were known by then.",
		body:        reflect.TypeFor[record.PanelSheetBody](), example: exampleSheetIn,
		status: http.StatusCreated, answer: reflect.TypeFor[record.PanelAnswer](), once: true, errors: conflict,
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			asked, err := calc.DecodeWhole[record.PanelSheetBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			out, again, err := s.panel.Enter(ctx, in.ID, asked)
			return onceReply("/v1/panels/"+in.ID, out, again, err)
		},
	})
}

// panelClosing are the calls at the end of a session.
func (s *service) panelClosing(api huma.API) {
	conflict := []int{http.StatusConflict}
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/panels/{id}/close", id: "close-panel", tag: tagPanels, summary: "Close the session",
		description: "Nothing more is taken, judges' links say that the session has ended, and the result is told. Judges who have not handed in must be named in without: where one is not, the session stays open and the answer (409) names them.",
		body:        reflect.TypeFor[record.PanelClosingBody](), example: exampleClosing,
		answer: reflect.TypeFor[panel.Session](), errors: conflict,
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			asked, err := calc.DecodeWhole[record.PanelClosingBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			return foundReply(s.panel.Close(ctx, in.ID, asked))
		},
	})
	pictures := make([]string, 0, len(chartMedia)-1)
	for _, m := range chartMedia[1:] {
		pictures = append(pictures, m.mediaType)
	}
	registerRecord(s, api, recordOp[resultOf]{
		method: http.MethodGet, path: "/v1/panels/{id}/result", id: "panel-result", tag: tagPanels, summary: "What a closed panel found",
		description: "Whether the glasses differ (Friedman's test), whether the answers go along with the dose (Page's), how far the judges agree (Kendall's W), which glasses differ, the dose that is put first with its interval, and what so few judges could not have found. Computed from the stored answers. Until the session is closed, 409. The header Accept chooses application/json (also for */*), or the picture of it: image/svg+xml, image/png or application/pdf.",
		answer:      reflect.TypeFor[panel.Outcome](), choices: pictures, errors: append(conflict, http.StatusNotAcceptable), handle: s.panelResult,
	})
}

// panelResult answers with a result, or with the picture of it.
func (s *service) panelResult(ctx context.Context, in *resultOf) (*reply, error) {
	offered := make([]string, len(chartMedia))
	for i, m := range chartMedia {
		offered[i] = m.mediaType
	}
	chosen := negotiate(in.Accept, offered)
	switch {
	case chosen < 0:
		return nil, kindNotAcceptable.problem("a result is %s, not %.100q", strings.Join(offered, ", "), in.Accept)
	case chosen == 0:
		return foundReply(s.panel.Outcome(ctx, in.ID))
	}
	texts, err := in.texts()
	if err != nil {
		return nil, err
	}
	figure, err := s.panel.Figure(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	figure.Texts = texts
	drawing, err := figure.Drawing()
	if err != nil {
		return nil, err
	}
	var picture bytes.Buffer
	err = chartMedia[chosen].draw(drawing, &picture)
	return &reply{ContentType: offered[chosen], Body: picture.Bytes()}, err
}

// panelPapers are the calls for printed documents of a panel.
func (s *service) panelPapers(api huma.API) {
	offered := make([]string, len(sheetMedia))
	for i, m := range sheetMedia {
		offered[i] = m.mediaType
	}
	notAcceptable := []int{http.StatusNotAcceptable}
	registerRecord(s, api, recordOp[paperOf]{
		method: http.MethodGet, path: "/v1/panels/{id}/labels", id: "panel-labels", tag: tagPanels, summary: "Labels with the codes",
		description: "A label for each glass of each judge, in the order of serving, to be cut out." + sheetForms, choices: offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *paperOf) (*reply, error) {
			return printed(in.AsSheet, func(texts *sheet.Texts) (sheet.CodeLabels, error) { return s.panel.In(texts).Labels(ctx, in.ID) })
		},
	})
	registerRecord(s, api, recordOp[sheetsOf]{
		method: http.MethodGet, path: "/v1/panels/{id}/sheets", id: "panel-sheets", tag: tagPanels, summary: "Sheets for judges without a phone",
		description: "A page a judge: the codes in that judge's order, places for the answers, how to look, and cautions. Nothing on it tells what is in the glasses." + sheetForms, choices: offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *sheetsOf) (*reply, error) {
			return printed(in.AsSheet, func(texts *sheet.Texts) (sheet.JudgeSheets, error) {
				return s.panel.In(texts).Sheets(ctx, in.ID, in.Judge)
			})
		},
	})
	registerRecord(s, api, recordOp[paperOf]{
		method: http.MethodGet, path: "/v1/panels/{id}/pouring-list", id: "panel-pouring-list", tag: tagPanels, summary: "Which code is which glass",
		description: "For whoever pours: codes, glasses and doses, and the orders of serving. Marked as not for judges." + sheetForms, choices: offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *paperOf) (*reply, error) {
			return printed(in.AsSheet, func(texts *sheet.Texts) (sheet.PouringList, error) { return s.panel.In(texts).PouringList(ctx, in.ID) })
		},
	})
}

// onceReply answers with what was recorded: with 201 where it was recorded now, with
// 200 where it stood already.
func onceReply(location string, answer any, again bool, err error) (*reply, error) {
	out, err := madeReply(location, answer, err)
	if err == nil && again {
		out.Status = http.StatusOK
	}
	return out, err
}
