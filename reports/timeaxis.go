package reports

import (
	"time"

	"gonum.org/v1/plot/vg"
)

// daysOf is a time as days since 1970, in UTC.
func daysOf(t time.Time) float64 { return float64(t.Unix()) / 86400 }

// timeTick is a mark of an axis of time.
type timeTick struct {
	days float64
	text string
}

// timeSteps are the distances between marks, from the finest on. Those of days begin
// at 1970-01-01, those of months in January.
var timeSteps = []struct{ days, months int }{
	{1, 0}, {2, 0}, {7, 0}, {14, 0}, {0, 1}, {0, 2}, {0, 3}, {0, 6}, {0, 12}, {0, 24}, {0, 60}, {0, 120}, {0, 240}, {0, 600}, {0, 2400},
}

// timeTicks are the marks of the finest step of which there are at most most. Times
// are written as dates, months or years of UTC.
func (t *HistoryTexts) timeTicks(e extent, most int) []timeTick {
	var ticks []timeTick
	for _, by := range timeSteps {
		ticks = ticks[:0]
		layout := t.Day
		switch {
		case by.months >= 12:
			layout = "2006"
		case by.months > 0:
			layout = t.Month
		}
		at := func(i int) time.Time { return time.Unix(0, 0).UTC().AddDate(0, 0, i*by.days) }
		first := int(e.min) / max(by.days, 1)
		if by.months > 0 {
			at = func(i int) time.Time {
				return time.Date(0, time.January, 1, 0, 0, 0, 0, time.UTC).AddDate(0, i*by.months, 0)
			}
			from := time.Unix(int64(e.min*86400), 0).UTC()
			first = (from.Year()*12 + int(from.Month()) - 1) / by.months
		}
		for i := first; len(ticks) <= most; i++ {
			if d := daysOf(at(i)); d > e.max {
				break
			} else if d >= e.min {
				ticks = append(ticks, timeTick{d, at(i).Format(layout)})
			}
		}
		if len(ticks) <= most {
			return ticks
		}
	}
	return nil
}

func (f frame) timeAxis(p *pen, ticks []timeTick, named bool) {
	xs := make([]float64, len(ticks))
	for i, t := range ticks {
		xs[i] = t.days
		if named {
			at := f.at(t.days, f.y.min)
			p.text(t.text, regular, tickSize, ink, centre, vg.Point{X: at.X, Y: at.Y - tickRow})
		}
	}
	f.axes(p, xs, nil)
}
