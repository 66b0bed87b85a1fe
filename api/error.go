package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// kind is one kind of problem: its address, the status it is answered with, and
// what a person finds at the address.
type kind struct {
	path        string
	status      int
	title       string
	explanation string
}

// The kinds of problems. A kind keeps its address and meaning once used.
var (
	kindInvalid = kind{calc.InvalidInput, http.StatusUnprocessableEntity, "The request has faults",
		"The request is JSON, but something in it cannot be used. The list \"errors\" names every fault: \"location\" is a JSON Pointer (RFC 6901) into the request, \"message\" says what is wrong there and what would be right."}
	kindMalformed = kind{calc.MalformedJSON, http.StatusBadRequest, "The request is not JSON",
		"The request is not one JSON text (RFC 8259) in UTF-8. \"detail\" gives the line, column and byte where reading stopped."}
	kindTooLarge = kind{calc.TooLarge, http.StatusRequestEntityTooLarge, "The request is too large",
		"A request may have up to 1 MiB, a file up to 2 GiB. Thin out scans to 5 nm, or ask in parts."}
	kindMediaType = kind{"/problems/unsupported-media-type", http.StatusUnsupportedMediaType, "The request is of a kind that this call does not take",
		"Calculations and records take JSON: send the header Content-Type: application/json. Files are sent as multipart/form-data."}
	kindNotAcceptable = kind{"/problems/not-acceptable", http.StatusNotAcceptable, "The answer cannot be had in that form",
		"The header Accept asks for a form that this address does not answer in. \"detail\" lists those that it does."}
	kindNotFound = kind{"/problems/not-found", http.StatusNotFound, "There is nothing at this address",
		"The path is not one of this service. /openapi.json lists all that are."}
	kindMethod = kind{"/problems/method-not-allowed", http.StatusMethodNotAllowed, "This address does not take that method",
		"The header Allow of the answer lists the methods that the address takes."}
	kindForeignHost = kind{"/problems/foreign-host", http.StatusMisdirectedRequest, "The request is for another host",
		"This service answers to localhost, loopback addresses, the addresses that it listens on and the names that it was given. A request that names another host may come from a web page that had its name point here."}
	kindForeignOrigin = kind{"/problems/foreign-origin", http.StatusForbidden, "The request comes from another site",
		"A web page of another origin may not use this service. Use its own pages, or a program that is not a web page."}
	kindUnpaired = kind{"/problems/unpaired", http.StatusUnauthorized, "This device is not paired",
		"From other machines the service answers paired devices only. Whoever sits at the machine shows a link on the page /devices, or by 'pourpath device pair'; it is good once, for ten minutes. The session of a device ends when it is not used for 30 days, or is ended there."}
	kindTooMany = kind{"/problems/too-many-requests", http.StatusTooManyRequests, "Too many requests that were refused",
		"This address was refused too often. The header Retry-After says when to try again."}
	kindLocalOnly = kind{"/problems/local-only", http.StatusForbidden, "Only the machine itself may do that",
		"Devices are paired and sent away at the machine that the service runs on, not from another device."}
	kindNotReady = kind{"/problems/not-ready", http.StatusServiceUnavailable, "The service is not ready",
		"The store does not answer. The service's log says why."}
	kindTimeout = kind{"/problems/timeout", http.StatusRequestTimeout, "The request took too long to arrive",
		"The whole request must arrive within a few seconds. Send it again."}
	kindNoRecord = kind{"/problems/no-record", http.StatusNotFound, "There is no such record",
		"No record has the identifier in the path. It may belong to another store."}
	kindChanged = kind{"/problems/changed", http.StatusPreconditionFailed, "Somebody else has changed the record",
		"The record is not as it was when its ETag was given. Read it again, look at what changed, and send the change with the new ETag in If-Match. Nothing was changed by this request."}
	kindPrecondition = kind{"/problems/if-match-missing", http.StatusPreconditionRequired, "The change does not say of which version it is",
		"A change needs the header If-Match with the ETag that the record was last answered with."}
	kindConflict = kind{"/problems/conflict", http.StatusConflict, "The record takes no such change",
		"An archived record takes no changes, a reading has one correction (correct the correction), of a lot without a verdict nothing is stated, a session that has ended takes no answers, and its result is told only then."}
	kindTooFew = kind{calc.TooFewData, http.StatusConflict, "Too few data for an answer",
		"What is recorded tells too little for what was asked, so nothing is said. \"detail\" says what there is and what it takes: of drift, lots with a bottling date, read on three days or more over a month or more; of a panel, two judges or more."}
	kindHandedIn = kind{record.HandedIn, http.StatusConflict, "An answer was handed in before",
		"A judge hands in once, and what was handed in stands: \"errors\" has it, glass by glass. Whoever leads the session can record a correction, which names the answer that it corrects. The same answer sent again counts once and is no conflict."}
	kindJudgesMissing = kind{record.JudgesMissing, http.StatusConflict, "Judges have not handed in",
		"A session that is closed takes nothing more. Name in \"without\" each judge who is to be left out; \"errors\" lists those who have not handed in."}
	kindNoJudge = kind{"/problems/no-judge", http.StatusUnauthorized, "The link opens nothing",
		"A judge's link is good for one session and one judge, and dies when another is given out. Ask whoever leads the session."}
	kindUnavailable = kind{"/problems/unavailable", http.StatusServiceUnavailable, "The records cannot be reached now",
		"The database does not answer or is busy. The header Retry-After says when to send the same request again."}
	kindFull = kind{"/problems/full", http.StatusInsufficientStorage, "There is no room left for the records",
		"The disk or the database is full. Nothing of this request was kept, and nothing that was kept before was lost. Make room and send it again."}
	kindDamaged = kind{"/problems/damaged", http.StatusInternalServerError, "The store is damaged",
		"What is stored is not what was written. Stop the service, run 'pourpath verify', and restore the last backup. The service's log has the place."}
	kindInternal = kind{"/problems/internal", http.StatusInternalServerError, "The service has a fault",
		"Something went wrong that is not the request's doing. The service's log has the details under the same \"instance\"."}
)

var kinds = []kind{
	kindInvalid, kindMalformed, kindTooLarge, kindMediaType, kindNotAcceptable, kindNotFound,
	kindMethod, kindForeignHost, kindForeignOrigin, kindUnpaired, kindTooMany, kindLocalOnly, kindNotReady, kindTimeout,
	kindNoRecord, kindChanged, kindPrecondition, kindConflict, kindUnavailable, kindFull, kindInternal, kindDamaged, kindTooFew,
	kindHandedIn, kindJudgesMissing, kindNoJudge,
}

// problem is one occurrence of the kind.
func (k kind) problem(format string, args ...any) *calc.Problem {
	return &calc.Problem{Type: k.path, Title: k.title, Status: k.status, Detail: fmt.Sprintf(format, args...)}
}

// kindOf is the kind for a status that a library chose.
func kindOf(status int) kind {
	for _, k := range kinds {
		if k.status == status {
			return k
		}
	}
	return kindInternal
}

// newError makes the errors of the schema library ours. Requests are read and
// checked by calc, so what is left are limits of the transport.
func newError(status int, message string, errs ...error) huma.StatusError {
	var tooLarge *http.MaxBytesError
	if errors.As(errors.Join(errs...), &tooLarge) {
		return calc.TooLong()
	}
	if status == http.StatusInternalServerError && len(errs) > 0 {
		return kindMalformed.problem("the body could not be read to its end") // the sender broke off
	}
	return kindOf(status).problem("%s", message)
}

// write is the single writer of errors outside an operation; within one the
// schema library writes the same struct.
func write(c *gin.Context, p *calc.Problem) {
	body, err := json.Marshal(p)
	if err != nil { // a Problem holds text and plain values only
		panic(fmt.Sprintf("api: problem: %v", err))
	}
	c.Abort()
	c.Data(p.Status, p.ContentType(""), append(body, '\n'))
}

func (s *service) noRoute(c *gin.Context) {
	write(c, kindNotFound.problem("there is nothing at %.200q; /openapi.json lists what there is", c.Request.URL.Path))
}

// noMethod answers a method that the path does not take. The router has set the
// header Allow.
func noMethod(c *gin.Context) {
	write(c, kindMethod.problem("%s does not take %.20q, only %s", c.Request.URL.Path, c.Request.Method, c.Writer.Header().Get("Allow")))
}

// explain answers the address that a problem's type is.
func (k kind) explain(c *gin.Context) {
	c.String(http.StatusOK, "%s (HTTP status %d)\n\n%s\n", k.title, k.status, k.explanation)
}
