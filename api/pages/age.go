package pages

import (
	"time"

	"pourpath/api/record"
)

// age is how long ago something was, in plain words: the key of a text, and its
// number where it has one.
type age struct {
	Key string
	N   int
}

// ageOf is the age of a moment at a time that is given. It counts days of UTC, in
// which dates are shown: what was read late yesterday is a day old. From two months
// on it counts full months, from two years on full years, each of the mean length.
func ageOf(i record.Instant, now time.Time) age {
	day := func(t time.Time) time.Time { return t.UTC().Truncate(24 * time.Hour) }
	days := int(day(now).Sub(day(i.Time)).Hours() / 24)
	const month, year = 365.25 / 12, 365.25
	switch {
	case days < 0:
		return age{Key: "ahead"}
	case days == 0:
		return age{Key: "today"}
	case days == 1:
		return age{Key: "day"}
	case days < 61:
		return age{"days", days}
	case days < 731:
		return age{"months", int(float64(days) / month)}
	}
	return age{"years", int(float64(days) / year)}
}
