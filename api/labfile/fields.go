package labfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// field is what a column may hold.
type field int

const (
	fName field = iota
	fKind
	fLot
	fVintage
	fVarieties
	fStock
	fNotes
	fPath
	fPathCM
	fDilution
	fDiluent
	fU
	fL
	fA
	fB
	fIlluminant
	fObserver
	fInstrument
	fAnalyst
	fTakenAt
	fDate
	fTime
	fTemperature
	fMinutes
	fReplicate
	fBlank
	fStatus // of a reading that was exported from records
	fNM
	fAbsorbance
	fTransmittance
	fOrdinate // absorbance, unless something says otherwise
	fieldCount

	// noField is that of a column that is left out, fWave that of a reading
	// at the wavelength that its header names.
	noField field = -1
	fWave   field = -2
)

var fieldNames = [fieldCount]string{
	"name", "kind", "lot", "vintage", "varieties", "stock_l", "notes", "path_mm", "path_cm", "dilution", "diluent",
	"u_absorbance", "L", "a", "b", "illuminant", "observer", "instrument", "analyst", "taken_at", "date", "time",
	"temperature_c", "minutes_since_blending", "replicate", "blank", "status", "nm", "absorbance", "transmittance", "ordinate",
}

func (f field) String() string {
	if f < 0 || f >= fieldCount {
		return ""
	}
	return fieldNames[f]
}

// Fields lists what a column may be mapped to. Besides a420, a520 and a620 any
// wavelength from 190 to 1100 nm may be named as a… for absorbance or t… for
// transmittance, such as a460 or t520.
func Fields() []string {
	return append([]string{"name", "a420", "a520", "a620"}, fieldNames[1:fOrdinate]...)
}

// meaning is what a column was taken for.
type meaning struct {
	field    field
	nm       float64 // of fWave
	quantity quantity
	unit     unit
	weak     bool
	maybe    field // what it is of, without a field, where its cells are; else fName, which no header may be
	relative bool  // a spectrum without scale
	by       string
}

// name is the field's name for people and programs.
func (m meaning) name() string {
	if m.field != fWave {
		return m.field.String()
	}
	letter := "a"
	if m.quantity == transmittance {
		letter = "t"
	}
	return letter + strconv.FormatFloat(m.nm, 'g', -1, 64)
}

// quantity is what an ordinate is.
type quantity int

const (
	unnamed quantity = iota
	absorbance
	transmittance
)

// The wavelengths that a header may name, in nm: what the instruments reach.
const minHeaderNM, maxHeaderNM = 190, 1100

// fieldNamed finds the field of a name of Fields.
func fieldNamed(name string) (meaning, bool) {
	for f := range fOrdinate {
		if fieldNames[f] == name {
			return meaning{field: f, by: "mapping", quantity: quantityOf(f)}, true
		}
	}
	if len(name) < 2 || name[0] != 'a' && name[0] != 't' {
		return meaning{}, false
	}
	nm, err := strconv.ParseFloat(name[1:], 64)
	if err != nil || !(nm >= minHeaderNM && nm <= maxHeaderNM) {
		return meaning{}, false
	}
	m := meaning{field: fWave, nm: nm, by: "mapping", quantity: absorbance}
	if name[0] == 't' {
		m.quantity = transmittance
	}
	return m, true
}

func quantityOf(f field) quantity {
	switch f {
	case fAbsorbance:
		return absorbance
	case fTransmittance:
		return transmittance
	}
	return unnamed
}

// checkMapping refuses a mapping to fields that there are not.
func checkMapping(mapping map[string]string) error {
	var faults []calc.Fault
	for header, name := range mapping {
		if _, ok := fieldNamed(name); name != "" && !ok {
			faults = append(faults, calc.Fault{
				Location: "column " + header, Value: name,
				Message: fmt.Sprintf("there is no field %s to map a column to; the fields are %s, a or t with a wavelength such as a460, or nothing to leave the column out", quoted(name), strings.Join(Fields(), ", ")),
			})
		}
	}
	if faults == nil {
		return nil
	}
	slices.SortFunc(faults, func(a, b calc.Fault) int { return strings.Compare(a.Location, b.Location) })
	return calc.Refuse(faults...)
}
