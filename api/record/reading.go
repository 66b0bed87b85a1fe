package record

import (
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// Measurement is what was read: exactly one of the three.
type Measurement struct {
	Readings *calc.Readings `json:"readings,omitempty" doc:"Absorbances at single wavelengths, as read."`
	Spectrum *calc.Spectrum `json:"spectrum,omitempty" doc:"A scan of absorbance or transmittance, as read."`
	CIELAB   *calc.CIELAB   `json:"cielab,omitempty" doc:"L*, a*, b* from a report."`
}

// Wine is the measurement as a calculation takes it.
func (m Measurement) Wine(name string) calc.Wine {
	return calc.Wine{Name: name, Readings: m.Readings, Spectrum: m.Spectrum, CIELAB: m.CIELAB}
}

func (m Measurement) given() (n int) {
	for _, there := range []bool{m.Readings != nil, m.Spectrum != nil, m.CIELAB != nil} {
		if there {
			n++
		}
	}
	return n
}

func (m Measurement) check(f *calc.Faults) {
	if n := m.given(); n != 1 {
		f.Addf("", nil, "give exactly one of \"readings\", \"spectrum\" or \"cielab\"; here are %d", n)
		return
	}
	calc.CheckMeasured(m.Wine(""), f)
}

// Cell is the optical path in mm and the dilution that the measurement was made
// with; a colour has neither, so its dilution is 1.
func (m Measurement) Cell() (pathMM, dilution float64) {
	or := func(x *float64, fallback float64) float64 {
		if x == nil {
			return fallback
		}
		return *x
	}
	switch {
	case m.Readings != nil:
		return or(m.Readings.PathMM, 10), or(m.Readings.Dilution, 1)
	case m.Spectrum != nil:
		return or(m.Spectrum.PathMM, 10), or(m.Spectrum.Dilution, 1)
	case m.CIELAB != nil:
		return m.CIELAB.PathMM, 1
	}
	return 10, 1
}

// Diluent is what a sample was diluted with: water, model wine and acid give
// different colours, as each moves the pH and the pigment's forms.
type Diluent string

// Diluents lists the diluents that can be told apart.
func Diluents() []Diluent { return []Diluent{"water", "model_wine", "acid", "wine", "other"} }

// Circumstances are how a reading came about.
type Circumstances struct {
	TakenAt              *Instant `json:"taken_at,omitempty" doc:"When it was read (RFC 3339, or a date)."`
	Instrument           string   `json:"instrument,omitempty" maxLength:"200" doc:"Instrument, as the laboratory calls it."`
	Analyst              string   `json:"analyst,omitempty" maxLength:"200" doc:"Who read it."`
	Diluent              Diluent  `json:"diluent,omitempty" enum:"water,model_wine,acid,wine,other" doc:"What it was diluted with, where the dilution is above 1."`
	Blank                string   `json:"blank,omitempty" maxLength:"200" doc:"What the instrument was set to zero on; water is usual."`
	TemperatureC         *float64 `json:"temperature_c,omitempty" minimum:"-10" maximum:"60" doc:"Temperature of the sample in °C."`
	MinutesSinceBlending *float64 `json:"minutes_since_blending,omitempty" minimum:"0" doc:"Minutes from blending to reading: a blend's colour settles."`
	Replicate            *int     `json:"replicate,omitempty" minimum:"1" maximum:"1000" doc:"Number of this reading among repeated readings of one sample. Readings of a wine that were taken together (same time, or same day where no time is told; same instrument, analyst, cell and dilution) are replicates, and are averaged."`
}

func (c Circumstances) check(f *calc.Faults) {
	if c.TakenAt != nil && c.TakenAt.IsZero() {
		f.Addf("/taken_at", nil, "this is no time: want 2026-11-25T14:30:00Z, with an offset such as +01:00, or a date such as 2026-11-25, from 1900 on")
	}
}

// withoutReading refuses circumstances of a reading that is not there.
func (c Circumstances) withoutReading(f *calc.Faults) {
	if c != (Circumstances{}) {
		f.Addf("", nil, "how a reading came about is told, but no reading is given: add readings, spectrum or cielab")
	}
}

// ReadingBody is a new reading of a wine.
type ReadingBody struct {
	Measurement
	Circumstances
	Supersedes string `json:"supersedes,omitempty" maxLength:"100" doc:"Identifier of the reading of the same wine that this one corrects."`
	Reason     string `json:"reason,omitempty" maxLength:"1000" doc:"Why it is corrected; needed with supersedes."`
}

// TransformSchema documents that exactly one kind of input is wanted.
func (ReadingBody) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"readings"}, []string{"spectrum"}, []string{"cielab"})
}

// Check implements calc.Request.
func (b ReadingBody) Check(f *calc.Faults) {
	b.Measurement.check(f)
	b.Circumstances.check(f)
	switch {
	case b.Supersedes != "" && strings.TrimSpace(b.Reason) == "":
		f.Addf("/reason", nil, "say why the reading is corrected")
	case b.Supersedes == "" && b.Reason != "":
		f.Addf("/supersedes", nil, "a reason is given but not which reading is corrected")
	}
}

// Reading is the record of a reading. It never changes but for being archived.
type Reading struct {
	ID     string `json:"id" doc:"Identifier."`
	WineID string `json:"wine_id" doc:"Identifier of the wine that was read."`
	Measurement
	Circumstances
	Supersedes    string   `json:"supersedes,omitempty" doc:"Identifier of the reading that this one corrects."`
	Reason        string   `json:"reason,omitempty" doc:"Why it was corrected."`
	SupersededBy  string   `json:"superseded_by,omitempty" doc:"Identifier of the reading that corrects this one."`
	RecordedAt    Instant  `json:"recorded_at" doc:"When the record was made."`
	ImportID      string   `json:"import_id,omitempty" doc:"Identifier of the import that it came with."`
	ImportRow     int      `json:"import_row,omitempty" doc:"Row of the file that it came from, counted from 1."`
	ArchivedAt    *Instant `json:"archived_at,omitempty" doc:"When it was archived; absent while it counts."`
	ArchiveReason string   `json:"archive_reason,omitempty" doc:"Why it was archived."`
}

// At is when the reading counts from: when it was taken, or else recorded.
func (r Reading) At() Instant {
	if r.TakenAt != nil {
		return *r.TakenAt
	}
	return r.RecordedAt
}
