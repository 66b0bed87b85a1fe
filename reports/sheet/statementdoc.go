package sheet

import (
	"math"
	"slices"
	"strings"

	"pourpath/colour/conform"
	"pourpath/reports"
)

func (s Statement) document(t *Texts) *document {
	x := &t.Statement
	d := &document{texts: t, head: s.head(t), Name: x.Name, Lead: s.lead(t)}
	d.Foot = []string{x.Uncertainties, x.Draft}
	if !s.Draft {
		d.Foot[1] = t.fill(x.Register, "number", s.Number, "checksum", strings.ToLower(s.Checksum))
	}
	d.list(t.Mind, s.mind(t))
	if s.Verdict == conform.Inconclusive {
		d.list(x.SettleTitle, s.Settle)
	}
	d.Blocks = append(d.Blocks, block{Figure: reports.ToleranceFigure{Title: x.PlaceTitle, Parts: s.Parts, Texts: &t.Figures}})
	if s.Plane != nil {
		plane := *s.Plane
		plane.Texts = &t.Figures
		d.Blocks = append(d.Blocks, block{Figure: plane})
	}
	s.result(d)
	d.heading(x.RuleTitle)
	d.para(s.rule(t))
	d.facts(fact{x.MostUncertain, s.Dominant})
	s.facts(d)
	s.readings(d)
	d.list(t.Cautions, x.Cautions)
	d.heading(t.Order.Signed)
	d.Blocks = append(d.Blocks, block{Signs: x.Signatures})
	return d
}

// lead is the verdict as a sentence.
func (s Statement) lead(t *Texts) string {
	x := &t.Statement
	if math.IsNaN(s.Probability) {
		if s.Verdict == conform.Pass {
			return x.PlainPass
		}
		return x.PlainFail
	}
	within, outside := s.limitsOf()
	p, q := t.probability(s.Probability, within...), t.probability(1-s.Probability, outside...)
	if s.Rule == conform.Simple {
		if s.Verdict == conform.Pass {
			return t.fill(x.SimplePass, "p", p)
		}
		return t.fill(x.SimpleFail, "p", p)
	}
	switch s.Verdict {
	case conform.Pass:
		return t.fill(x.Pass, "p", p)
	case conform.Fail:
		return t.fill(x.Fail, "p", q)
	}
	return t.fill(x.Inconclusive, "p", p)
}

// limitsOf are the probabilities of being within, and outside, that decide.
func (s Statement) limitsOf() (within, outside []float64) {
	if s.Rule == conform.Simple {
		return nil, nil
	}
	both := []float64{s.MaxRisk, 1 - s.MaxRisk}
	return both, both
}

// mind are the warnings, that of the instrument first.
func (s Statement) mind(t *Texts) []string {
	x := &t.Statement
	var out []string
	if s.Draft {
		out = append(out, x.Draft)
	}
	switch s.Instrument.State {
	case CheckOverdue:
		out = append(out, x.CheckOverdue)
	case CheckFailed:
		out = append(out, x.CheckFailed)
	case CheckUnknown:
		out = append(out, x.CheckUnknown)
	}
	return append(out, s.Warnings...)
}

func (s Statement) rule(t *Texts) string {
	if s.Rule == conform.Simple {
		return t.Statement.SimpleRule
	}
	return t.fill(t.Statement.GuardedRule, "accept", t.plain(1-s.MaxRisk, 4), "risk", t.plain(s.MaxRisk, 4))
}

// result is the colour with its uncertainty, and each limit with the place in it.
func (s Statement) result(d *document) {
	t, x := d.texts, &d.texts.Statement
	d.heading(x.ResultTitle)
	tab := table{Columns: []column{{Head: x.Quantity}, {Head: x.Value, WideMM: 18, Right: true}, {Head: x.K1, WideMM: 17, Right: true},
		{Head: x.K2, WideMM: 29, Right: true}, {Head: x.Lower, WideMM: 16, Right: true}, {Head: x.Upper, WideMM: 16, Right: true},
		{Head: x.Place, WideMM: 27}, {Head: x.ProbabilityOf, WideMM: 20, Right: true}}}
	within, _ := s.limitsOf()
	for _, p := range s.inOrder() {
		tab.Rows = append(tab.Rows, t.partRow(p, within))
	}
	d.table(tab)
	if r := s.Reference; r != nil {
		d.facts(fact{x.Reference, r.Name + "\n" + t.finely(&r.Colour)})
	}
}

// finely is a colour in a sentence with two digits of its uncertainties.
func (t *Texts) finely(c *Colour) string {
	var out []string
	for i, v := range [3]float64{c.Lab.L, c.Lab.A, c.Lab.B} {
		out = append(out, [3]string{"L* ", "a* ", "b* "}[i]+t.withU(v, c.U[i], twoDigits(c.U[i])))
	}
	return strings.Join(out, ", ")
}

// inOrder are L*, a* and b*, limited or not, and then the other parts.
func (s Statement) inOrder() []reports.PartMark {
	var out []reports.PartMark
	of := func(name string) func(reports.PartMark) bool {
		return func(p reports.PartMark) bool { return strings.TrimSpace(p.Quantity) == name }
	}
	colour := [3]string{"L*", "a*", "b*"}
	for i, v := range [3]float64{s.Result.Lab.L, s.Result.Lab.A, s.Result.Lab.B} {
		if k := slices.IndexFunc(s.Parts, of(colour[i])); k >= 0 {
			out = append(out, s.Parts[k])
			continue
		}
		out = append(out, reports.PartMark{Quantity: colour[i], Value: v, U: s.Result.U[i], Lower: math.Inf(-1), Upper: math.Inf(1)})
	}
	for _, p := range s.Parts {
		if !slices.Contains(colour[:], strings.TrimSpace(p.Quantity)) {
			out = append(out, p)
		}
	}
	return out
}

// uncertainty is empty where none is stated, and never rounds to nothing.
func (t *Texts) uncertainty(u float64, n int) string {
	if u == 0 {
		return ""
	}
	return "± " + t.fixed(max(u, math.Pow10(-n)), n)
}

// twoDigits are the decimals that show two digits of an uncertainty, as many as
// are of use (JCGM100, 7.2.6).
func twoDigits(u float64) int {
	if !(u > 0) {
		return 2
	}
	return min(4, max(0, 1-int(math.Floor(math.Log10(u)))))
}

func (t *Texts) partRow(p reports.PartMark, limits []float64) row {
	n := twoDigits(p.U)
	name := p.Quantity
	if p.Unit != "" {
		name += ", " + p.Unit
	}
	wide := ""
	switch i := p.Interval95; {
	case i != nil:
		wide = t.fill(t.Statement.Interval95, "from", t.fixed(i[0], n), "to", t.fixed(i[1], n))
	case !p.NeverNegative || p.Value >= 2*p.U: // else 2 U either way would tell of values that there are not
		wide = t.uncertainty(2*p.U, n)
	}
	probability := ""
	if p.Probability != nil {
		probability = t.probability(*p.Probability, limits...)
	}
	return row{Cells: []cell{text(name), text(t.fixed(p.Value, n)), text(t.uncertainty(p.U, n)), text(wide),
		text(t.limit(p.Lower)), text(t.limit(p.Upper)), text(t.placeOf(p)), text(probability)}}
}

// limit is empty on an open side.
func (t *Texts) limit(v float64) string {
	if math.IsInf(v, 0) {
		return ""
	}
	return t.plain(v, 4)
}

func (t *Texts) placeOf(p reports.PartMark) string {
	x := &t.Statement
	switch {
	case math.IsInf(p.Lower, -1) && math.IsInf(p.Upper, 1):
		return x.NotLimited
	case p.Value < p.Lower:
		return x.BelowLimit
	case p.Value > p.Upper:
		return x.AboveLimit
	case p.Warning != nil && (p.Value < p.Warning[0] || p.Value > p.Warning[1]):
		return x.BeyondWarning
	}
	return x.WithinLimits
}

// facts are the lot, the specification, the instrument and who said so.
func (s Statement) facts(d *document) {
	t, x := d.texts, &d.texts.Statement
	d.heading(x.LotTitle)
	d.facts(fact{x.LotName, s.Lot.Name}, fact{x.Wine, s.Lot.Wine}, fact{x.Bottled, s.Lot.Bottled}, fact{x.Sample, s.Lot.Sample},
		fact{x.Taken, s.Lot.Taken}, fact{x.State, s.Lot.State})
	d.heading(x.SpecTitle)
	valid := ""
	switch from, to := s.Spec.ValidFrom, s.Spec.ValidTo; {
	case from != "" && to != "":
		valid = t.fill(t.Range, "from", from, "to", to)
	case from != "":
		valid = t.fill(x.From, "from", from)
	case to != "":
		valid = t.fill(x.Until, "to", to)
	}
	d.facts(fact{x.SpecName, t.fill(x.SpecVersion, "name", s.Spec.Name, "version", s.Spec.Version)}, fact{x.Valid, valid},
		fact{x.ApprovedBy, s.Spec.ApprovedBy}, fact{x.Reads, s.Spec.Reads})
	d.heading(x.MethodTitle)
	d.facts(fact{x.Method, s.Method}, fact{x.Instrument, s.Instrument.Name}, fact{x.Check, s.checkLine(t)}, fact{x.Found, s.Instrument.Found})
	d.heading(x.IssuedTitle)
	issued := []fact{{x.Note, s.Note}, {x.Decision, s.Decision}, {x.IssuedBy, s.IssuedBy}, {x.Issued, s.Issued}, {x.Program, s.Version}}
	if !s.Draft {
		issued = append(issued, fact{x.Number, s.Number}, fact{x.Checksum, strings.ToLower(s.Checksum) + "\n" + x.Verify})
	}
	d.facts(issued...)
}

// checkLine is how the instrument stood, in a sentence.
func (s Statement) checkLine(t *Texts) string {
	x := &t.Statement
	state := map[CheckState]string{CheckPassed: x.StatePassed, CheckOverdue: x.StateOverdue, CheckFailed: x.StateFailed, CheckUnknown: x.StateUnknown}[s.Instrument.State]
	out := []string{state}
	if s.Instrument.Checked != "" {
		out = append(out, t.fill(x.LastChecked, "when", s.Instrument.Checked))
	}
	if s.Instrument.Due != "" {
		out = append(out, t.fill(x.DueBy, "when", s.Instrument.Due))
	}
	return strings.Join(out, t.Figures.Shared.Semicolon)
}

func (s Statement) readings(d *document) {
	t, x := d.texts, &d.texts.Statement
	tab := table{Columns: []column{{Head: x.ReadSample, WideMM: 40}, {Head: x.Quantity, WideMM: 30}, {Head: x.How},
		{Head: x.Read, WideMM: 22, Right: true}, {Head: t.Columns.Note}}}
	for _, r := range s.Readings {
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(r.Sample), text(r.Quantity), text(r.How), text(t.fixed(r.Value, r.Decimals)), text(r.Note)}})
	}
	if len(tab.Rows) > 0 {
		d.heading(x.ReadingsTitle)
		d.table(tab)
	}
}
