package sheet_test

import (
	"testing"

	"pourpath/reports/sheet"
)

// The panel of these tests is made up.
var seats = []sheet.PanelJudge{
	{Name: "Ada", Codes: []string{"412", "938", "275", "660"}},
	{Name: "Ben", Codes: []string{"938", "660", "412", "275"}},
	{Name: "Cleo", Codes: []string{"275", "412", "660", "938"}},
	{Name: "Dan", Codes: []string{"660", "275", "938", "412"}},
}

var asked = sheet.PanelAsk{Question: "Which colour do you like most?", Most: sheet.MostPreferred}

func labels() sheet.CodeLabels {
	return sheet.CodeLabels{Title: "Thursday, colour of the rosé", Date: "26 November 2026", Version: "Pourpath 0.1.0", Judges: seats}
}

func judgeSheets() sheet.JudgeSheets {
	return sheet.JudgeSheets{PanelAsk: asked, Date: "26 November 2026", Version: "Pourpath 0.1.0", Judges: seats[:2]}
}

func scoreSheets() sheet.JudgeSheets {
	s := judgeSheets()
	s.PanelAsk = sheet.PanelAsk{Question: "How deep is the colour?", Scores: true, Most: sheet.MostDeep, From: 0, To: 10}
	return s
}

func pouring() sheet.PouringList {
	return sheet.PouringList{
		Title: "Rosé of the upper terrace, trial 3", Date: "26 November 2026", Version: "Pourpath 0.1.0", Question: asked.Question, PortionML: 30, Judges: seats,
		Glasses: []sheet.PouringRow{
			{Code: "412", Glass: "A", Judges: 4, BaseML: 120, AdditionML: 0}, {Code: "275", Glass: "B", Dose: sheet.Dose{MLPer100ML: 4, U: 0.12}, Judges: 4, BaseML: 115.4, AdditionML: 4.615},
			{Code: "938", Glass: "C", Dose: sheet.Dose{MLPer100ML: 10.32, U: 0.15}, Judges: 4, BaseML: 108.8, AdditionML: 11.23}, {Code: "660", Glass: "D", Dose: sheet.Dose{MLPer100ML: 14, U: 0.2}, Judges: 4, BaseML: 105.3, AdditionML: 14.74},
		},
	}
}

// judged is the report of a trial with two panels: one that found a preference, and
// one of scores that found nothing.
func judged(t testing.TB) sheet.Trial {
	found := sheet.Panel{
		PanelAsk: asked, Opened: "26 Nov 2026, 10:05", Closed: "26 Nov 2026, 10:40", Judges: 10, Without: []string{"Judge 11"}, Level: 0.05,
		Test: sheet.FriedmanTest, P: 0.0004, Exact: true, Found: true, Trend: &sheet.PanelTrend{P: 0.012, Exact: true, More: true, Found: true},
		Agreement: ptr(0.61), LeastDiff: ptr(11.3), Differ: [][2]string{{"A", "C"}, {"A", "D"}}, First: []string{"C"}, Best: ptr(9.8), BestWithin: &sheet.Interval{8.1, 11.4},
		Power: 0.8, OneGlass: ptr(0.86), Warnings: []string{"The trial's log has pours while the session was open, into A."},
		Glasses: []sheet.PanelGlass{
			{Glass: "A", Code: "412", Answers: 10, RankSum: 36, Share: [3]float64{0.13, 0.02, 0.24}},
			{Glass: "B", Code: "275", Dose: sheet.Dose{MLPer100ML: 4, U: 0.12}, Answers: 10, RankSum: 27, Share: [3]float64{0.43, 0.28, 0.58}},
			{Glass: "C", Code: "938", Dose: sheet.Dose{MLPer100ML: 10.32, U: 0.15}, Answers: 10, RankSum: 17, Share: [3]float64{0.77, 0.64, 0.9}},
			{Glass: "D", Code: "660", Dose: sheet.Dose{MLPer100ML: 14, U: 0.2}, Answers: 10, RankSum: 20, Share: [3]float64{0.67, 0.5, 0.83}},
		},
	}
	none := sheet.Panel{
		PanelAsk: scoreSheets().PanelAsk, Opened: "26 Nov 2026, 14:00", Closed: "26 Nov 2026, 14:25", Judges: 3, Level: 0.05,
		Test: sheet.DurbinTest, P: 0.31, Trend: &sheet.PanelTrend{P: 0.4}, Power: 0.8,
		Glasses: []sheet.PanelGlass{
			{Glass: "A", Code: "733", Answers: 2, RankSum: 4, Share: [3]float64{0.25, 0, 1}, Score: &[3]float64{3.5, 1.2, 5.8}},
			{Glass: "C", Code: "118", Dose: sheet.Dose{MLPer100ML: 10.32, U: 0.15}, Answers: 2, RankSum: 2.5, Share: [3]float64{0.75, 0, 1}, Score: &[3]float64{5, 3, 7}},
		},
	}
	r := sheet.Trial{Head: head(), Wines: wines(t), BaseML: 100, Panels: []sheet.Panel{found, none}}
	return r
}
