package labfile

import (
	"fmt"
	"io"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/reading/jcampdx"
)

// MaxJCAMPBytes is the longest JCAMP-DX file: its blocks are held in memory.
const MaxJCAMPBytes = 256 << 20

// openJCAMP prepares a file of JCAMP-DX blocks.
func (f *File) openJCAMP(r io.ReaderAt, size int64) {
	f.format, f.layout = "jcamp-dx", "JCAMP-DX blocks"
	f.entries = func(yield func(record.Entry, error) bool) {
		if size > MaxJCAMPBytes {
			yield(record.Entry{}, refuse("the JCAMP-DX file has %d bytes; at most %d are read: split it", size, MaxJCAMPBytes))
			return
		}
		blocks, err := jcampdx.Parse(io.NewSectionReader(r, 0, size))
		for _, b := range blocks {
			if !yield(f.block(b), nil) {
				return
			}
		}
		if err != nil {
			yield(record.Entry{}, jcampProblem(err))
		}
	}
}

// jcampProblem puts the faults of a file into the interface's form.
func jcampProblem(err error) error {
	faults, ok := err.(jcampdx.ParseErrors) //nolint:errorlint // Parse gives them bare
	if !ok {
		return wrap("reading JCAMP-DX", err)
	}
	list := make([]calc.Fault, len(faults))
	for i, p := range faults {
		list[i] = calc.Fault{Location: fmt.Sprintf("line %d", p.Line), Message: p.Message}
	}
	return calc.Refuse(list...)
}

// block makes the entry of one block.
func (f *File) block(b jcampdx.Block) record.Entry {
	d := &draft{p: &plan{}, w: &f.warnings}
	for i := range d.p.column {
		d.p.column[i] = -1
	}
	d.start(row{number: b.Line})
	d.Place = fmt.Sprintf("line %d", b.Line)
	d.Wine.Name = oneLine(b.Title)
	switch n := len([]rune(d.Wine.Name)); {
	case n == 0:
		d.faultf(-1, "the block has no title: ##TITLE= names the wine")
	case n > maxText:
		d.Wine.Name = string([]rune(d.Wine.Name)[:maxText])
		d.faultf(-1, "the title, which names the wine, is longer than %d characters: shorten it", maxText)
	}
	for _, p := range b.Faults {
		d.Faults = append(d.Faults, calc.Fault{Location: fmt.Sprintf("line %d", p.Line), Message: p.Message})
	}
	for _, w := range b.Warnings {
		d.Warnings = append(d.Warnings, calc.Warning(w))
	}
	d.instrument(b)
	if len(d.Faults) > 0 {
		return d.Entry
	}
	d.nm, d.y = b.NM, b.Ordinates
	var c conditions
	if b.PathMM > 0 {
		c.path = &b.PathMM
	} else {
		f.warnings.addf("path_assumed", pathAssumed)
	}
	q := absorbance
	if b.Quantity == jcampdx.TransmittancePercent {
		q = transmittance
	}
	d.Spectrum = spectrumOf(d.nm, d.y, q, c)
	d.check(nil)
	return d.Entry
}

// instrument takes over with what, and when, a block was measured.
func (d *draft) instrument(b jcampdx.Block) {
	if d.Instrument = oneLine(b.Instrument); len([]rune(d.Instrument)) > 200 {
		d.Instrument = string([]rune(d.Instrument)[:200])
	}
	if !b.Measured.IsZero() && b.Measured.Year() >= 1900 && b.Measured.Year() <= 2200 {
		at := record.At(b.Measured)
		d.TakenAt = &at
	}
}

func oneLine(s string) string {
	return strings.Join(strings.Fields(plainCell(s)), " ")
}
