package pages

import (
	"pourpath/api/calc"
	"pourpath/api/record"
)

// Invented is the invented cellar as records: what a demonstration fills its
// store with, before any work is done.
type Invented struct {
	Wines   []InventedWine
	Targets []record.TargetFields
}

// InventedWine is a wine with its readings, the first one first.
type InventedWine struct {
	record.WineFields
	Readings []record.Reading
}

// InventedCellar returns the wines and targets that the pages open on with
// Config.Demo: reds, whites, the glasses of a ladder that were poured and read,
// and the wines that are targets. The error is a fault of the embedded file.
func InventedCellar() (Invented, error) {
	c, err := readCellar()
	if err != nil {
		return Invented{}, err
	}
	var out Invented
	for _, w := range c.Reds {
		out.add(record.Red, w.Wine, w.Kept)
	}
	for _, w := range c.Bases {
		out.add(record.White, w.Wine, w.Kept)
	}
	for _, m := range c.Measured {
		for _, rung := range m.Rungs {
			out.add(record.Rose, rung.Wine, m.Kept)
		}
	}
	for _, t := range c.Targets {
		target := t.Target
		out.Targets = append(out.Targets, record.TargetFields{Name: t.Name, Target: &target})
		if t.Target.Wine != nil {
			out.add(record.Rose, *t.Target.Wine, t.Kept)
		}
	}
	return out, nil
}

func (i *Invented) add(kind record.Kind, measured calc.Wine, k kept) {
	w := InventedWine{WineFields: k.WineFields}
	w.Name, w.Kind = measured.Name, kind
	for _, e := range k.Earlier {
		w.Readings = append(w.Readings, record.Reading{Measurement: e.Measurement, Circumstances: e.Circumstances})
	}
	w.Readings = append(w.Readings, record.Reading{
		Measurement:   record.Measurement{Readings: measured.Readings, Spectrum: measured.Spectrum, CIELAB: measured.CIELAB},
		Circumstances: k.Circumstances,
	})
	i.Wines = append(i.Wines, w)
}
