package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/blend"
	"pourpath/colour/spectrum"
)

// Dosed is a wine that is poured into a base. One that was never read has its name
// alone, or nothing: with measured rungs it is known from them.
type Dosed struct {
	Wine
}

// TransformSchema documents that no input is wanted where rungs were measured.
func (Dosed) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	s.Description = "One of readings, spectrum, cielab or id, as for any wine. Where measured rungs are given all may be left out: the wine is then known from what the rungs have beyond the base (warning addition_not_read)."
	return s
}

// nothing reports that w says nothing of its colour.
func (w Wine) nothing() bool {
	return w.Readings == nil && w.Spectrum == nil && w.CIELAB == nil && w.ID == nil
}

// poured is what an addition is poured into.
type poured struct {
	base  spectrum.Wine
	held  []blend.Held
	sound bool // without it its faults are told already
}

// rungs are those that were measured.
type rungs struct {
	list  []blend.Measured
	sound bool
}

// pouredInto is the path of w at /addition before it is recalibrated; nil where
// something is at fault, which is in f then. unread says that it is known from
// rungs alone.
func (w Wine) pouredInto(into poured, measured rungs, f *Faults) (path *blend.Path, unread bool) {
	var err error
	if w.nothing() && (len(measured.list) > 0 || !measured.sound) {
		if !into.sound || !measured.sound {
			return nil, true
		}
		path, err = blend.NewPathUnread(into.base, into.held, measured.list)
		unread = true
	} else {
		addition, ok := w.resolveForBlend("/addition", f)
		if !ok || !into.sound {
			return nil, false
		}
		path, err = blend.NewPathWith(into.base, into.held, addition)
	}
	f.Add("", err)
	return path, unread
}
