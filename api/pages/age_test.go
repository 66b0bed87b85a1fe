package pages

import (
	"testing"
	"time"

	"pourpath/api/record"
)

func TestAge(t *testing.T) {
	t.Parallel()
	now := time.Date(2026, 11, 26, 0, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		at   string
		want age
	}{
		{"2026-11-26T00:10:00Z", age{Key: "today"}},
		{"2026-11-26T23:00:00Z", age{Key: "today"}},    // later today, by a clock that runs ahead
		{"2026-11-25T23:50:00Z", age{Key: "day"}},      // 40 minutes ago, but yesterday
		{"2026-11-26T01:00:00+02:00", age{Key: "day"}}, // 23:00 of the 25th in UTC
		{"2026-11-27T00:00:00Z", age{Key: "ahead"}},    // tomorrow
		{"2026-11-14T12:00:00Z", age{"days", 12}},
		{"2026-09-27T12:00:00Z", age{"days", 60}},
		{"2026-09-26T12:00:00Z", age{"months", 2}},
		{"2026-06-20T12:00:00Z", age{"months", 5}},
		{"2024-11-26T12:00:00Z", age{"months", 23}}, // 730 days
		{"2024-11-25T12:00:00Z", age{"years", 2}},
		{"1996-11-25T12:00:00Z", age{"years", 30}},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if got := ageOf(record.At(at), now); got != c.want {
			t.Errorf("%s is %+v, want %+v", c.at, got, c.want)
		}
	}
}
