package release

import (
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
	"pourpath/reports/sheet"
)

// Paper is a statement as a document to print. All of its figures are those that
// the statement has: nothing is computed anew. The error is record.ErrDamaged for
// one that is not what was issued, which has no document.
func Paper(st record.Statement) (sheet.Statement, error) {
	var c record.StatementContent
	if err := json.Unmarshal(st.Content, &c); err != nil {
		return sheet.Statement{}, fmt.Errorf("release: content of statement %d: %w", st.No, err)
	}
	if !st.Draft && (record.Chained(st.Previous, st.Content) != st.SHA256 || c.No != st.No) {
		return sheet.Statement{}, fmt.Errorf("release: statement %d: %w: it is not what was issued; restore the last backup", st.No, record.ErrDamaged)
	}
	conditions := c.Verdict.Colour.Conditions
	out := sheet.Statement{
		Draft: st.Draft, Number: strconv.Itoa(st.No), Checksum: st.SHA256, Issued: moment(c.IssuedAt), IssuedBy: c.IssuedBy, Note: c.Note,
		View:    cie.View{Illuminant: cie.Illuminant(conditions.Illuminant), Observer: cie.Observer(conditions.Observer), DepthMM: conditions.PathMM},
		Version: programs(c), Lot: lotFact(c), Method: methodOf(c.Sample.Measurement), Conditions: circumstances(c.Sample.Circumstances),
		Instrument: instrumentFact(c), Readings: readingsOf(c.Sample), Result: colourOf(c.Verdict.Colour), Reference: referenceOf(c),
		Spec: specFact(c.Spec), Rule: conform.Rule(c.Spec.Rule), MaxRisk: calc.DefaultMaxRisk, Verdict: conform.Verdict(c.Verdict.Verdict), Probability: math.NaN(),
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
	out.Parts, without = Parts(c.Verdict.Results)
	if d := c.Decision; d != nil {
		out.Decision = decided(*d)
	}
	if list := c.Verdict.Causes; len(list) > 0 {
		out.Dominant = fmt.Sprintf("%s, %.0f %% of the variance", CauseName(list[0]), 100*list[0].Share)
	}
	for _, r := range c.Verdict.WouldSettle {
		out.Settle = append(out.Settle, RemedyText(r))
	}
	out.Warnings = without
	for _, w := range slices.Concat(c.Verdict.Warnings, c.Verdict.Colour.Warnings) {
		if slices.Contains(out.Warnings, w.Message) {
			continue
		}
		if w.Code != record.CheckFailedCode && w.Code != record.CheckOverdueCode {
			out.Warnings = append(out.Warnings, w.Message)
		}
	}
	return out, nil
}

// probably is a probability that is never certain.
func probably(p float64) string {
	switch {
	case p < 0.005:
		return "below 0.01"
	case p >= 0.995:
		return "above 0.99"
	}
	return fmt.Sprintf("%.2f", p)
}

// moment is a time as the document writes it, or a day where that was given. It is
// in UTC: whoever reads a statement years later does not know the zone of the
// machine.
func moment(i record.Instant) string {
	if i.Midnight() {
		return i.UTC().Format("2 January 2006")
	}
	return i.UTC().Format("2 January 2006, 15:04 UTC")
}

func momentOr(i *record.Instant) string {
	if i == nil {
		return ""
	}
	return moment(*i)
}

// programs are that which issued the statement and, where it was another, that
// which judged.
func programs(c record.StatementContent) string {
	if c.Program == c.Verdict.Program {
		return "Pourpath " + c.Program
	}
	return "Pourpath " + c.Program + "; the verdict was given by Pourpath " + c.Verdict.Program
}

func lotFact(c record.StatementContent) sheet.Lot {
	var sample []string
	if s := c.Sample.Stage; s != "" {
		sample = append(sample, stageNames[s])
	}
	if b := c.Sample.Bottle; b != "" {
		sample = append(sample, b)
	}
	return sheet.Lot{
		Name: c.Lot.Name, Wine: c.Lot.Product, Bottled: momentOr(c.Lot.BottledAt),
		Sample: strings.Join(sample, ": "), Taken: moment(c.Sample.At()), State: StateWords(c.Sample.State),
	}
}

var stageNames = map[record.Stage]string{
	record.FirstBottles: "First bottles off the line", record.Beginning: "Beginning of the run", record.Middle: "Middle of the run",
	record.End: "End of the run", record.Retained: "Retained bottle",
}

// StateWords are what was recorded of the wine's state.
func StateWords(s *record.State) string {
	if s == nil {
		return ""
	}
	var words []string
	for _, q := range []struct {
		value *float64
		text  string
	}{{s.FreeSO2, "free SO2 %g mg/L"}, {s.TotalSO2, "total SO2 %g mg/L"}, {s.CO2, "CO2 %g mg/L"}, {s.Temperature, "drawn at %g °C"}} {
		if q.value != nil {
			words = append(words, fmt.Sprintf(q.text, *q.value))
		}
	}
	for _, q := range []struct {
		value   *bool
		yes, no string
	}{{s.Filtered, "filtered", "not filtered"}, {s.Acetaldehyde, "read with excess acetaldehyde", "read without excess acetaldehyde"}} {
		switch {
		case q.value == nil:
		case *q.value:
			words = append(words, q.yes)
		default:
			words = append(words, q.no)
		}
	}
	return strings.Join(words, "; ")
}

func circumstances(c record.Circumstances) string {
	var words []string
	if c.TemperatureC != nil {
		words = append(words, fmt.Sprintf("Read at %g °C.", *c.TemperatureC))
	}
	if c.Blank != "" {
		words = append(words, "Blank: "+strings.TrimSuffix(c.Blank, ".")+".")
	}
	if c.Analyst != "" {
		words = append(words, "Read by "+strings.TrimSuffix(c.Analyst, ".")+".")
	}
	return strings.Join(words, " ")
}

func instrumentFact(c record.StatementContent) sheet.Instrument {
	out := sheet.Instrument{Name: c.Sample.Instrument, State: sheet.CheckUnknown}
	if out.Name == "" {
		out.Name = "not recorded"
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
	out.Checked, out.Due = moment(last.At()), momentOr(due)
	var found []string
	for _, w := range record.InstrumentWarnings(c.Checks, c.Sample.At()) {
		switch {
		case w.Code == record.CheckFailedCode:
			out.State = sheet.CheckFailed
		case out.State != sheet.CheckFailed:
			out.State = sheet.CheckOverdue
		}
		found = append(found, w.Message)
	}
	out.Found = strings.Join(found, " ")
	return out
}

func specFact(s record.Spec) sheet.SpecFact {
	name := s.Name
	if name == "" {
		name = s.ID
	}
	begins := ""
	if at := s.Begins(); !at.IsZero() {
		begins = moment(at)
	}
	out := sheet.SpecFact{Name: name, Version: strconv.Itoa(s.Version), ValidFrom: begins, ValidTo: momentOr(s.ValidTo), ApprovedBy: s.ApprovedBy}
	if s.Reading != nil {
		out.Reads = s.Reading.Text()
	}
	return out
}

func decidedAt(d record.Decision) record.Instant {
	if d.At != nil {
		return *d.At
	}
	return d.RecordedAt
}

func decided(d record.Decision) string {
	words := d.Decision
	if d.By != "" {
		words += " by " + d.By
	}
	words += ", " + moment(decidedAt(d))
	if d.Reason != "" {
		words += ": " + d.Reason
	}
	return words
}

// causeNames are the causes of uncertainty as a document says them.
var causeNames = map[string]string{
	"reading": "the readings", "dilution": "the dilution", "shape": "what the readings leave open of the spectrum", "rounding": "the digits that were stated",
	"dose": "the dose", "medium": "how the addition colours another wine", "learned": "what was learned from glasses",
}

// CauseName is a cause of uncertainty in words.
func CauseName(c calc.CauseShare) string {
	name, known := causeNames[c.Cause]
	if !known {
		name = c.Cause
	}
	switch c.Kind {
	case "repeats":
		return name + ", by what differs from one to the next"
	case "session":
		return name + ", by what a session has in common"
	}
	return name
}

// RemedyText says in a sentence what could be done, and what would come of it.
func RemedyText(r calc.Remedy) string {
	words := "If you " + r.What + " and find the same colour, the verdict would be " + r.Verdict
	if r.Probability != nil {
		words += ", with probability " + probably(*r.Probability) + " of being within"
	}
	return words + "."
}
