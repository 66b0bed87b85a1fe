package record

import (
	"strconv"

	"pourpath/api/calc"
)

// pointerTo is the JSON Pointer to a member of the list at place.
func pointerTo(place string, i int) string { return place + "/" + strconv.Itoa(i) }

// checkInstant appends that what stands at place is no time.
func checkInstant(place string, at *Instant, f *calc.Faults) {
	if at != nil && at.IsZero() {
		f.Addf(place, nil, "this is no time: want 2026-11-25T14:30:00Z, with an offset such as +01:00, or a date such as 2026-11-25, from 1900 on")
	}
}
