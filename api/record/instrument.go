package record

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"pourpath/api/calc"
)

// CheckKind is what an instrument is checked with.
type CheckKind string

// The kinds of check, with what their values are.
const (
	FilterCheck     CheckKind = "filter"      // absorbance of a certified filter
	DyeCheck        CheckKind = "dye"         // absorbance of a solution with certified absorbances
	BlankCheck      CheckKind = "blank"       // absorbance of the blank against itself
	StrayLightCheck CheckKind = "stray_light" // transmittance of a cut-off filter or solution, in %
	WavelengthCheck CheckKind = "wavelength"  // place of a certified peak, in nm
)

// InstrumentCheckBody is a check of an instrument.
type InstrumentCheckBody struct {
	Instrument string       `json:"instrument" minLength:"1" maxLength:"200" doc:"Instrument, as readings and samples call it; letter case and spaces do not count."`
	Kind       CheckKind    `json:"kind" enum:"filter,dye,blank,stray_light,wavelength" doc:"What it was checked with. Values are absorbances for filter, dye and blank, transmittances in % for stray_light, wavelengths in nm for wavelength."`
	Points     []CheckPoint `json:"points" minItems:"1" maxItems:"50" doc:"What was read."`
	Reference  string       `json:"reference,omitempty" maxLength:"200" doc:"Which filter or solution, and its certificate."`
	CheckedAt  *Instant     `json:"checked_at,omitempty" doc:"When, where that is not when it is recorded (RFC 3339, or a date)."`
	By         string       `json:"by,omitempty" maxLength:"200" doc:"Who checked it."`
	NextDue    *Instant     `json:"next_due,omitempty" doc:"By when the next check of this kind is due; a date alone is the whole day."`
	Notes      string       `json:"notes,omitempty" maxLength:"2000" doc:"Anything else."`
}

// CheckPoint is a reading of a reference with a certified value.
type CheckPoint struct {
	NM        *float64 `json:"nm,omitempty" minimum:"190" maximum:"1100" doc:"Wavelength that was set, in nm; needed for filter and dye."`
	Certified float64  `json:"certified" doc:"Certified value."`
	Limit     float64  `json:"limit" exclusiveMinimum:"0" doc:"The most that the reading may be off from it, either way."`
	Reading   float64  `json:"reading" doc:"What was read."`
}

// met reports whether the reading is within its limit; a last bit does not
// decide.
func (p CheckPoint) met() bool { return math.Abs(p.Reading-p.Certified) <= p.Limit*(1+1e-9) }

// Check implements calc.Request.
func (b InstrumentCheckBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.Instrument) == "" {
		f.Addf("/instrument", b.Instrument, "which instrument is it? Give the name that readings have")
	}
	checkInstant("/checked_at", b.CheckedAt, f)
	checkInstant("/next_due", b.NextDue, f)
	for i, p := range b.Points {
		place := pointerTo("/points", i)
		if p.NM == nil && (b.Kind == FilterCheck || b.Kind == DyeCheck) {
			f.Addf(place+"/nm", nil, "at which wavelength was it read? A %s has a certified absorbance at each", b.Kind)
		}
		if !(p.Limit > 0) {
			f.Addf(place+"/limit", p.Limit, "the limit is how far the reading may be off, above 0")
		}
		p.checkRange(place, b.Kind, f)
	}
}

// checkRange finds values that are not of the kind's unit.
func (p CheckPoint) checkRange(place string, kind CheckKind, f *calc.Faults) {
	least, most, unit := -1.0, 10.0, "absorbances from -1 to 10"
	switch kind {
	case StrayLightCheck:
		least, most, unit = -1, 100, "transmittances from -1 to 100 %"
	case WavelengthCheck:
		least, most, unit = 190, 1100, "wavelengths from 190 to 1100 nm"
	case FilterCheck, DyeCheck, BlankCheck:
	}
	for _, v := range []struct {
		name  string
		value float64
	}{{"certified", p.Certified}, {"reading", p.Reading}} {
		if v.value < least || v.value > most {
			f.Addf(place+"/"+v.name, v.value, "the values of a %s check are %s", kind, unit)
		}
	}
}

// InstrumentCheck is the record of a check of an instrument. It is never changed.
type InstrumentCheck struct {
	ID string `json:"id" doc:"Identifier."`
	InstrumentCheckBody
	Passed     bool    `json:"passed" doc:"Whether every reading was within its limit."`
	RecordedAt Instant `json:"recorded_at" doc:"When the record was made."`
}

// At is when the check counts from: when it was made, or else recorded.
func (c InstrumentCheck) At() Instant {
	if c.CheckedAt != nil {
		return *c.CheckedAt
	}
	return c.RecordedAt
}

// Within reports whether every reading is within its limit.
func (b InstrumentCheckBody) Within() bool {
	for _, p := range b.Points {
		if !p.met() {
			return false
		}
	}
	return true
}

// due is the last moment before the next check is overdue.
func (c InstrumentCheck) due() (Instant, bool) {
	if c.NextDue == nil {
		return Instant{}, false
	}
	if c.NextDue.Midnight() {
		return At(c.NextDue.Add(24*time.Hour - time.Microsecond)), true
	}
	return *c.NextDue, true
}

// The codes of InstrumentWarnings.
const (
	CheckFailedCode  = "instrument_check_failed"
	CheckOverdueCode = "instrument_check_overdue"
)

// Overdue reports whether the next check was due before a moment.
func (c InstrumentCheck) Overdue(at Instant) bool {
	due, ok := c.due()
	return ok && at.After(due.Time)
}

// InstrumentWarnings tell whether an instrument was fit at a moment, by the
// newest check of each kind until then.
func InstrumentWarnings(checks []InstrumentCheck, at Instant) []calc.Warning {
	var out []calc.Warning
	for _, c := range checks {
		if !c.Passed {
			out = append(out, calc.Warning{Code: CheckFailedCode, Message: fmt.Sprintf(
				"The instrument %q had failed its %s check of %s (%s) and had passed none since when this was read. Have it put right, check it, and read again.", c.Instrument, c.Kind, c.At(), c.failures())})
		}
		if c.Overdue(at) {
			out = append(out, calc.Warning{Code: CheckOverdueCode, Message: fmt.Sprintf(
				"The %s check of the instrument %q was due by %s and had not been made when this was read. Check it, and read again unless it passes.", c.Kind, c.Instrument, *c.NextDue)})
		}
	}
	return out
}

// ChecksAround finds in the checks of one instrument the newest of each kind until
// a moment, and the first of each kind after it. The checks are in the order in which
// they count.
func ChecksAround(checks []InstrumentCheck, at Instant) (before, after []InstrumentCheck) {
	newest, next := map[CheckKind]InstrumentCheck{}, map[CheckKind]InstrumentCheck{}
	for _, c := range checks {
		if !c.At().After(at.Time) {
			newest[c.Kind] = c
		} else if _, ok := next[c.Kind]; !ok {
			next[c.Kind] = c
		}
	}
	listed := func(of map[CheckKind]InstrumentCheck) (out []InstrumentCheck) {
		for _, kind := range slices.Sorted(maps.Keys(of)) {
			out = append(out, of[kind])
		}
		return out
	}
	return listed(newest), listed(next)
}

// LaterWarnings tell what came out after a reading at a moment of the instrument
// that it was read with: before are the newest checks of each kind until then, after
// the first of each kind since. A check that failed, after one that had passed or
// none, leaves open since when the instrument was wrong. Nothing that was stored is
// changed by it.
func LaterWarnings(before, after []InstrumentCheck, at Instant) []calc.Warning {
	var out []calc.Warning
	for _, c := range after {
		known := slices.ContainsFunc(before, func(b InstrumentCheck) bool { return b.Kind == c.Kind && !b.Passed })
		if c.Passed || known {
			continue
		}
		out = append(out, calc.Warning{Code: "instrument_check_failed_since", Message: fmt.Sprintf(
			"The instrument %q failed its %s check of %s (%s), the first after this was read, at %s: it may have been wrong then. Once it is put right, read again what is left of the wine.", c.Instrument, c.Kind, c.At(), c.failures(), at)})
	}
	return out
}

// failures names what was off.
func (c InstrumentCheck) failures() string {
	var list []string
	for _, p := range c.Points {
		if p.met() {
			continue
		}
		off := fmt.Sprintf("read %g, certified %g, limit ±%g", p.Reading, p.Certified, p.Limit)
		if p.NM != nil {
			off = fmt.Sprintf("at %g nm read %g, certified %g, limit ±%g", *p.NM, p.Reading, p.Certified, p.Limit)
		}
		list = append(list, off)
	}
	return strings.Join(list, "; ")
}
