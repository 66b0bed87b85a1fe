package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

const exampleStatement = `{"issued_by": "Ada", "note": "first bottling of the spring"}`

// statementMedia are the forms that a statement is answered in, the first one for
// whoever takes any.
var statementMedia = append([]medium{{"application/json", "json"}}, sheetMedia...)

// statementAs describes how the form of a statement is chosen.
const statementAs = " The header Accept chooses application/json (also for */*), application/pdf or text/html, or the query's format does."

type (
	// ByNo is the part of a request that names a statement.
	ByNo struct {
		No string `path:"no" doc:"Number of the statement in the register."`
	}
	// AsStatement is the part that says in which form a statement is wanted.
	AsStatement struct {
		Accept   string `header:"Accept" hidden:"true"`
		Format   string `query:"format" doc:"json, pdf or html, instead of the header Accept."`
		Language string `query:"language" doc:"Of what is written in the document: en, fr or es; en where left out."`
	}
	statementByNo struct {
		ByNo
		AsStatement
	}
	statementOfLot struct {
		ByID
		AsStatement
	}
)

// statementCalls are the calls about statements of conformity.
func (s *service) statementCalls(api huma.API) {
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/lots/{id}/statements", id: "issue-statement", tag: tagRecords, summary: "Issue a statement of conformity",
		description: "Adds a statement of one verdict on the lot to the register, with the next number. Each is chained to the one before it by its SHA-256, and none is changed or taken out.",
		body:        reflect.TypeFor[record.StatementBody](), example: exampleStatement,
		status: http.StatusCreated, answer: reflect.TypeFor[record.Statement](), handle: s.issueStatement,
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/lots/{id}/statements", id: "list-statements-of-lot", tag: tagRecords, summary: "The statements about a lot",
		description: "In the order of their numbers." + damagedListed,
		answer:      reflect.TypeFor[listOf[listedStatement]](),
		handle: func(ctx context.Context, in *ofWine) (*reply, error) {
			if _, err := s.config.Records.Lot(ctx, in.ID); err != nil {
				return nil, err
			}
			return s.listStatements(ctx, in.ID, in.Listing)
		},
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/statements", id: "list-statements", tag: tagRecords, summary: "The register of statements",
		description: "All statements in the order of their numbers. sha256 is over previous_sha256, a line feed and the bytes of content: 'pourpath verify' confirms the whole chain." + damagedListed,
		answer:      reflect.TypeFor[listOf[listedStatement]](),
		handle: func(ctx context.Context, in *Listing) (*reply, error) {
			return s.listStatements(ctx, "", *in)
		},
	})
	registerRecord(s, api, recordOp[statementByNo]{
		method: http.MethodGet, path: "/v1/statements/{no}", id: "statement", tag: tagRecords, summary: "One statement",
		description: "A statement by its number in the register." + statementAs,
		answer:      reflect.TypeFor[record.Statement](), choices: statementTypes(), errors: []int{http.StatusNotAcceptable},
		handle: func(ctx context.Context, in *statementByNo) (*reply, error) {
			no, err := strconv.Atoi(in.No)
			if err != nil || no < 1 {
				return nil, record.ErrNotFound
			}
			st, err := s.config.Records.Statement(ctx, no)
			return s.statementReply(in.AsStatement, st, err)
		},
	})
	registerRecord(s, api, recordOp[statementOfLot]{
		method: http.MethodGet, path: "/v1/lots/{id}/statement", id: "statement-of-lot", tag: tagRecords, summary: "The newest statement about a lot",
		description: "The newest statement that was issued. Where none was, a draft of the newest verdict, marked as one: it has no number and is not in the register." + statementAs,
		answer:      reflect.TypeFor[record.Statement](), choices: statementTypes(), errors: []int{http.StatusNotAcceptable, http.StatusConflict},
		handle: func(ctx context.Context, in *statementOfLot) (*reply, error) {
			st, err := s.release.Statement(ctx, in.ID)
			return s.statementReply(in.AsStatement, st, err)
		},
	})
}

func (s *service) issueStatement(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.StatementBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	st, err := s.release.Issue(ctx, in.ID, asked)
	return madeReply("/v1/statements/"+strconv.Itoa(st.No), st, err)
}

// statementTypes are the media types of statementMedia.
func statementTypes() []string {
	out := make([]string, len(statementMedia))
	for i, m := range statementMedia {
		out[i] = m.mediaType
	}
	return out
}

// statementReply answers with a statement in the form that is asked for.
func (s *service) statementReply(as AsStatement, st record.Statement, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	form, err := AsSheet(as).form(statementMedia)
	switch {
	case err != nil:
		return nil, err
	case statementMedia[form].name == "json":
		return jsonReply(st, 0)
	}
	texts, err := AsSheet(as).texts()
	if err != nil {
		return nil, err
	}
	paper, err := release.Paper(st, texts)
	if err != nil {
		return nil, err
	}
	return written(paper, statementMedia[form], texts)
}

// listedStatement is a statement in a list.
type listedStatement struct {
	record.Statement
	Problem *calc.Problem `json:"problem,omitempty" doc:"Why this one cannot be read: it is not what was issued, and what is told of it beside its number is not to be relied on. Absent for one that is whole."`
}

// damagedListed says what lists do with a statement that cannot be read.
const damagedListed = " One that is not what was issued has a problem in its place, without its content; those around it are listed."

// listed is a statement as lists have it. Content that is damaged may be no JSON.
func listed(st store.Registered) listedStatement {
	out := listedStatement{Statement: st.Statement}
	if st.Fault != "" {
		out.Content = json.RawMessage("null")
		out.Problem = kindDamaged.problem("statement %d: %s; restore the last backup", st.No, st.Fault)
	}
	return out
}

// listStatements answers with a page of the register; its cursor is the number of
// the last one.
func (s *service) listStatements(ctx context.Context, lotID string, l Listing) (*reply, error) {
	after := 0
	if l.Cursor != "" {
		var err error
		if after, err = strconv.Atoi(l.Cursor); err != nil || after < 0 {
			return nil, calc.Refuse(calc.Fault{Message: "cursor: want what the page before gave as next", Value: l.Cursor})
		}
	}
	return pageReply(l, func(p record.Page) ([]listedStatement, error) {
		found, err := s.config.Records.StatementsListed(ctx, lotID, after, p.Limit)
		out := make([]listedStatement, len(found))
		for i, one := range found {
			out[i] = listed(one)
		}
		return out, err
	},
		func(st listedStatement) string { return strconv.Itoa(st.No) })
}
