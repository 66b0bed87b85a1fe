package labfile

import (
	"strconv"
	"strings"
	"time"
)

// dateOrder is what comes first in a date with slashes or hyphens.
type dateOrder int

const (
	dayFirst dateOrder = iota
	monthFirst
)

const noDate = "this is no date: want 2026-11-25, 25/11/2026 or 25.11.2026 from 1900 on, with a time such as 14:30 after it where one is known"
const noClock = "this is no time of day: want 14:30 or 14:30:00"

// moment is a date, a time of day, or both.
type moment struct {
	year, month, day int // 0 where there is only a time of day
	clock            time.Duration
	hasClock         bool
	zone             *time.Location // nil where none is told
}

// at joins a date and a time of day; a laboratory's clock without a zone is
// taken for UTC.
func (m moment) at() time.Time {
	zone := m.zone
	if zone == nil {
		zone = time.UTC
	}
	return time.Date(m.year, time.Month(m.month), m.day, 0, 0, 0, 0, zone).Add(m.clock)
}

// parseMoment reads a date with or without a time of day.
func parseMoment(s string, order dateOrder) (m moment, ok bool) {
	s = strings.TrimSpace(s)
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '-' || s[end] == '/' || s[end] == '.') {
		end++
	}
	m.year, m.month, m.day, ok = parseDay(strings.TrimRight(s[:end], "."), order)
	if !ok {
		return m, false
	}
	rest := strings.TrimLeft(s[end:], " T,")
	if rest == "" {
		return m, true
	}
	ok = m.parseClock(rest)
	return m, ok
}

// parts cuts a date into its three numbers.
func parts(s string) (n [3]int, width [3]int, sep byte, ok bool) {
	at := 0
	for i := range 3 {
		from := at
		for at < len(s) && s[at] >= '0' && s[at] <= '9' {
			n[i] = n[i]*10 + int(s[at]-'0')
			at++
		}
		if width[i] = at - from; width[i] == 0 || width[i] > 4 {
			return n, width, sep, false
		}
		if i == 2 {
			break
		}
		if at >= len(s) || i == 1 && s[at] != sep {
			return n, width, sep, false
		}
		sep = s[at]
		at++
	}
	return n, width, sep, at == len(s)
}

func parseDay(s string, order dateOrder) (year, month, day int, ok bool) {
	n, width, sep, ok := parts(s)
	if !ok {
		return 0, 0, 0, false
	}
	switch {
	case width[0] == 4:
		year, month, day = n[0], n[1], n[2]
	case width[0] > 2 || width[1] > 2 || width[2] != 4 && width[2] != 2:
		return 0, 0, 0, false
	case order == monthFirst && sep != '.':
		year, month, day = n[2], n[0], n[1]
	default: // with points the day is first everywhere
		year, month, day = n[2], n[1], n[0]
	}
	if width[0] != 4 && width[2] == 2 {
		if year += 2000; year >= 2069 {
			year -= 100
		}
	}
	if year < 1900 || year > 2200 || month < 1 || month > 12 || day < 1 {
		return 0, 0, 0, false
	}
	return year, month, day, day <= time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// parseClock reads a time of day, with what may follow: AM, PM or a zone.
func (m *moment) parseClock(s string) bool {
	s = strings.TrimSpace(s)
	half := -1
	if upper := strings.ToUpper(s); strings.HasSuffix(upper, "AM") || strings.HasSuffix(upper, "PM") {
		half = 0
		if upper[len(upper)-2] == 'P' {
			half = 12
		}
		s = strings.TrimSpace(s[:len(s)-2])
	} else if s, m.zone = cutZone(s); s == "" {
		return false
	}
	h, rest, ok := strings.Cut(s, ":")
	if !ok {
		h, rest, ok = strings.Cut(s, "h")
	}
	minutes, seconds, hasSeconds := strings.Cut(rest, ":")
	hour, errH := strconv.Atoi(h)
	minute, errM := strconv.Atoi(minutes)
	second, errS := 0.0, error(nil)
	if hasSeconds {
		second, errS = strconv.ParseFloat(strings.Replace(seconds, ",", ".", 1), 64)
	}
	if !ok || errH != nil || errM != nil || errS != nil || minute < 0 || minute > 59 || !(second >= 0 && second < 60) {
		return false
	}
	if half >= 0 {
		if hour < 1 || hour > 12 {
			return false
		}
		hour = hour%12 + half
	}
	if hour < 0 || hour > 23 {
		return false
	}
	m.clock = time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute + time.Duration(second*1e6+0.5)*time.Microsecond
	m.hasClock = true
	return true
}

// cutZone takes "Z" or an offset such as +01:00 off the end of a time.
func cutZone(s string) (string, *time.Location) {
	if clock, ok := strings.CutSuffix(s, "Z"); ok {
		return clock, time.UTC
	}
	i := strings.LastIndexAny(s, "+-")
	if i <= 0 {
		return s, nil
	}
	t, err := time.Parse("-07:00", s[i:])
	if err != nil {
		if t, err = time.Parse("-0700", s[i:]); err != nil {
			return s, nil
		}
	}
	return strings.TrimSpace(s[:i]), t.Location()
}

// orderOf tells from all the dates of a column whether the day or the month
// comes first. sure is false where they all read either way, and the two
// readings differ.
func orderOf(cells []string) (order dateOrder, sure bool) {
	day, month, open := false, false, false
	for _, cell := range cells {
		cell = strings.TrimSpace(cell)
		if i := strings.IndexAny(cell, " T,"); i > 0 {
			cell = cell[:i]
		}
		n, width, sep, ok := parts(cell)
		if !ok || width[0] == 4 || sep == '.' {
			continue
		}
		day = day || n[0] > 12
		month = month || n[1] > 12
		open = open || n[0] != n[1]
	}
	if month && !day {
		return monthFirst, true
	}
	return dayFirst, day || !open
}
