package pages

import (
	"time"

	"pourpath/api/record"
)

// moment is a point in time for people and for programs.
type moment struct{ Text, ISO string }

// momentOf writes a time in UTC; a day alone, which is kept as its beginning,
// stays a day.
func momentOf(i record.Instant) moment {
	layout := "2006-01-02 15:04 UTC"
	if i.Equal(i.Truncate(24 * time.Hour)) {
		layout = time.DateOnly
	}
	return moment{Text: i.UTC().Format(layout), ISO: i.UTC().Format(time.RFC3339)}
}

// dayOf is momentOf without the time of day.
func dayOf(i record.Instant) moment {
	return moment{Text: i.UTC().Format(time.DateOnly), ISO: i.UTC().Format(time.RFC3339)}
}
