package release

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// Paper is a statement as a document to print. All of its figures are those that
// the statement has: nothing is computed anew. texts are the words of the document, nil
// for English. The error is record.ErrDamaged for one that is not what was issued, which
// has no document.
func Paper(st record.Statement, texts *sheet.Texts) (sheet.Statement, error) {
	var c record.StatementContent
	if err := json.Unmarshal(st.Content, &c); err != nil {
		return sheet.Statement{}, fmt.Errorf("release: content of statement %d: %w", st.No, err)
	}
	if !st.Draft && (record.Chained(st.Previous, st.Content) != st.SHA256 || c.No != st.No) {
		return sheet.Statement{}, fmt.Errorf("release: statement %d: %w: it is not what was issued; restore the last backup", st.No, record.ErrDamaged)
	}
	t, conditions := sheet.InEnglish(texts), c.Verdict.Colour.Conditions
	out := sheet.Statement{
		Draft: st.Draft, Number: strconv.Itoa(st.No), Checksum: st.SHA256, Issued: t.Moment(c.IssuedAt.Time), IssuedBy: c.IssuedBy, Note: c.Note,
		View:    cie.View{Illuminant: cie.Illuminant(conditions.Illuminant), Observer: cie.Observer(conditions.Observer), DepthMM: conditions.PathMM},
		Version: programs(c, t), Lot: lotFact(c, t), Method: methodOf(c.Sample.Measurement, t), Conditions: circumstances(c.Sample.Circumstances, t),
		Instrument: instrumentFact(c, t), Readings: readingsOf(c.Sample, t), Result: colourOf(c.Verdict.Colour), Reference: referenceOf(c, t),
		Spec: specFact(c.Spec, t), Rule: conform.Rule(c.Spec.Rule), MaxRisk: calc.DefaultMaxRisk, Verdict: conform.Verdict(c.Verdict.Verdict), Probability: math.NaN(),
	}
	if out.Rule == "" {
		out.Rule = conform.Simple
	}
	if c.Spec.MaxRisk != nil {
		out.MaxRisk = *c.Spec.MaxRisk
	}
	if p := c.Verdict.Probability; p != nil {
		out.Probability = *p
	}
	var without []string
	out.Parts, without = Parts(c.Verdict.Results, &t.Figures)
	if d := c.Decision; d != nil {
		out.Decision = decided(*d, t)
	}
	if list := c.Verdict.Causes; len(list) > 0 {
		out.Dominant = reports.Fill(t.Told.Variance, "cause", CauseName(list[0], t), "share", t.Figures.Fixed(100*list[0].Share, 0))
	}
	for _, r := range c.Verdict.WouldSettle {
		out.Settle = append(out.Settle, remedyText(r, t))
	}
	for _, w := range slices.Concat(c.Verdict.Warnings, c.Verdict.Colour.Warnings) {
		if w.Code != record.CheckFailedCode && w.Code != record.CheckOverdueCode && !slices.Contains(without, w.Message) {
			without = append(without, w.Message)
		}
	}
	for _, message := range without {
		out.Warnings = append(out.Warnings, t.Said(message))
	}
	return out, nil
}

// momentOr is a time as the document writes it, or a day where that was given; empty
// where there is none. It is in UTC: whoever reads a statement years later does not know
// the zone of the machine.
func momentOr(i *record.Instant, t *sheet.Texts) string {
	if i == nil {
		return ""
	}
	return t.Moment(i.Time)
}

// programs are that which issued the statement and, where it was another, that
// which judged.
func programs(c record.StatementContent, t *sheet.Texts) string {
	if c.Program == c.Verdict.Program {
		return "Pourpath " + c.Program
	}
	return reports.Fill(t.Told.Programs, "program", "Pourpath "+c.Program, "judge", "Pourpath "+c.Verdict.Program)
}

func lotFact(c record.StatementContent, t *sheet.Texts) sheet.Lot {
	var sample []string
	if s := c.Sample.Stage; s != "" {
		sample = append(sample, t.Told.Stages[string(s)])
	}
	if b := c.Sample.Bottle; b != "" {
		sample = append(sample, b)
	}
	return sheet.Lot{
		Name: c.Lot.Name, Wine: c.Lot.Product, Bottled: momentOr(c.Lot.BottledAt, t),
		Sample: strings.Join(sample, t.Figures.Shared.Colon), Taken: t.Moment(c.Sample.At().Time), State: StateWords(c.Sample.State, t),
	}
}

// StateWords are what was recorded of the wine's state; texts nil is English.
func StateWords(s *record.State, texts *sheet.Texts) string {
	if s == nil {
		return ""
	}
	t := sheet.InEnglish(texts)
	var words []string
	for _, q := range []struct {
		value *float64
		text  string
	}{{s.FreeSO2, t.Told.FreeSO2}, {s.TotalSO2, t.Told.TotalSO2}, {s.CO2, t.Told.CO2}, {s.Temperature, t.Told.DrawnAt}} {
		if q.value != nil {
			words = append(words, reports.Fill(q.text, "value", t.Figures.Plain(*q.value, 6)))
		}
	}
	for _, q := range []struct {
		value   *bool
		yes, no string
	}{{s.Filtered, t.Told.Filtered, t.Told.NotFiltered}, {s.Acetaldehyde, t.Told.Acetaldehyde, t.Told.NoAcetaldehyde}} {
		switch {
		case q.value == nil:
		case *q.value:
			words = append(words, q.yes)
		default:
			words = append(words, q.no)
		}
	}
	return t.Listed(words)
}

func circumstances(c record.Circumstances, t *sheet.Texts) string {
	var words []string
	if c.TemperatureC != nil {
		words = append(words, reports.Fill(t.Told.ReadAtC, "value", t.Figures.Plain(*c.TemperatureC, 6)))
	}
	if c.Blank != "" {
		words = append(words, reports.Fill(t.Told.Blank, "blank", strings.TrimSuffix(c.Blank, ".")))
	}
	if c.Analyst != "" {
		words = append(words, reports.Fill(t.Told.ReadBy, "analyst", strings.TrimSuffix(c.Analyst, ".")))
	}
	return strings.Join(words, " ")
}

func instrumentFact(c record.StatementContent, t *sheet.Texts) sheet.Instrument {
	out := sheet.Instrument{Name: c.Sample.Instrument, State: sheet.CheckUnknown}
	if out.Name == "" {
		out.Name = t.Told.NotRecorded
	}
	if len(c.Checks) == 0 {
		return out
	}
	out.State = sheet.CheckPassed
	last := c.Checks[0]
	var due *record.Instant
	for _, check := range c.Checks {
		if check.At().After(last.At().Time) {
			last = check
		}
		if next := check.NextDue; next != nil && (due == nil || next.Before(due.Time)) {
			due = next
		}
	}
	out.Checked, out.Due = t.Moment(last.At().Time), momentOr(due, t)
	var found []string
	for _, w := range record.InstrumentWarnings(c.Checks, c.Sample.At()) {
		switch {
		case w.Code == record.CheckFailedCode:
			out.State = sheet.CheckFailed
		case out.State != sheet.CheckFailed:
			out.State = sheet.CheckOverdue
		}
		found = append(found, t.Said(w.Message))
	}
	out.Found = strings.Join(found, " ")
	return out
}

func specFact(s record.Spec, t *sheet.Texts) sheet.SpecFact {
	name := s.Name
	if name == "" {
		name = s.ID
	}
	begins := ""
	if at := s.Begins(); !at.IsZero() {
		begins = t.Moment(at.Time)
	}
	out := sheet.SpecFact{Name: name, Version: strconv.Itoa(s.Version), ValidFrom: begins, ValidTo: momentOr(s.ValidTo, t), ApprovedBy: s.ApprovedBy}
	if s.Reading != nil {
		out.Reads = t.Said(s.Reading.Text())
	}
	return out
}

func decidedAt(d record.Decision) record.Instant {
	if d.At != nil {
		return *d.At
	}
	return d.RecordedAt
}

func decided(d record.Decision, t *sheet.Texts) string {
	layout := t.Told.Decided
	if d.By != "" {
		layout = t.Told.DecidedBy
	}
	words := reports.Fill(layout, "decision", cmp.Or(t.Told.Decisions[d.Decision], d.Decision), "by", d.By, "when", t.Moment(decidedAt(d).Time))
	if d.Reason != "" {
		return reports.Fill(t.Told.DecidedReason, "decided", words, "reason", d.Reason)
	}
	return words
}

// CauseName is a cause of uncertainty in words; texts nil is English.
func CauseName(c calc.CauseShare, texts *sheet.Texts) string {
	t := sheet.InEnglish(texts)
	name := cmp.Or(t.Told.Causes[c.Cause], c.Cause)
	switch c.Kind {
	case "repeats":
		return reports.Fill(t.Told.Repeats, "cause", name)
	case "session":
		return reports.Fill(t.Told.Session, "cause", name)
	}
	return name
}

// remedyText says in a sentence what could be done, and what would come of it.
func remedyText(r calc.Remedy, t *sheet.Texts) string {
	values := []string{"remedy", cmp.Or(t.Told.Remedies[r.Action], r.What), "verdict", cmp.Or(t.Told.Verdicts[r.Verdict], r.Verdict)}
	if r.Probability == nil {
		return reports.Fill(t.Told.Remedy, values...)
	}
	return reports.Fill(t.Told.RemedyProbable, append(values, "p", t.Probability(*r.Probability))...)
}
