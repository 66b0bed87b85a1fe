package reports

import (
	"cmp"
	"slices"
	"strings"

	"pourpath/colour/control"

	"gonum.org/v1/plot/vg"
)

// note is a line beneath the panels; mark stands before its first line.
type note struct {
	mark   string
	line   string
	indent vg.Length
}

// chartNotes gathers the signals of all panels and numbers those that are told.
type chartNotes struct {
	f      *ChartFigure
	letter string
	all    []*toldSignal
}

type toldSignal struct {
	letter string
	control.Signal
	mark *chartSignal
}

// tell takes the signals of the panel at hand and returns its marks, whose
// numbers are given later.
func (n *chartNotes) tell(signals []control.Signal) []chartSignal {
	marks := make([]chartSignal, len(signals))
	for i, s := range signals {
		single := beyondRule(s.Rule)
		marks[i] = chartSignal{at: s.At, points: s.Points, single: single,
			band: !single || s.Rule == control.AverageBeyond && len(s.Points) > 1}
		n.all = append(n.all, &toldSignal{n.letter, s, &marks[i]})
	}
	return marks
}

// beyondRule reports whether a rule is of one point beyond a limit, which needs no
// other points to be seen.
func beyondRule(r control.Rule) bool {
	return r == control.BeyondAction || r == control.RangeBeyond || r == control.AverageBeyond || r == control.TogetherBeyond
}

// number gives the newest signals their numbers, in the order of time.
func (n *chartNotes) number() {
	slices.SortStableFunc(n.all, func(a, b *toldSignal) int { return cmp.Compare(a.At, b.At) })
	for i, s := range n.newest() {
		s.mark.number = i + 1
	}
}

func (n *chartNotes) newest() []*toldSignal { return n.all[max(0, len(n.all)-mostNotes):] }

// notes are the lines beneath the panels.
func (n *chartNotes) notes(panels []*chartPanel) []note {
	var out []note
	t := n.f.Texts
	add := func(mark, words string) {
		for i, line := range wrap(words, face(regular, bodySize), bodyWide-noteIndent) {
			if i > 0 {
				mark = ""
			}
			out = append(out, note{mark, line, noteIndent})
		}
	}
	if more := len(n.all) - len(n.newest()); more > 0 {
		add("", Fill(t.Chart.NewestTold, "shown", t.whole(mostNotes), "count", t.whole(len(n.all)), "more", t.whole(more)))
	}
	for _, s := range n.newest() {
		words := t.Chart.SignalAt
		if len(panels) > 1 {
			words = t.Chart.SignalOn
		}
		add(t.whole(s.mark.number), Fill(words, "panel", s.letter, "lot", n.f.lotWords(s.At), "rule", t.Rules[s.Rule], "text", t.Said(s.Text)))
	}
	for _, words := range n.f.leftOutWords() {
		add("", words)
	}
	for _, words := range n.f.warnings() {
		add("", words)
	}
	for _, words := range t.notDrawn(panels) {
		add("", words)
	}
	return out
}

// leftOutWords name the lots that were left out, and why.
func (f *ChartFigure) leftOutWords() []string {
	out := f.out()
	if len(out) == 0 {
		return nil
	}
	var named []string
	for _, k := range out[:min(len(out), mostLeftOut)] {
		s := f.lotWords(k.at)
		if why := f.Lots[k.at].LeftOut; why != "" {
			s += " (" + strings.TrimSuffix(f.Texts.Said(why), ".") + ")"
		}
		named = append(named, s)
	}
	lots, t := strings.Join(named, f.Texts.Shared.Semicolon), &f.Texts.Chart
	if more := len(out) - len(named); more > 0 {
		return []string{Fill(t.LeftOutMore, "lots", lots, "more", f.Texts.whole(more))}
	}
	return []string{Fill(t.LeftOut, "lots", lots)}
}

// warnings are those of the charts, each once.
func (f *ChartFigure) warnings() []string {
	var out []string
	add := func(words string) {
		if words = clean(f.Texts.Said(words)); !slices.Contains(out, words) {
			out = append(out, words)
		}
	}
	if k := f.Individuals; k != nil {
		for _, w := range k.Warnings {
			add(w.Message)
		}
	}
	if k := f.EWMA; k != nil {
		for _, w := range k.Warnings {
			add(w.Message)
		}
	}
	if k := f.T2; k != nil {
		for _, w := range k.Warnings {
			add(w.Message)
		}
	}
	return out
}
