package record

import (
	"strings"

	"pourpath/api/calc"
)

// BottlingBody is when a lot was bottled, told after it was set up.
type BottlingBody struct {
	BottledAt Instant `json:"bottled_at" doc:"When it was or will be bottled (RFC 3339, or a date)."`
	By        string  `json:"by" minLength:"1" maxLength:"200" doc:"Who says so."`
	Reason    string  `json:"reason,omitempty" maxLength:"2000" doc:"Why; needed where the lot has a bottling date that this one corrects."`
}

// Check implements calc.Request.
func (b BottlingBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.By) == "" {
		f.Addf("/by", b.By, "say who gives the bottling date")
	}
	checkInstant("/bottled_at", &b.BottledAt, f)
}

// Bottling is the record of that. A later one takes its place and leaves it as it is.
type Bottling struct {
	BottlingBody
	RecordedAt Instant `json:"recorded_at" doc:"When the record was made."`
}
