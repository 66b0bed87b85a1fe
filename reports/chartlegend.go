package reports

import "gonum.org/v1/plot/vg"

// chartLegend names the marks that are on the panels; lines have their names
// beside them.
func (f *ChartFigure) legend(panels []*chartPanel) []entry {
	t := &f.Texts.Chart
	var single, pattern, banded, out bool
	for _, pl := range panels {
		for _, s := range pl.signals {
			single, pattern = single || s.single, pattern || !s.single
			banded = banded || s.band && !pl.dense()
		}
		out = out || len(pl.leftOut) > 0
	}
	es := []entry{{t.KeyLot, keySign, func(p *pen, at vg.Point) { p.SetColor(ink); p.Fill(circle(at, 0.65*mm)) }}}
	if single {
		es = append(es, entry{t.KeyBeyond, keySign, func(p *pen, at vg.Point) { p.beyond(at, 0.9*mm) }})
	}
	if pattern {
		es = append(es, entry{t.KeyPattern, keySign, func(p *pen, at vg.Point) { p.pattern(at, 0.9*mm) }})
	}
	if banded {
		es = append(es, entry{t.KeyMakes, keyLine, func(p *pen, at vg.Point) { p.line(patternStyle, key(at)...) }})
	}
	if out {
		es = append(es, entry{f.Texts.Shared.LeftOut, keySign, func(p *pen, at vg.Point) { p.hollow(at, 0.8*mm) }})
	}
	if single || pattern {
		es = append(es, entry{t.KeyNumbers, 0, func(*pen, vg.Point) {}})
	}
	return es
}

// notDrawn says of each line of the specification that a panel leaves to words.
// It asks for panels that have their places.
func (t *Texts) notDrawn(panels []*chartPanel) []string {
	var out []string
	for _, pl := range panels {
		for _, l := range pl.levels {
			if l.spec && !pl.reaches(l.last()) {
				out = append(out, Fill(t.Shared.SpecFarOff, "value", t.plain(l.last())))
			}
		}
	}
	return out
}
