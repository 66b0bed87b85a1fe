package record

import (
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// Instant is a point in time, in UTC, to the microsecond: what both kinds of
// store keep without loss. Its text has a fixed width, so that texts sort as the
// times do.
type Instant struct{ time.Time }

const instantLayout = "2006-01-02T15:04:05.000000Z"

// At makes an Instant of t.
func At(t time.Time) Instant { return Instant{t.UTC().Truncate(time.Microsecond)} }

// ParseInstant reads a time as RFC 3339 writes it, or a date alone (the start of
// that day in UTC).
func ParseInstant(text string) (Instant, error) {
	for _, layout := range []string{time.RFC3339Nano, time.DateOnly} {
		t, err := time.Parse(layout, text)
		if err == nil {
			if t.Year() < 1900 || t.Year() > 2200 {
				return Instant{}, fmt.Errorf("record: the year %d is taken for a slip", t.Year())
			}
			return At(t), nil
		}
	}
	return Instant{}, fmt.Errorf("record: %q is no time: want 2026-11-25T14:30:00Z, with an offset such as +01:00, or a date such as 2026-11-25", text)
}

// zoneSlack is how far the clocks of two zones are apart from UTC at most: a date
// alone stands for its beginning in UTC, which may lie that far ahead of whoever
// wrote it; and clockSlack how far two machines' clocks may be apart.
const zoneSlack, clockSlack = 14 * time.Hour, 5 * time.Minute

// Ahead reports whether i lies in the future, by more than zones and clocks make.
func (i Instant) Ahead(now Instant) bool {
	slack := clockSlack
	if i.Midnight() {
		slack = zoneSlack
	}
	return i.After(now.Add(slack))
}

// Precedes reports whether i lies before another time, by more than zones and
// dates without a time make.
func (i Instant) Precedes(other Instant) bool {
	if i.Midnight() {
		i = At(i.Add(24 * time.Hour))
	}
	if other.Midnight() {
		other = At(other.Add(-zoneSlack))
	}
	return i.Before(other.Time)
}

// String is the time in RFC 3339, UTC, to the microsecond.
func (i Instant) String() string { return i.UTC().Format(instantLayout) }

// MarshalJSON writes RFC 3339.
func (i Instant) MarshalJSON() ([]byte, error) { return json.Marshal(i.String()) }

// UnmarshalJSON reads what ParseInstant does. Other text leaves the Instant
// zero, which whoever checks the record reports at its place.
func (i *Instant) UnmarshalJSON(data []byte) error {
	*i = Instant{}
	var text string
	if json.Unmarshal(data, &text) == nil {
		*i, _ = ParseInstant(text)
	}
	return nil
}

// Value is what the store keeps: the text.
func (i Instant) Value() (driver.Value, error) { return i.String(), nil }

// Scan reads the store's text.
func (i *Instant) Scan(from any) error {
	var text string
	switch from := from.(type) {
	case string:
		text = from
	case []byte:
		text = string(from)
	case time.Time:
		*i = At(from)
		return nil
	default:
		return fmt.Errorf("record: %T is no time", from)
	}
	t, err := time.Parse(instantLayout, text)
	if err != nil {
		return fmt.Errorf("record: stored time: %w", err)
	}
	*i = Instant{t}
	return nil
}

// Schema makes an Instant a date and time in the interface's description.
func (Instant) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Examples: []any{"2026-11-25T14:30:00Z"}}
}
