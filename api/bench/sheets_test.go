package bench_test

import (
	"bytes"
	"context"
	"errors"
	"html"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
	"pourpath/colour/difference"
	"pourpath/reports/sheet"
)

// printer is a bench whose documents are dated alike on every run.
type printer struct {
	*bench.Bench
	t     *testing.T
	store *store.Store
}

func newPrinter(t *testing.T) printer {
	t.Helper()
	dir, address := storetest.Place(t)
	s, err := store.Open(t.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	b := bench.New(s)
	b.Version = "0.0.0"
	b.Now = func() time.Time { return time.Date(2026, 11, 25, 16, 0, 0, 0, time.FixedZone("", 3600)) }
	return printer{b, t, s}
}

// The wines of these tests are invented.
const (
	white  = `{"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}}`
	red    = `{"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}`
	aim    = `"target": {"cielab": {"L": 85, "a": 16, "b": 4}, "tolerance": {"delta_e_00": 3}}, `
	kit    = `"tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}], `
	around = `"base_ml": 100, "glasses": ["A", "B", "C"]`
)

func (p printer) begin(body string) string {
	p.t.Helper()
	asked, err := calc.DecodeWhole[record.TrialBody]([]byte(body))
	if err != nil {
		p.t.Fatal(err)
	}
	trial, err := p.Begin(p.t.Context(), asked)
	if err != nil {
		p.t.Fatal(err)
	}
	return trial.ID
}

// add logs an entry whose time is told, as that of recording differs by run.
func add[B interface {
	calc.Request
	Entry() record.LogEntry
}](p printer, id, body string) record.Logged {
	p.t.Helper()
	asked, err := calc.DecodeWhole[B]([]byte(body))
	if err != nil {
		p.t.Fatal(err)
	}
	e, err := p.Add(p.t.Context(), id, asked.Entry())
	if err != nil {
		p.t.Fatal(err)
	}
	return e
}

func (p printer) pour(id, rest string) {
	p.t.Helper()
	add[record.PourBody](p, id, `{"at": "2026-11-25T14:05:00Z", "tool": "10 mL syringe", `+rest+`}`)
}

// whole is a trial from the first pour to the final check.
func (p printer) whole() string {
	id := p.begin(`{"name": "First ladder", "base": ` + white + `, "addition": ` + red + `, ` + aim + kit + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 8, "who": "Ada"`)
	add[record.WithdrawalBody](p, id, `{"glass": "B", "volume_ml": 15, "why": "tasting", "at": "2026-11-25T14:10:00Z", "who": "Ada"}`)
	p.pour(id, `"glass": "B", "volume_ml": 2, "stated_total_ml": 12, "who": "Ben"`)
	p.pour(id, `"glass": "C", "volume_ml": 4`)
	p.pour(id, `"glass": "C", "volume_ml": 2`)
	add[record.UndoBody](p, id, `{"entry": 5, "why": "it went into no glass", "by": "Ben", "at": "2026-11-25T14:30:00Z"}`)
	add[record.MeasurementBody](p, id, `{"glass": "C", "readings": {"a420": 0.156, "a520": 0.142, "a620": 0.031}, "minutes_since_blending": 20, "temperature_c": 19.5, "taken_at": "2026-11-25T14:40:00Z"}`)
	add[record.MeasurementBody](p, id, `{"glass": "B", "readings": {"a420": 0.249, "a520": 0.338, "a620": 0.061}, "minutes_since_blending": 90, "taken_at": "2026-11-25T15:30:00Z"}`)
	add[record.NoteBody](p, id, `{"glass": "C", "note": "bright, a little short", "score": 71, "scale": "liking, 0 to 100", "who": "Ada"}`)
	add[record.ChoiceBody](p, id, `{"glass": "C", "reasons": "closest to the target\nliked best", "who": "Ada"}`)
	add[record.FinalCheckBody](p, id, `{"volume_ml": 250, "at": "2026-11-25T15:50:00Z", "readings": {"a420": 0.157, "a520": 0.144, "a620": 0.031}, "who": "Ben"}`)
	return id
}

func (p printer) report(id string) sheet.Trial {
	p.t.Helper()
	r, err := p.Report(p.t.Context(), id, nil)
	if err != nil {
		p.t.Fatal(err)
	}
	return r
}

func (p printer) order(id, body string) (sheet.WorkOrder, error) {
	p.t.Helper()
	asked, err := calc.DecodeWhole[bench.WorkOrderRequest]([]byte(body))
	if err != nil {
		p.t.Fatal(err)
	}
	return p.WorkOrder(p.t.Context(), id, asked)
}

func (p printer) mustOrder(id, body string) sheet.WorkOrder {
	p.t.Helper()
	o, err := p.order(id, body)
	if err != nil {
		p.t.Fatal(err)
	}
	return o
}

var tags = regexp.MustCompile(`<[^>]*>`)

// saysOf is the text of a document's page of HTML; that it can be set as PDF too
// is looked at beside.
func saysOf(t *testing.T, doc interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}) string {
	t.Helper()
	var page bytes.Buffer
	if err := doc.WriteHTML(&page, nil, ""); err != nil {
		t.Fatal(err)
	}
	if err := doc.WritePDF(io.Discard, nil); err != nil {
		t.Fatal(err)
	}
	return html.UnescapeString(strings.Join(strings.Fields(tags.ReplaceAllString(page.String(), " ")), " "))
}

func wants(t *testing.T, page string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(page, want) {
			t.Errorf("the document does not say %q", want)
		}
	}
}

// The dose in glass B is the assignment's own figure, worked by hand: 100 mL and
// 8 mL, of which 15 mL are sipped, and 2 mL more are 10.32 mL per 100 mL, not 10.
// In the blend they are 10.32 / 110.32 = 9.4 %. By hand, to two digits, the syringe
// is off by 0.32/√3 and 0.17/√3 mL in the two pours (together, as it is one tool) and
// read to 0.25/√3 mL in each; 2 mL count 1.16 times after the sip: 0.30 and 0.22, with
// the base's 0.7 % and the sip's 10 % 0.38 in all.
func TestReportIsTheLog(t *testing.T) {
	p := newPrinter(t)
	id := p.whole()
	r := p.report(id)
	answer, err := p.Trial(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Log) != len(answer.Entries) || len(r.Log) != 6 {
		t.Fatalf("%d rows for %d entries", len(r.Log), len(answer.Entries))
	}
	for i, e := range answer.Entries {
		row := r.Log[i]
		if row.No != e.No || row.Glass != e.Glass || row.Who != e.Who || row.TotalML != e.PouredTotalML || row.Dose.MLPer100ML != e.DoseMLPer100ML ||
			row.Dose.U != e.UDose || row.Undone != (e.UndoneBy != 0) || e.VolumeML != nil && row.VolumeML != *e.VolumeML {
			t.Errorf("row %+v is not entry %+v", row, e)
		}
	}
	for i, e := range answer.Measurements {
		if m := r.Measured[i]; m.No != e.No || m.Dose.MLPer100ML != e.DoseMLPer100ML || m.Minutes != e.MinutesSinceBlending || m.Repeat != (i == 0) || m.Outlier {
			t.Errorf("row %+v is not reading %+v", m, e)
		}
	}
	wants(t, saysOf(t, r), "First ladder", "25 November 2026", "times are UTC+01:00", "Pourpath 0.0.0", "Read at 420, 520, 620 nm in a 1 mm cell.",
		"1 25 Nov, 15:05 B Add Young red 8", "10.3 ± 0.4 9.4 Ben", "UNDONE Add Young red", "6 25 Nov, 15:30 C Counter-entry: takes entry 5 back it went into no glass",
		"total stated: 12 mL (see To note)", "Entry 3: 12 mL is stated as the total of glass B, but the pours add up to 10 mL.",
		"read soon after pouring: repeat the next day", "71 liking, 0 to 100 bright, a little short", "Chosen: 4.0 ± 0.2 mL per 100 mL of base · 3.8 % of the blend",
		"40 mL into a litre of base; 38 mL are in a litre of finished blend", "closest to the target", "Not complete. Still to do: keep it cold overnight; look again the next day.",
		"250 mL, 25 Nov, 16:50", "tartrate crystals", "malolactic", "local law", "unexplained")
}

// What the report holds against each other is what the ladders answer.
func TestReportComparesWithTheLadders(t *testing.T) {
	p := newPrinter(t)
	id := p.whole()
	r := p.report(id)
	answer, err := p.Trial(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	question := calc.LadderRequest{Base: answer.Base.Wine(), Addition: calc.Dosed{Wine: answer.Addition.Wine()}, BaseML: 100, Target: answer.Target}
	for _, m := range r.Measured {
		question.DosesML = append(question.DosesML, m.Dose.MLPer100ML)
	}
	before, err := calc.Ladder(question)
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range r.Measured {
		read, err := calc.Colour(calc.ColourRequest{Wine: answer.Measurements[i].Measurement.Wine("")})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "read L*", m.Measured.Lab.L, read.Colour.CIELAB.L)
		near(t, "predicted a*", m.Predicted.Lab.A, before.Rungs[i].Colour.CIELAB.A)
		near(t, "its uncertainty", m.Predicted.U[1], *before.Rungs[i].Colour.Uncertainty.A)
		after := answer.Ladder.Rungs[2-i] // glasses C and B
		near(t, "recalibrated b*", m.Learned.Lab.B, after.Colour.CIELAB.B)
		on := r.Figure.Measured[i].OnPath
		near(t, "in the figure", on.B, m.Learned.Lab.B)
		if left, was := deltaE(m.Measured, *m.Learned), deltaE(m.Measured, *m.Predicted); !(left < was) {
			t.Errorf("glass %s: %g is left unexplained, before learning %g", m.Glass, left, was)
		}
	}
	near(t, "ΔE00 of the choice", *r.Choice.DeltaE00, *answer.Ladder.Rungs[2].Difference.DeltaE00)
	near(t, "ΔE00 of the check", *r.Final.DeltaE00, *answer.FinalCheck.Difference.DeltaE00)
	near(t, "interval", r.Choice.Interval95[1], answer.Ladder.Nearest.DoseInterval95[1])
	if r.Final.KeptCold || r.Final.LookedAgain {
		t.Error("nobody has looked again")
	}
	add[record.FinalCheckBody](p, id, `{"looked_again": {"at": "2026-11-26T09:00:00Z", "clear": false, "note": "fine crystals"}}`)
	wants(t, saysOf(t, p.report(id)), "Done: the chosen dose was poured fresh, read, kept cold overnight and looked at again.", "NOT CLEAR: fine crystals", "The blend did not stay clear")
	wants(t, saysOf(t, p.mustOrder(id, `{"base_l": 100}`)), "Final check of the chosen dose: The blend did not stay clear")
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func deltaE(a, b sheet.Colour) float64 {
	return difference.DeltaE00(a.Lab.L, a.Lab.A, a.Lab.B, b.Lab.L, b.Lab.A, b.Lab.B)
}

func TestSheetIsThePlan(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"name": "First ladder", "base": ` + white + `, "addition": ` + red + `, ` + aim + kit + around + `}`)
	to, step := 12.0, 2.0
	visible := 3.0 // coarse enough for this syringe
	ask := bench.TrialPlanRequest{Kind: bench.Even, ToML: &to, StepML: &step, Visible: &visible}
	plan, err := p.Plan(t.Context(), id, ask)
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.Sheet(t.Context(), id, ask)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Plan) != len(plan.Steps) || len(s.Plan) != 3+6 {
		t.Fatalf("%d rows for %d steps", len(s.Plan), len(plan.Steps))
	}
	for i, step := range plan.Steps {
		row := s.Plan[i]
		if row.Glass != step.Glass || row.VolumeML != step.VolumeML || row.TotalML != step.TotalML || row.Dose.MLPer100ML != step.Dose || row.Dose.U != step.UDose {
			t.Errorf("row %+v is not step %+v", row, step)
		}
		if row.Colour == nil || row.Swatch.At10MM.Hex == "" || row.Swatch.InGlass.Hex == "" || row.Swatch.At10MM == row.Swatch.InGlass {
			t.Errorf("step %d has no colours of its two depths: %+v", i+1, row.Swatch)
		}
	}
	near(t, "L* of the first rung", s.Plan[3].Colour.Lab.L, plan.Rungs[1].Colour.CIELAB.L)
	// 10 mL syringe: ± 4 % from half its capacity on (ISO 7886-1, table 1, from
	// memory), so 0.4 mL when full.
	wants(t, saysOf(t, s), "Bench sheet", "10 mL syringe 10 0.5 ± 0.4 ISO 7886-1, when full", "Base: White base", "Add Young red 10 mL syringe", "A420", "Minutes since pouring",
		"Never drink a sample that was treated", "10 mm and 55 mm deep", "illuminant D65, 10° observer, 10 mm of wine")
	wants(t, strings.Join(s.Warnings, " "), plan.Next.Why, "One graduation of the 10 mL syringe")
}

// A trial of wines that nothing was read of has its documents, without colours.
func TestUnreadWines(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": {"name": "Tank 9"}, "addition": ` + red + `, ` + kit + around + `}`)
	s, err := p.Sheet(t.Context(), id, bench.TrialPlanRequest{Kind: bench.Even})
	if err != nil {
		t.Fatal(err)
	}
	if s.Plan[4].Colour != nil || s.Base.Colour != nil || s.Additions[0].Colour == nil {
		t.Errorf("colours: %+v", s)
	}
	wants(t, saysOf(t, s), "Trial "+id, "Nothing was read of it.", "No colours are predicted")
	p.pour(id, `"glass": "B", "volume_ml": 4`)
	add[record.MeasurementBody](p, id, `{"glass": "B", "readings": {"a420": 0.156, "a520": 0.142, "a620": 0.031}}`)
	add[record.ChoiceBody](p, id, `{"glass": "B", "reasons": "liked best"}`)
	r := p.report(id)
	if r.Figure != nil || r.Measured[0].Predicted != nil || r.Measured[0].Measured.Lab.L == 0 {
		t.Errorf("measured: %+v", r.Measured)
	}
	wants(t, saysOf(t, r), "There is no predicted ladder", "Chosen: 4.0 ± 0.2 mL per 100 mL", "Not done. Pour the chosen dose fresh")
	wants(t, saysOf(t, p.mustOrder(id, `{"base_l": 100, "measuring": {"addition_graduation_ml": 300}}`)), "100.000 L of base and 3.900 L of addition", "was not checked")
	_, err = p.order(id, `{"base_l": 100, "trim": {"tank": {"base_l": 100, "poured_l": 3.6}, "top": `+red+`, "bottom": `+red+`}}`)
	refusedAt(t, err, "/trim", "not known")
}

func refusedAt(t *testing.T, err error, place, words string) {
	t.Helper()
	problem := calc.AsProblem(err)
	if problem == nil {
		t.Errorf("error %v: want a problem that says %q", err, words)
		return
	}
	for _, f := range problem.Errors {
		if f.Location == place && strings.Contains(f.Message, words) {
			return
		}
	}
	t.Errorf("%+v: want a fault at %q that says %q", problem.Errors, place, words)
}

func TestEmptyTrial(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + around + `}`)
	wants(t, saysOf(t, p.report(id)), "No dose has been chosen yet.")
	if _, err := p.Report(t.Context(), "none", nil); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a report of no trial: %v", err)
	}
	if _, err := p.Sheet(context.Background(), "none", bench.TrialPlanRequest{Kind: bench.Even}); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a sheet of no trial: %v", err)
	}
}

// A second addition of 5 mL per 100 mL, held in the base: 4 mL dosed are 4 in
// 109 = 3.7 % of the blend; per 100 mL of the mixture they are 400 / 105 = 3.81 mL.
// 105 L of the mixture hence take 4 L.
func TestHeldAddition(t *testing.T) {
	p := newPrinter(t)
	held := `"held": [{"wine": {"name": "Pressed red", "readings": {"a420": 0.2, "a520": 0.3, "a620": 0.06, "path_mm": 1}}, "dose_ml_per_100ml": 5}], `
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + held + kit + around + `}`)
	to, step := 4.0, 4.0
	s, err := p.Sheet(t.Context(), id, bench.TrialPlanRequest{Kind: bench.Even, ToML: &to, StepML: &step})
	if err != nil {
		t.Fatal(err)
	}
	wants(t, saysOf(t, s), "Addition 2", "Pressed red Read at 420, 520, 620 nm in a 1 mm cell. Held in the base: 5 mL per 100 mL of base",
		"105 Base: White base + 5 mL of Pressed red per 100 mL", "4.0 ± 0.2 3.7")
	p.pour(id, `"glass": "B", "volume_ml": 4`)
	add[record.ChoiceBody](p, id, `{"glass": "B", "reasons": "liked best"}`)
	wants(t, saysOf(t, p.report(id)), "4.0 ± 0.2 3.7", "Chosen: 4.0 ± 0.2 mL per 100 mL of base · 3.7 % of the blend")
	if f := p.report(id).Figure; f.HeldMLPer100ML != 5 {
		t.Errorf("the figure counts %g mL per 100 mL as held", f.HeldMLPer100ML)
	}
	o := p.mustOrder(id, `{"base_l": 105}`)
	near(t, "addition", o.Volumes.Vessels[0].AdditionL, 4)
	wants(t, saysOf(t, o), "Dose: 3.8 ± 0.2 mL per 100 mL of base · 3.7 % of the blend", "Base is the mixture here", "White base + 5 mL of Pressed red per 100 mL")
	_, err = p.order(id, `{"base_l": 105, "trim": {"tank": {"base_l": 105, "poured_l": 3.6}, "top": `+red+`, "bottom": `+red+`}}`)
	refusedAt(t, err, "/trim", "read the mixture")
}

// A reading far off any path is flagged in its row and said once, by its glass.
func TestOutlierIsFlagged(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + kit + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 4`)
	add[record.MeasurementBody](p, id, `{"glass": "B", "readings": {"a420": 0.52, "a520": 0.70, "a620": 0.2}}`)
	r := p.report(id)
	if !r.Measured[0].Outlier || r.Measured[0].Learned == nil {
		t.Errorf("measured: %+v", r.Measured[0])
	}
	page := saysOf(t, r)
	wants(t, page, "OUTLIER: flagged, not dropped", "The reading of glass B at 4 mL per 100 mL of base (entry 2) fits no plausible path")
	if strings.Count(page, "fits no plausible path") != 1 {
		t.Error("the same is said more than once")
	}
}

// Documents name the lot of a stored wine, and which wine a warning is of.
func TestStoredWineIsNamed(t *testing.T) {
	p := newPrinter(t)
	body, err := calc.DecodeWhole[record.WineBody]([]byte(`{"name": "Barrel 4", "kind": "red", "lot": "R-26-004", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}`))
	if err != nil {
		t.Fatal(err)
	}
	reading, _ := body.Reading()
	wine, _, err := p.store.CreateWine(t.Context(), body.WineFields, &reading)
	if err != nil {
		t.Fatal(err)
	}
	id := p.begin(`{"base": ` + white + `, "addition": {"id": "` + wine.ID + `"}, ` + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 6`)
	wants(t, saysOf(t, p.report(id)), "Lot R-26-004", "Of Barrel 4: 3 readings leave the colour of this wine")
}

// The same trial is the same document.
func TestReportIsTheSame(t *testing.T) {
	p := newPrinter(t)
	id := p.whole()
	var pages [2]bytes.Buffer
	for i := range pages {
		if err := p.report(id).WritePDF(&pages[i], nil); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(pages[0].Bytes(), pages[1].Bytes()) {
		t.Error("two printings of one trial differ")
	}
}
