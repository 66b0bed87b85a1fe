package reports

import (
	"fmt"

	"gonum.org/v1/plot/vg"
)

// chartLegend names the marks that are on the panels; lines have their names
// beside them.
func chartLegend(panels []*chartPanel) []entry {
	var single, pattern, banded, out bool
	for _, pl := range panels {
		for _, s := range pl.signals {
			single, pattern = single || s.single, pattern || !s.single
			banded = banded || s.band && !pl.dense()
		}
		out = out || len(pl.leftOut) > 0
	}
	es := []entry{{"lot", keySign, func(p *pen, at vg.Point) { p.SetColor(ink); p.Fill(circle(at, 0.65*mm)) }}}
	if single {
		es = append(es, entry{"signal: a lot beyond a limit", keySign, func(p *pen, at vg.Point) { p.beyond(at, 0.9*mm) }})
	}
	if pattern {
		es = append(es, entry{"signal: a pattern, where it rang", keySign, func(p *pen, at vg.Point) { p.pattern(at, 0.9*mm) }})
	}
	if banded {
		es = append(es, entry{"lots that make it", keyLine, func(p *pen, at vg.Point) { p.line(patternStyle, key(at)...) }})
	}
	if out {
		es = append(es, entry{"left out", keySign, func(p *pen, at vg.Point) { p.hollow(at, 0.8*mm) }})
	}
	if single || pattern {
		es = append(es, entry{"numbers: see beneath", 0, func(*pen, vg.Point) {}})
	}
	return es
}

// notDrawn says of each line of the specification that a panel leaves to words.
// It asks for panels that have their places.
func notDrawn(panels []*chartPanel) []string {
	var out []string
	for _, pl := range panels {
		for _, l := range pl.levels {
			if l.spec && !pl.reaches(l.last()) {
				out = append(out, fmt.Sprintf("The limit of the specification at %s is so far off that it is not drawn.", signed(l.last())))
			}
		}
	}
	return out
}
