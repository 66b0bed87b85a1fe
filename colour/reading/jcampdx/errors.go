package jcampdx

import (
	"fmt"
	"strings"
)

// ParseError is one fault of a file: where it stands, and what is wrong and
// would be right.
type ParseError struct {
	// Line is the line of the file, counted from 1.
	Line int
	// Title is the title of the block the fault is in, empty for a fault of the
	// file or of a block without a title.
	Title string
	// Message says what is wrong and what would be right, in lower case and
	// without a full stop.
	Message string
}

// Error gives the place and the message in one line.
func (e ParseError) Error() string { return "jcampdx: " + e.text() }

func (e ParseError) text() string {
	if e.Title == "" {
		return fmt.Sprintf("line %d: %s", e.Line, e.Message)
	}
	return fmt.Sprintf("line %d (%s): %s", e.Line, quoted(e.Title), e.Message)
}

// ParseErrors are the faults of one block or of a file. Nil or empty it is not
// an error: see Err.
type ParseErrors []ParseError

// Error joins the faults with semicolons.
func (e ParseErrors) Error() string {
	parts := make([]string, len(e))
	for i, f := range e {
		parts[i] = f.text()
	}
	return "jcampdx: " + strings.Join(parts, "; ")
}

// Err returns e as an error, or nil when there is no fault in it.
func (e ParseErrors) Err() error {
	if len(e) == 0 {
		return nil
	}
	return e
}

// quoted puts quotation marks round a text of the file and cuts it to what
// fits a message.
func quoted(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
