package api

import (
	"errors"
	"net/http"
	"runtime/debug"
	"strconv"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/upload"
)

// retryAfterSeconds is when to ask again where the records cannot be reached.
const retryAfterSeconds = 2

// recordProblems are the kinds of problem that errors of the records, and of
// files on their way there, are.
var recordProblems = []struct {
	is   error
	kind kind
}{
	{record.ErrNotFound, kindNoRecord},
	{record.ErrChanged, kindChanged},
	{record.ErrArchived, kindConflict},
	{record.ErrNotArchived, kindConflict},
	{record.ErrSuperseded, kindConflict},
	{record.ErrNotJudged, kindConflict},
	{record.ErrPanelClosed, kindConflict},
	{record.ErrPanelOpen, kindConflict},
	{record.ErrNoJudge, kindNoJudge},
	{record.ErrUnavailable, kindUnavailable},
	{record.ErrFull, kindFull},
	{record.ErrDamaged, kindDamaged},
	{upload.ErrNoForm, kindMediaType},
	{upload.ErrTooLong, kindTooLarge},
	{upload.ErrStopped, kindTimeout},
	{upload.ErrCutOff, kindMalformed},
}

// recordProblem is what the sender of a request is told about err, with the
// headers that go with it.
func (s *service) recordProblem(err error) error {
	if p := calc.AsProblem(err); p != nil {
		return told(p)
	}
	for _, known := range recordProblems {
		if !errors.Is(err, known.is) {
			continue
		}
		if known.kind.status >= http.StatusInternalServerError {
			s.config.Log.Error("records", "error", err)
		}
		p := known.kind.problem("%s", known.is)
		if known.kind.status == http.StatusServiceUnavailable {
			return huma.ErrorWithHeaders(p, http.Header{"Retry-After": {strconv.Itoa(retryAfterSeconds)}})
		}
		return told(p)
	}
	return s.internal(err, debug.Stack())
}

// told adds to a problem how a judge is known, where it is that none was (RFC 9110,
// section 11.6.1).
func told(p *calc.Problem) error {
	if p.Status == http.StatusUnauthorized {
		return huma.ErrorWithHeaders(p, http.Header{"WWW-Authenticate": {"Bearer"}})
	}
	return p
}

// writeRecordProblem is recordProblem for a call that the schema library does
// not serve.
func (s *service) writeRecordProblem(c *gin.Context, err error) {
	told := s.recordProblem(err)
	var headers huma.HeadersError
	if errors.As(told, &headers) {
		for name, values := range headers.GetHeaders() {
			c.Header(name, values[0])
		}
	}
	p := calc.AsProblem(told)
	if p.Status == http.StatusBadRequest || p.Status == http.StatusRequestTimeout || p.Status == http.StatusRequestEntityTooLarge {
		c.Header("Connection", "close") // the rest of the body was not read
	}
	write(c, p)
}
