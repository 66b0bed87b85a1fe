package api

import (
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"pourpath/api/calc"
	"pourpath/api/release"
)

// verifyLine is a line of the answer to a request to compute verdicts anew: one of them is set.
type verifyLine struct {
	Done    *int                `json:"done,omitempty"`
	Answer  *release.Recomputed `json:"answer,omitempty"`
	Problem *calc.Problem       `json:"problem,omitempty"`
}

// lineWithin is how long a line may take to come and to be taken: a thousand open
// verdicts on a busy machine.
const lineWithin = 2 * time.Minute

// verifyInLines answers with a line for each thousand that is done, and the answer
// at the end. A reader that goes away ends it.
func (s *service) verifyInLines(c huma.Context, asked release.VerifyBody) {
	g := humagin.Unwrap(c)
	answer := http.NewResponseController(g.Writer)
	c.SetStatus(http.StatusOK)
	c.SetHeader("Content-Type", lines)
	send := func(line verifyLine) error {
		text, err := encode(line)
		if err != nil {
			return err
		}
		if _, err := g.Writer.Write(text); err != nil {
			return err
		}
		g.Writer.Flush()
		return unlessUnsupported(answer.SetWriteDeadline(time.Now().Add(lineWithin)))
	}
	err := unlessUnsupported(answer.SetWriteDeadline(time.Now().Add(lineWithin)))
	var gone error
	var found release.Recomputed
	if err == nil {
		found, err = s.release.Verify(c.Context(), asked, func(done int) {
			if gone == nil {
				gone = send(verifyLine{Done: &done})
			}
		})
	}
	switch {
	case gone != nil || c.Context().Err() != nil:
		return
	case err != nil:
		gone = send(verifyLine{Problem: calc.AsProblem(s.recordProblem(err))})
	default:
		gone = send(verifyLine{Answer: &found})
	}
	if gone != nil {
		s.config.Log.Warn("an answer in lines was not taken", "error", fmt.Sprint(gone))
	}
}

func unlessUnsupported(err error) error {
	if errors.Is(err, http.ErrNotSupported) {
		return nil
	}
	return err
}
