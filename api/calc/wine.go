package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// Wine is one wine as its laboratory knows it: exactly one of readings, a
// spectrum, or CIELAB values.
type Wine struct {
	Name     string    `json:"name,omitempty" maxLength:"200" doc:"What the wine is called; only repeated, never used."`
	Readings *Readings `json:"readings,omitempty" doc:"Absorbances at single wavelengths, as read."`
	Spectrum *Spectrum `json:"spectrum,omitempty" doc:"A scan of absorbance or transmittance, as read."`
	CIELAB   *CIELAB   `json:"cielab,omitempty" doc:"L*, a*, b* from a report."`
	ID       *string   `json:"id,omitempty" doc:"Identifier of a stored wine, instead of its data: its current reading is used, and the answer names it."`

	stored bool // the data above are those of ID
	quick  bool // to be estimated as spectrum.QuickFromReadings does
}

// TransformSchema documents that exactly one kind of input is wanted.
func (Wine) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"readings"}, []string{"spectrum"}, []string{"cielab"}, []string{"id"})
}

// Readings are absorbances at 420, 520 and 620 nm, with more where they were
// taken.
type Readings struct {
	A420        float64   `json:"a420" doc:"Absorbance at 420 nm as read in the cell."`
	A520        float64   `json:"a520" doc:"Absorbance at 520 nm as read in the cell."`
	A620        float64   `json:"a620" doc:"Absorbance at 620 nm as read in the cell."`
	PathMM      *float64  `json:"path_mm,omitempty" minimum:"0.01" maximum:"100" doc:"Optical path of the cell in mm. 10 where left out." default:"10"`
	Dilution    *float64  `json:"dilution,omitempty" minimum:"1" maximum:"1000" doc:"Total volume divided by wine volume of what was read; 1 is neat wine. 1 where left out." default:"1"`
	UAbsorbance *float64  `json:"u_absorbance,omitempty" minimum:"0" maximum:"1" doc:"Standard uncertainty (k = 1) of one reading. 0.002 where left out." default:"0.002"`
	Extra       []Reading `json:"extra,omitempty" maxItems:"100" doc:"Readings at other wavelengths. One at 460 and one at 570 nm make the predicted colour of an unknown red several times surer."`
}

// Reading is an absorbance at one wavelength.
type Reading struct {
	NM         float64 `json:"nm" minimum:"380" maximum:"780" doc:"Wavelength in nm."`
	Absorbance float64 `json:"absorbance" doc:"Absorbance as read in the cell."`
}

// Spectrum is a scan, in absorbance or in per cent transmittance.
type Spectrum struct {
	NM                   []float64 `json:"nm" minItems:"2" maxItems:"10000" doc:"Wavelengths in nm, ascending. They must cover 400-700 nm at 10 nm or finer; how missing ends are filled is stated in a warning."`
	Absorbance           []float64 `json:"absorbance,omitempty" maxItems:"10000" doc:"Absorbance as read in the cell, one for each wavelength."`
	TransmittancePercent []float64 `json:"transmittance_percent,omitempty" maxItems:"10000" doc:"Transmittance as read in the cell, in % of the blank, one for each wavelength."`
	PathMM               *float64  `json:"path_mm,omitempty" minimum:"0.01" maximum:"100" doc:"Optical path of the cell in mm. 10 where left out." default:"10"`
	Dilution             *float64  `json:"dilution,omitempty" minimum:"1" maximum:"1000" doc:"Total volume divided by wine volume of what was read; 1 is neat wine. 1 where left out." default:"1"`
	UAbsorbance          *float64  `json:"u_absorbance,omitempty" minimum:"0" maximum:"1" doc:"Standard uncertainty (k = 1) of one reading. 0.002 where left out." default:"0.002"`
}

// TransformSchema documents that exactly one kind of ordinate is wanted.
func (Spectrum) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"absorbance"}, []string{"transmittance_percent"})
}

// CIELAB is a colour from a report, with the conditions it was stated for.
type CIELAB struct {
	L          Decimal    `json:"L" minimum:"0" maximum:"110" doc:"Lightness L*. Give the digits of the report: they say how finely it was rounded."`
	A          Decimal    `json:"a" minimum:"-150" maximum:"150" doc:"a*, red against green."`
	B          Decimal    `json:"b" minimum:"-150" maximum:"150" doc:"b*, yellow against blue."`
	PathMM     float64    `json:"path_mm" minimum:"0.01" maximum:"100" doc:"Depth of wine in mm that the values are stated for: a red read in a 1 mm cell and reported for 10 mm is a different colour."`
	Illuminant Illuminant `json:"illuminant,omitempty" doc:"CIE illuminant that the values are stated for. D65 where left out." default:"D65"`
	Observer   Observer   `json:"observer,omitempty" doc:"CIE standard observer that the values are stated for. 10 where left out." default:"10"`
}

// resolve makes the core's wine of w, which stands at pointer. ok is false when
// w has a fault; each is in f then.
func (w Wine) resolve(pointer string, f *Faults) (wine spectrum.Wine, ok bool) {
	before := len(f.list)
	if !w.oneInput(pointer, f) {
		return wine, false
	}
	switch {
	case w.Readings != nil:
		wine = w.Readings.resolve(pointer+"/readings", w.quick, f)
	case w.Spectrum != nil:
		wine = w.Spectrum.resolve(pointer+"/spectrum", f)
	case w.CIELAB != nil:
		stated := w.CIELAB.stated(pointer+"/cielab", f)
		if len(f.list) == before {
			var err error
			wine, err = w.fromLab(stated)
			f.Add(pointer+"/cielab", err)
		}
	}
	return wine, len(f.list) == before
}

// oneInput checks that w says exactly once what it is.
func (w Wine) oneInput(pointer string, f *Faults) bool {
	var given []string
	for name, there := range map[string]bool{
		"readings": w.Readings != nil, "spectrum": w.Spectrum != nil, "cielab": w.CIELAB != nil, "id": w.ID != nil && !w.stored,
	} {
		if there {
			given = append(given, name)
		}
	}
	if len(given) != 1 {
		f.oneOf(pointer, given, "readings", "spectrum", "cielab", "id")
		return false
	}
	if given[0] == "id" {
		if !f.unlooked {
			f.Addf(pointer+"/id", *w.ID, "%s", ErrNotStored)
		}
		return false
	}
	return true
}

func (w Wine) fromLab(s spectrum.Stated) (spectrum.Wine, error) {
	if w.quick {
		return spectrum.QuickFromLab(s)
	}
	return spectrum.FromLab(s)
}

func (r Readings) resolve(pointer string, quick bool, f *Faults) spectrum.Wine {
	of := spectrum.FromReadings
	if quick {
		of = spectrum.QuickFromReadings
	}
	wine, err := of(r.Core())
	f.Add(pointer, err)
	return wine
}

func (s Spectrum) resolve(pointer string, f *Faults) spectrum.Wine {
	before := len(f.list)
	scan := s.core(pointer, f)
	if len(f.list) > before {
		return spectrum.Wine{}
	}
	wine, err := spectrum.FromScan(scan)
	f.Add(pointer, err)
	return wine
}

// core is s as it was read, in absorbance.
func (s Spectrum) core(pointer string, f *Faults) reading.Scan {
	hasA, hasT := s.Absorbance != nil, s.TransmittancePercent != nil
	if hasA == hasT {
		var given []string
		if hasA {
			given = []string{"absorbance", "transmittance_percent"}
		}
		f.oneOf(pointer, given, "absorbance", "transmittance_percent")
		return reading.Scan{}
	}
	cell, u := cellOf(s.PathMM, s.Dilution), orDefault(s.UAbsorbance, reading.DefaultU)
	scan := reading.Scan{Cell: cell, NM: s.NM, Absorbance: s.Absorbance, UAbsorbance: u}
	if hasT {
		var err error
		if scan, err = reading.FromTransmittance(cell, s.NM, s.TransmittancePercent, u); err != nil {
			f.Add(pointer, err)
			return reading.Scan{}
		}
	}
	f.Add(pointer, scan.Validate())
	return scan
}

func cellOf(pathMM, dilution *float64) reading.Cell {
	return reading.Cell{PathMM: orDefault(pathMM, 10), Dilution: orDefault(dilution, 1)}
}

// stated is the colour as it was given, with the rounding that its digits show.
// A report prints a* and b* alike, so a trailing zero that one of them lost is
// put back: both have the larger number of decimals.
func (c CIELAB) stated(pointer string, f *Faults) spectrum.Stated {
	view := viewOf(pointer, c.Illuminant, c.Observer, c.PathMM, f)
	ab := Decimal{Decimals: max(c.A.Decimals, c.B.Decimals)}
	return spectrum.Stated{
		Lab:       cie.Lab{L: c.L.Value, A: c.A.Value, B: c.B.Value, View: view},
		HalfStepL: c.L.HalfStep(), HalfStepAB: ab.HalfStep(),
	}
}

// resolveForBlend is resolve for a wine that will be diluted by others, where a
// dark colour's rounding counts many times over.
func (w Wine) resolveForBlend(pointer string, f *Faults) (spectrum.Wine, bool) {
	wine, ok := w.resolve(pointer, f)
	if !ok || w.CIELAB == nil {
		return wine, ok
	}
	var known Faults
	if stated := w.CIELAB.stated("", &known); stated.TooDark() {
		f.Addf(pointer+"/cielab/L", stated.Lab.L, "this L* stated for %g mm leaves too little light in the rounded figures to predict a blend: give the colour in a 1-2 mm cell with that path_mm, or readings", stated.Lab.View.DepthMM)
		return wine, false
	}
	return wine, true
}
