package pages

import (
	"fmt"
	"time"

	"pourpath/api/record"
)

// moment is a point in time for people and for programs; ISO is empty for none.
type moment struct {
	ISO string
	at  time.Time
	day bool // without the time of day
}

// momentOf is a time in UTC; a day alone, which is kept as its beginning, stays a
// day.
func momentOf(i record.Instant) moment {
	return moment{ISO: i.UTC().Format(time.RFC3339), at: i.UTC(), day: i.Equal(i.Truncate(24 * time.Hour))}
}

// dayOf is momentOf without the time of day.
func dayOf(i record.Instant) moment {
	m := momentOf(i)
	m.day = true
	return m
}

// dayIn is the day that a template has.
func dayIn(v any) (moment, error) {
	switch x := v.(type) {
	case record.Instant:
		return dayOf(x), nil
	case *string:
		return dayIn(*x)
	case string:
		at, err := time.Parse(time.DateOnly, x)
		if err != nil {
			return moment{}, fmt.Errorf("pages: day: %w", err)
		}
		return dayOf(record.Instant{Time: at}), nil
	}
	return moment{}, fmt.Errorf("pages: %T is no day", v)
}

// moment writes a point in time.
func (c *catalogue) moment(m moment) string {
	switch {
	case m.ISO == "":
		return ""
	case m.day:
		return m.at.Format(c.Writing.Day)
	}
	return m.at.Format(c.Writing.Time)
}
