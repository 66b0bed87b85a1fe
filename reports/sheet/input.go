package sheet

import (
	"pourpath/colour/cie"
	"pourpath/reports"
)

// Head is what every page of a document carries.
type Head struct {
	Trial string   // name of the trial; required
	Date  string   // of the document, as its readers write dates; required
	View  cie.View // that all colours hold under
	// GlassDepthMM is the depth of the second swatch, in mm; 0 leaves it out.
	GlassDepthMM float64
	Conditions   string // further conditions, a sentence; may be empty
	Version      string // name and version of the program; may be empty
}

// Colour is a colour under the view of the Head.
type Colour struct {
	Lab cie.Lab
	U   [3]float64 // standard uncertainty (k = 1) of L*, a*, b*; 0 where not stated
}

// Dose is mL of the dosed addition per 100 mL of base.
type Dose struct {
	MLPer100ML float64
	U          float64 // standard uncertainty (k = 1); 0 where not stated
}

// Wine is a base or an addition.
type Wine struct {
	Name string // required
	// HeldMLPer100ML is the fixed dose, in mL per 100 mL of base, of an addition
	// that is in the base of every glass before the other is poured; 0 for the base
	// and for the addition that is dosed.
	HeldMLPer100ML float64
	Lot            string  // may be empty
	Known          string  // how its colour is known, a sentence; may be empty
	Colour         *Colour // nil where not known
	Swatch         reports.Swatch
}

// Target is the colour aimed at.
type Target struct {
	Name      string  // what it is, or an intensity and tint in words; required
	Colour    *Colour // nil where it is no colour
	Tolerance float64 // ΔE00; 0 where there is none
	Swatch    reports.Swatch
}

// Wines are the wines of a trial and what they are to become.
type Wines struct {
	Base      Wine
	Additions []Wine  // the one that is dosed, then those that are held in the base
	Target    *Target // nil where there is none
	Blend     *Wine   // what the chosen dose makes; nil where none is chosen or nothing is known of it
}

// Interval holds 95 % of a value: its lower and its upper end.
type Interval [2]float64
