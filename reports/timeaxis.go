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
var timeSteps = []struct {
	days, months int
	layout       string
}{
	{1, 0, time.DateOnly}, {2, 0, time.DateOnly}, {7, 0, time.DateOnly}, {14, 0, time.DateOnly},
	{0, 1, "2006-01"}, {0, 2, "2006-01"}, {0, 3, "2006-01"}, {0, 6, "2006-01"},
	{0, 12, "2006"}, {0, 24, "2006"}, {0, 60, "2006"}, {0, 120, "2006"}, {0, 240, "2006"}, {0, 600, "2006"}, {0, 2400, "2006"},
}

// timeTicks are the marks of the finest step of which there are at most most. Times
// are written as dates, months or years of UTC.
func timeTicks(e extent, most int) []timeTick {
	var ticks []timeTick
	for _, by := range timeSteps {
		ticks = ticks[:0]
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
			t := at(i)
			if d := daysOf(t); d > e.max {
				break
			} else if d >= e.min {
				ticks = append(ticks, timeTick{d, t.Format(by.layout)})
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
