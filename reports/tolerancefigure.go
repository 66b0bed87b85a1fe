package reports

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
)

// ToleranceFigure is the picture of where one lot lies in its tolerance: a row
// for each part of the specification.
type ToleranceFigure struct {
	Title   string // headline; "Place in the tolerance" when empty
	Finding string // the verdict as a sentence, first; may be empty
	Parts   []PartMark
	// Conditions is a sentence for the footer; may be empty.
	Conditions string
	Version    string // version of the program, for the footer
}

// PartMark is one part of a specification with the lot's place in it.
type PartMark struct {
	Quantity string // such as "ΔE00 from the reference"; required
	Unit     string // may be empty
	Value    float64
	U        float64 // standard uncertainty (k = 1); 0 where not stated
	// Interval95 holds 95 % of the value, for what is not symmetrical, such as a
	// colour difference; nil where value ± 2 U does.
	Interval95 *[2]float64
	// Lower and Upper are the limits, infinite on an open side; a hue whose limits
	// run through 0 goes on beyond 360.
	Lower, Upper float64
	Warning      *[2]float64 // inside the limits, infinite on an open side; nil for none
	// NeverNegative begins the scale at 0.
	NeverNegative bool
	Probability   *float64 // of meeting this part alone, 0 to 1; nil where not known
}

// The figure's measures.
const (
	partsLeft = 52 * mm
	partsWide = 88 * mm
	partHigh  = 13.5 * mm
	partBar   = 4.4 * mm
	mostParts = 20
)

type toleranceRows struct {
	leaf
	f *ToleranceFigure
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f ToleranceFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	f.Title, f.Finding, f.Conditions, f.Version = clean(f.Title), clean(f.Finding), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = "Place in the tolerance"
	}
	t := &toleranceRows{f: &f}
	t.head(f.Title, f.Finding)
	t.panels -= 5 * mm // no heading of a panel
	t.legend = legendRows(f.legend(), bodyWide)
	var foot []string
	if f.Conditions != "" {
		foot = append(foot, "Conditions: "+strings.TrimSuffix(f.Conditions, ".")+".")
	}
	if f.Version != "" {
		foot = append(foot, f.Version+".")
	}
	t.foot(foot...)
	t.high = t.panels + vg.Length(len(f.Parts))*partHigh + vg.Length(len(t.legend))*legendRow + 1*mm + t.footHigh()
	return &Drawing{title: f.Title, described: clean(f.described()), high: t.high, paint: t.draw}, nil
}

func (t *toleranceRows) draw(p *pen) {
	t.drawHeader(p)
	for i := range t.f.Parts {
		t.part(p, &t.f.Parts[i], t.high-t.panels-vg.Length(i)*partHigh)
	}
	drawLegend(p, t.legend, vg.Point{X: margin, Y: t.high - t.panels - vg.Length(len(t.f.Parts))*partHigh})
	t.drawFooter(p)
}

// part draws a row whose top is at top.
func (t *toleranceRows) part(p *pen, k *PartMark, top vg.Length) {
	x := k.scale()
	mid := top - 5.2*mm
	fr := frame{Rectangle: vg.Rectangle{Min: vg.Point{X: partsLeft, Y: mid - partBar/2}, Max: vg.Point{X: partsLeft + partsWide, Y: mid + partBar/2}},
		x: x, y: extent{0, 1}}
	on := func(v float64) vg.Length { return fr.at(math.Max(x.min, math.Min(x.max, v)), 0).X }
	p.fillRect(band, vg.Rectangle{Min: vg.Point{X: on(k.Lower), Y: fr.Min.Y}, Max: vg.Point{X: on(k.Upper), Y: fr.Max.Y}})
	p.line(solid(quiet, hair), vg.Point{X: fr.Min.X, Y: mid}, vg.Point{X: fr.Max.X, Y: mid})
	if k.Warning != nil {
		for _, v := range *k.Warning {
			if x.inside(v) {
				p.line(warningStyle, vg.Point{X: on(v), Y: fr.Min.Y - 0.6*mm}, vg.Point{X: on(v), Y: fr.Max.Y + 0.6*mm})
			}
		}
	}
	d := k.digits()
	for _, v := range [2]float64{k.Lower, k.Upper} {
		if x.inside(v) {
			p.line(solid(ink, strong), vg.Point{X: on(v), Y: fr.Min.Y - 1*mm}, vg.Point{X: on(v), Y: fr.Max.Y + 1*mm})
			p.text(limitText(v, d), regular, tickSize, ink, centre, vg.Point{X: on(v), Y: fr.Min.Y - 1.6*mm - capHeight*tickSize})
		}
	}
	if k.NeverNegative && x.min == 0 {
		p.text("0", regular, tickSize, quiet, centre, vg.Point{X: on(0), Y: fr.Min.Y - 1.6*mm - capHeight*tickSize})
	}
	k.lot(p, on, x, mid)
	k.words(p, mid)
}

// inside reports whether a value is on the scale.
func (e extent) inside(v float64) bool { return v >= e.min && v <= e.max }

// lot marks the value with its uncertainty; beyond the scale an arrow points to it.
func (k *PartMark) lot(p *pen, on func(float64) vg.Length, x extent, mid vg.Length) {
	at := vg.Point{X: on(k.Value), Y: mid}
	if i := k.interval(); i != nil {
		p.line(solid(ink, medium), vg.Point{X: on(i[0]), Y: mid}, vg.Point{X: on(i[1]), Y: mid})
		for _, v := range i {
			if x.inside(v) {
				p.line(solid(ink, medium), vg.Point{X: on(v), Y: mid - 0.9*mm}, vg.Point{X: on(v), Y: mid + 0.9*mm})
			}
		}
	}
	const r = 1.3 * mm
	switch {
	case k.Value > x.max, k.Value < x.min:
		way := vg.Length(1)
		if k.Value < x.min {
			way = -1
		}
		p.SetColor(ink)
		p.Fill(polygon(vg.Point{X: at.X + way*r, Y: mid}, vg.Point{X: at.X - way*r, Y: mid + r}, vg.Point{X: at.X - way*r, Y: mid - r}))
	default:
		p.SetColor(ink)
		p.Fill(circle(at, r))
		p.outline(solid(white, thin), circle(at, r))
	}
}

// words stand left and right of the bar.
func (k *PartMark) words(p *pen, mid vg.Length) {
	name := k.Quantity
	if k.Unit != "" {
		name += ", " + k.Unit
	}
	lines := wrap(clean(name), face(regular, bodySize), partsLeft-margin-4*mm)
	if len(lines) > 2 {
		lines = append(lines[:1], shortTo(strings.Join(lines[1:], " "), bodySize, partsLeft-margin-4*mm))
	}
	y := mid + 0.4*mm + vg.Length(len(lines)-1)*headerLine/2
	for _, line := range append(lines, k.valueWords()) {
		p.prose(line, bodySize, ink, left, vg.Point{X: margin, Y: y})
		y -= headerLine
	}
	y, x := mid+0.4*mm, partsLeft+partsWide+3*mm
	p.text(k.side(), bold, bodySize, ink, left, vg.Point{X: x, Y: y})
	if k.Probability != nil {
		p.text("probability "+Probability(*k.Probability), regular, bodySize, ink, left, vg.Point{X: x, Y: y - headerLine})
	}
}

// side says where the value is, uncertainty left aside.
func (k *PartMark) side() string {
	switch {
	case k.Value < k.Lower:
		return "below, at face value"
	case k.Value > k.Upper:
		return "above, at face value"
	case k.Warning != nil && (k.Value < k.Warning[0] || k.Value > k.Warning[1]):
		return "within, beyond warning"
	}
	return "within"
}

// Probability writes a probability to two decimals; it is never written as
// certain, 0.00 or 1.00.
func Probability(p float64) string {
	switch {
	case p < 0.005:
		return "< 0.01"
	case p >= 0.995:
		return "> 0.99"
	}
	return fmt.Sprintf("%.2f", p)
}

func (k *PartMark) interval() *[2]float64 {
	if k.Interval95 != nil {
		return k.Interval95
	}
	if k.U == 0 {
		return nil
	}
	low := k.Value - 2*k.U
	if k.NeverNegative {
		low = math.Max(0, low)
	}
	return &[2]float64{low, k.Value + 2*k.U}
}

// digits are the decimals of a row: those that its uncertainty leaves, or that
// show two digits of its limits' width.
func (k *PartMark) digits() int {
	if i := k.interval(); i != nil && i[1] > i[0] {
		return min(4, max(0, -int(math.Floor(math.Log10((i[1]-i[0])/2)))))
	}
	if w := k.Upper - k.Lower; !math.IsInf(w, 0) {
		return chartDigits(w)
	}
	return 2
}

func (k *PartMark) valueWords() string {
	d := k.digits()
	switch {
	case k.Interval95 != nil:
		return fmt.Sprintf("%s (95 %%: %s to %s)", rounded(k.Value, d), rounded(k.Interval95[0], d), rounded(k.Interval95[1], d))
	case k.U > 0:
		return fmt.Sprintf("%s ± %s (k = 2)", rounded(k.Value, d), rounded(math.Max(2*k.U, math.Pow10(-d)), d))
	}
	return rounded(k.Value, d)
}

// limitText writes a limit as it was set, but no shorter than the row's values.
func limitText(v float64, digits int) string {
	s := rounded(v, digits)
	if full := strings.Replace(plain(v), "-", "−", 1); len(full) > len(s) {
		return full
	}
	return s
}

// scale is the row's own: the allowed range is its middle three fifths; on an open
// side as much as the value needs.
func (k *PartMark) scale() extent {
	low, high := k.Lower, k.Upper
	if k.NeverNegative && !(low > 0) {
		low = 0
	}
	need := func(limit float64) float64 {
		return math.Max(1e-9, math.Max(1.4*math.Abs(k.Value-limit)+3*k.U, math.Abs(limit)/20))
	}
	switch {
	case math.IsInf(low, -1):
		return extent{high - need(high), high + 0.6*need(high)}
	case math.IsInf(high, 1):
		return extent{low - 0.6*need(low), low + need(low)}
	case low == 0 && k.NeverNegative:
		return extent{0, high * 5 / 3}
	}
	return extent{low - (high-low)/3, high + (high-low)/3}
}

func (f *ToleranceFigure) legend() []entry {
	bars, warned := false, false
	for i := range f.Parts {
		bars = bars || f.Parts[i].interval() != nil
		warned = warned || f.Parts[i].Warning != nil
	}
	words := "the lot"
	if bars {
		words += ", bar k = 2 or 95 %"
	}
	es := []entry{
		{words, keySign, func(p *pen, at vg.Point) { p.SetColor(ink); p.Fill(circle(at, 1.2*mm)) }},
		{"allowed", keyLine, func(p *pen, at vg.Point) { p.line(solid(band, 8), key(at)...) }},
		{"limit", keySign, func(p *pen, at vg.Point) {
			p.line(solid(ink, strong), vg.Point{X: at.X, Y: at.Y - 1.5*mm}, vg.Point{X: at.X, Y: at.Y + 1.5*mm})
		}},
	}
	if warned {
		es = append(es, entry{"warning limit", keySign, func(p *pen, at vg.Point) {
			p.line(warningStyle, vg.Point{X: at.X, Y: at.Y - 1.5*mm}, vg.Point{X: at.X, Y: at.Y + 1.5*mm})
		}})
	}
	return append(es, entry{"each row has its own scale", 0, func(*pen, vg.Point) {}})
}

func (f *ToleranceFigure) described() string {
	s := f.Finding
	for i := range f.Parts {
		k := &f.Parts[i]
		s += fmt.Sprintf(" %s %s: %s, allowed %s.", k.Quantity, k.valueWords(), k.side(), k.allowed())
	}
	return s
}

func (k *PartMark) allowed() string {
	d := k.digits()
	switch {
	case math.IsInf(k.Lower, -1):
		return "up to " + limitText(k.Upper, d)
	case math.IsInf(k.Upper, 1):
		return "from " + limitText(k.Lower, d)
	}
	return "from " + limitText(k.Lower, d) + " to " + limitText(k.Upper, d)
}

// check returns every fault of f, up to maxFaults.
func (f ToleranceFigure) check() error {
	c := &checker{}
	for where, s := range map[string]string{"title": f.Title, "finding": f.Finding, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	switch n := len(f.Parts); {
	case n == 0:
		c.fault("parts", "there is none: want at least one part of the specification")
	case n > mostParts:
		c.fault("parts", "%d: want at most %d", n, mostParts)
	}
	for i := range f.Parts {
		f.Parts[i].check(c, fmt.Sprintf("part %d", i))
	}
	return errors.Join(c.faults...)
}

func (k *PartMark) check(c *checker, where string) {
	if strings.TrimSpace(k.Quantity) == "" {
		c.fault(where+": quantity", "is empty: name what is limited, such as ΔE00 from the reference")
	}
	c.text(where+": quantity", k.Quantity)
	c.text(where+": unit", k.Unit)
	c.within(where+": value", -maxCharted, maxCharted, k.Value)
	c.within(where+": uncertainty", 0, maxCharted, k.U)
	if i := k.Interval95; i != nil {
		c.within(where+": 95 % interval", -maxCharted, maxCharted, i[0], i[1])
		if i[0] > i[1] {
			c.fault(where+": 95 % interval", "from %g to %g: want the lower end first", i[0], i[1])
		}
	}
	c.limits(where+": limits", k.Lower, k.Upper)
	if k.Warning != nil {
		c.limits(where+": warning limits", k.Warning[0], k.Warning[1])
	}
	if k.Probability != nil {
		c.within(where+": probability", 0, 1, *k.Probability)
	}
}

// limits wants a lower one below an upper one, and not both open.
func (c *checker) limits(where string, lower, upper float64) {
	open := math.IsInf(lower, -1) && math.IsInf(upper, 1)
	if open || !(lower < upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1) {
		c.fault(where, "from %g to %g: want the lower one first, below the upper, and one of them finite", lower, upper)
	}
}

// shortTo cuts a line to a width.
func shortTo(s string, size, width vg.Length) string {
	f := face(regular, size)
	if textWidth(f, s) <= width {
		return s
	}
	head, _ := splitWord(s, f, width-textWidth(f, "…"))
	return head + "…"
}
