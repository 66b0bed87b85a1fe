package colour

import (
	"errors"
	"fmt"
	"strings"
)

// FieldError is one fault of what was given: where it stands, what stood
// there, and what is wrong and would be right.
type FieldError struct {
	// Field is the place inside the object at hand, as RFC 6901 reference
	// tokens joined by "/" without the leading slash: "a520", "extra/0/nm".
	// Empty means the object itself.
	Field string
	// Value is what was given, nil where nothing was.
	Value any
	// Message says what is wrong and what would be right, in lower case and
	// without a full stop.
	Message string
}

// Error gives the place and the message in one line.
func (e FieldError) Error() string {
	if e.Field == "" {
		return e.Message
	}
	return e.Field + ": " + e.Message
}

// FieldErrors holds every fault of one object, so that a person mends them
// all at once. A nil or empty FieldErrors is not an error: see Err.
type FieldErrors []FieldError

// Error joins the faults with semicolons.
func (e FieldErrors) Error() string {
	parts := make([]string, len(e))
	for i, f := range e {
		parts[i] = f.Error()
	}
	return strings.Join(parts, "; ")
}

// Err returns e as an error, or nil when there is no fault in it.
func (e FieldErrors) Err() error {
	if len(e) == 0 {
		return nil
	}
	return e
}

// Addf appends a fault at field, with the value that was given and a message
// in fmt's format.
func (e *FieldErrors) Addf(field string, value any, format string, args ...any) {
	*e = append(*e, FieldError{Field: field, Value: value, Message: fmt.Sprintf(format, args...)})
}

// AddUnder appends the faults that err holds, with prefix put before their
// places; an error that is no FieldErrors becomes one fault at prefix, and nil
// adds nothing.
func (e *FieldErrors) AddUnder(prefix string, err error) {
	var faults FieldErrors
	switch {
	case err == nil:
	case errors.As(err, &faults):
		*e = append(*e, faults.Under(prefix)...)
	default:
		e.Addf(prefix, nil, "%v", err)
	}
}

// Under returns the same faults with prefix put before each place, for a
// caller that knows where the object stands.
func (e FieldErrors) Under(prefix string) FieldErrors {
	out := make(FieldErrors, len(e))
	for i, f := range e {
		if f.Field == "" {
			f.Field = prefix
		} else {
			f.Field = prefix + "/" + f.Field
		}
		out[i] = f
	}
	return out
}
