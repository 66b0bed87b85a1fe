// Package upload receives a laboratory's file that is sent as a form, for the
// API and for the pages. The file goes to disk as it arrives, within limits, so
// that it is whole before anything is done with it and memory does not grow with
// it.
package upload

import (
	"errors"
	"fmt"
	"time"
)

const (
	// maxFileBytes is the longest file that is taken.
	maxFileBytes = 2 << 30
	// maxFieldBytes is the longest other part of an upload.
	maxFieldBytes = 1 << 20
	// pieceWithin is how long each piece of an upload may take to arrive, and
	// importWithin the work on it.
	pieceWithin  = 30 * time.Second
	importWithin = 30 * time.Minute
)

// Errors of an upload that is no whole form. Nothing of it is kept.
var (
	// ErrNoForm: the body is not multipart/form-data.
	ErrNoForm = errors.New("an import is a form with the file in the field \"file\": send the header Content-Type: multipart/form-data")
	// ErrTooLong: the file is longer than is taken.
	ErrTooLong = fmt.Errorf("a file may have up to %d bytes; send it in parts", int64(maxFileBytes))
	// ErrStopped: the sender fell silent.
	ErrStopped = fmt.Errorf("the upload stopped for more than %s; nothing of it was kept: send it again", pieceWithin)
	// ErrCutOff: the body ended, or broke, before the form did.
	ErrCutOff = errors.New("the upload did not come to its end, and nothing of it was kept: send it again")
)
