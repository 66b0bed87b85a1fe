package reports_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pourpath/reports"
)

// historyFigure is of a rosé that was read six times in eleven months; its second
// reading was corrected.
func historyFigure() reports.HistoryFigure {
	f := reports.HistoryFigure{
		Name: "Last year's rosé", Archived: 1,
		Conditions: "L*, a*, b* under D65, 10° observer, for 10 mm", Version: "Pourpath 1.0",
	}
	begun := time.Date(2025, 12, 20, 9, 0, 0, 0, time.UTC)
	for i, days := range []int{0, 45, 45, 120, 210, 335} {
		fade := math.Exp2(-float64(days) / 300)
		p := reports.HistoryPoint{At: begun.AddDate(0, 0, days), Values: [5]float64{0.48 + 0.1*fade, 1.2 - 0.3*fade, 86 - 2*fade, 9 + 6*fade, 7 - 2*fade}}
		p.U = [5]float64{0.0035, 0.012, 0.15, 0.3, 0.35}
		if i == 1 {
			p.Superseded, p.Values[0], p.Values[3] = true, 0.71, 17.5
		}
		if i == 3 { // of a stated colour nothing is known of the tint here
			p.Values[1], p.U[1] = math.NaN(), math.NaN()
		}
		f.Points = append(f.Points, p)
	}
	return f
}

// The pictures were looked at by eye, in grey too.
func TestGoldenHistory(t *testing.T) {
	single := historyFigure()
	single.Points, single.Archived = single.Points[:1], 0
	for name, f := range map[string]reports.HistoryFigure{"history": historyFigure(), "history_single": single} {
		for _, format := range everyFormat {
			if format.name == "svg" || name == "history" {
				t.Run(name+"."+format.name, func(t *testing.T) { golden(t, name, format.name, written(t, f, format.write)) })
			}
		}
	}
}

func TestHistoryFigureFaults(t *testing.T) {
	for want, spoil := range map[string]func(*reports.HistoryFigure){
		"points: 0":             func(f *reports.HistoryFigure) { f.Points = nil },
		"points: 2001":          func(f *reports.HistoryFigure) { f.Points = make([]reports.HistoryPoint, 2001) },
		"point 1: a time in":    func(f *reports.HistoryFigure) { f.Points[1].At = time.Time{} },
		"point 2: +Inf":         func(f *reports.HistoryFigure) { f.Points[2].Values[4] = math.Inf(1) },
		"point 2 uncertainty":   func(f *reports.HistoryFigure) { f.Points[2].U[0] = -1 },
		"left out: 1 and -1":    func(f *reports.HistoryFigure) { f.Colourless = -1 },
		"title: 501 characters": func(f *reports.HistoryFigure) { f.Title = strings.Repeat("x", 501) },
	} {
		f := historyFigure()
		spoil(&f)
		if _, err := f.Drawing(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}

// TestHistoryDates: marks are dates, months or years, few enough to be read, for any
// length of time.
func TestHistoryDates(t *testing.T) {
	begun := time.Date(2026, 2, 27, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		days int
		want []string
	}{
		{0, []string{"2026-02-26", "2026-03-01"}},
		{9, []string{"2026-03-02"}},
		{60, []string{"2026-03-"}},
		{200, []string{"2026-03", "2026-08"}},
		{400, []string{"2026-03", "2026-05", "2027-03"}},
		{1500, []string{"2027", "2028", "2030"}},
		{4000, []string{"2028", "2036"}},
		{36500, []string{"2040", "2120"}},
	} {
		f := historyFigure()
		f.Points = []reports.HistoryPoint{{At: begun}, {At: begun.AddDate(0, 0, c.days)}}
		svg := string(written(t, f, everyFormat[0].write))
		for _, want := range c.want {
			if !strings.Contains(svg, ">"+want) {
				t.Errorf("over %d days there is no mark %q", c.days, want)
			}
		}
	}
}
