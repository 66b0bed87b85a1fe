package reports

import (
	"slices"
	"time"

	"pourpath/colour/control"
)

// English returns the texts in British English. The caller owns them.
func English() Texts {
	return Texts{
		Lang: "en-GB", Numbers: Numbers{DecimalMark: "."},
		Shared: SharedTexts{
			View:          "Conditions: illuminant {illuminant}, {observer}° observer, {mm} mm of wine.",
			Conditions:    "Conditions: {conditions}.",
			GreenerRedder: "(− greener, + redder)", Yellower: "+ yellower", Bluer: "− bluer",
			Range: "{from} to {to}", From: "from {from}", UpTo: "up to {to}", FromTo: "from {from} to {to}",
			And: " and ", Colon: ": ", Semicolon: "; ",
			LotNo: "no. {no}", LotNamed: "no. {no}, {name}",
			LotsInTime: "Lots in order of time",
			SpecFarOff: "The limit of the specification at {value} is so far off that it is not drawn.",
			LeftOut:    "left out", Tolerance: "tolerance", Reference: "reference",
		},
		Ladder: englishLadder(), Chart: englishChart(), Plane: englishPlane(),
		Tolerance: englishTolerance(), Preference: englishPreference(),
		Drift:    englishDrift(),
		Spectrum: englishSpectrum(),
		History:  englishHistory(),
		Rules:    englishRules(),
		Charted: map[string]string{
			"L": "L*", "a": "a*", "b": "b*", "intensity": "colour intensity", "tint": "tint", "delta_e_00": "ΔE00 from the reference",
		},
		Parts: map[string]string{
			"delta_e_00": "ΔE00 from the reference", "delta_e_ab": "ΔE*ab from the reference", "L": "L*", "a": "a*", "b": "b*", "C": "C*", "h": "h",
			"intensity": "Intensity", "tint": "Tint (shade)", "yellow_percent": "Yellow share", "red_percent": "Red share", "blue_percent": "Blue share",
			"hotelling_t2": "T² from the approved lots",
		},
	}
}

// englishRules are the names that the rules have themselves.
func englishRules() map[control.Rule]string {
	names := map[control.Rule]string{}
	of := slices.Concat(control.WesternElectric(), control.Nelson(), []control.Rule{control.RangeBeyond, control.AverageBeyond, control.TogetherBeyond})
	for _, r := range of {
		names[r] = r.Name()
	}
	return names
}

func englishLadder() LadderTexts {
	return LadderTexts{
		Title: "Dosing ladder", Base: "Base: {wine}.", Addition: "Addition: {wine}.",
		HeldWine: " + {dose} mL of {wine} per 100 mL", WineNo: "wine {no}",
		Nearest:        "Nearest: {dose} mL per 100 mL of base = {share} % of the blend.",
		NearestApart:   "Nearest: {dose} mL per 100 mL of base = {share} % of the blend, ΔE00 {de}.",
		Interval:       "95 % interval: {range}.",
		Acceptable:     "Acceptable (probability ≥ 0.95): {range}.",
		NoneAcceptable: "No dose is within tolerance with probability ≥ 0.95.",
		Unexplained:    "Of what was measured the path leaves ΔE00 {left} unexplained.", UnexplainedBefore: "Of what was measured the path leaves ΔE00 {left} unexplained; before recalibration ΔE00 {before}.",
		ViewSwatches:   "Conditions: illuminant {illuminant}, {observer}° observer, {mm} mm of wine; swatches 10 mm and {glass} mm deep.",
		Convention:     "Dose: mL added per 100 mL of base; {dose} mL per 100 mL = {share} % of the blend.",
		Method:         "CIE 1976 L*a*b* from the transmittance, 380 to 780 nm; ΔE00 is CIEDE2000 with kL = kC = kH = 1.",
		Band:           "Grey band: k = 2, the most across the path that the uncertainties of a* and b* allow.",
		NoOutline:      "Tolerance outline: none, as ΔE00 does not reach the tolerance in every direction.",
		OutlineNearest: "Tolerance outline: ΔE00 {de} from the target at L* {l}, the nearest point's.",
		OutlineOwn:     "Tolerance outline: ΔE00 {de} from the target at L* {l}, its own.",
		OutlineOwnFar:  "Tolerance outline: ΔE00 {de} from the target at L* {l}, its own, as the nearest point's is out of tolerance.",
		Print:          "Print is no colour reference.",
		SwatchesPrint:  "Swatches are screen colours (sRGB, 2° observer); print is no colour reference.",
		Clipped:        "Hatched corner: out of the sRGB gamut, shown clipped.",
		Panels:         "Panels: the colour path in the a*b* plane; L* and ΔE00 over the dose; swatches.",
		Path:           "Colour path", Lightness: "Lightness L*",
		FromTarget: "Difference ΔE00 from the target", FromRung: "Difference ΔE00 from the rung before", FromLowest: "Difference ΔE00 from the lowest dose",
		NotDrawn: "(above {de} not drawn)", Blank: "No doses yet: the path appears here.",
		DoseAxis: "Dose, mL per 100 mL of base", ShareAxis: "(% of the blend)", ToleranceAt: "tolerance {de}", Percent: "{share} %", Percent95: "95 %",
		KeyPath: "predicted path", KeyRecalibrated: "path, recalibrated", KeyBefore: "path before recalibration", KeyBand: "k = 2 uncertainty",
		KeyRung: "rung, mL per 100 mL", KeySome: "rung, mL per 100 mL ({shown} of {count} shown)",
		KeyMeasured: "measured, bars k = 2", KeyLeft: "left unexplained", KeyNearest: "nearest to the target", KeyTarget: "target",
		KeyAcceptable: "acceptable (probability ≥ 0.95)", KeyNominal: "within tolerance, uncertainty aside",
		Deep: "{mm} mm deep", DosePer100: "mL per 100 mL", ShareOfBlend: "% of the blend",
		SwatchBase: "base", SwatchNearest: "nearest", SwatchOfTarget: "target",
	}
}

func englishChart() ChartTexts {
	return ChartTexts{
		Title: "Chart of lots", TitleOf: "Chart of {quantity}", Colour: "Colour", Together: "L*, a*, b* together",
		Of: "{quantity} of {product}", OfSpec: "{quantity} of lots held against {spec}", OfLots: "{quantity} of lots",
		NewestDrawn: "The newest {shown} of {count} lots are drawn; all count.", PartDrawn: "Lots {first} to {last} of {count} are drawn; all count.",
		FromAll: "from all {count} lots of the period", FromFirstOf: "from the first {first} of {count} lots",
		AxisNumber: "(number)", AxisNumberName: "(number, and name of the lot)",
		KeyLot: "lot", KeyBeyond: "signal: a lot beyond a limit", KeyPattern: "signal: a pattern, where it appeared", KeyMakes: "lots that make it", KeyNumbers: "numbers: see below",
		NewestTold: "The newest {shown} of {count} signals; the {more} before them are marked without a number.",
		SignalAt:   "{lot}: {rule}. {text}", SignalOn: "{panel}, {lot}: {rule}. {text}",
		LeftOut: "Left out: {lots}.", LeftOutMore: "Left out: {lots}; and {more} more.",
		BasePeriod: "base period", Mean: "mean", LowerAction: "lower action", UpperAction: "upper action", LowerWarning: "lower warning", UpperWarning: "upper warning",
		SpecLower: "spec, lower", SpecUpper: "spec, upper", MeanRange: "mean range", Centre: "centre", Action: "action", Median: "median",
		SingleLots: "Single lots: {quantity}", MovingRange: "Moving range: from each lot to the one before",
		RunningAverage: "Running average (EWMA): {quantity}, weight of the newest lot {weight}", TogetherOf: "Together: Hotelling's T² of {names}", RunPlot: "Run plot: {quantity}",
		SingleSaid:   "Single lots: mean {mean}, standard deviation {sigma}, {from}. {signals}",
		AverageSaid:  "Running average: limits at {width} standard deviations of the average, {from}. {signals}",
		TogetherSaid: "T² of {names}: limit at a false alarm in {lots} lots, {from}. {signals}",
		Single:       SignalTexts{"No signal in single lots and ranges.", "1 signal in single lots and ranges.", "{count} signals in single lots and ranges."},
		Average:      SignalTexts{"No signal in the running average.", "1 signal in the running average.", "{count} signals in the running average."},
		T2:           SignalTexts{"No signal in T².", "1 signal in T².", "{count} signals in T²."},
		LotsOne:      "1 lot", LotsMany: "{count} lots", Series: "{lots}.", SeriesNamed: "{lots}, {first} to {last}.",
		SeriesOut: "{lots}; {out} left out.", SeriesNamedOut: "{lots}, {first} to {last}; {out} left out.",
		FromEarlier: "from an earlier period", FromFirst: "from the first {count} lots", FromThese: "from these {count} lots",
		Conditions: "{illuminant}, {observer}° observer, {mm} mm of wine, from {source}", PlaneConditions: "colours from {source}",
		Sources:    map[string]string{"readings": "single readings", "spectrum": "a scan", "cielab": "stated L*, a*, b*"},
		Outside:    "Specification: {limits}; {out} of {count} lots outside at face value. Action limits say what lots usually do, not what they should.",
		LimitsFrom: "from {lower}", LimitsTo: "to {upper}", LimitsBoth: "from {lower} to {upper}",
		IndividualsMethod: "Individuals and moving range after ISO 7870-2: action limits at 3, warning limits at 2 standard deviations (mean moving range / 1.128). Rules looked for: {rules}.",
		AverageMethod:     "Running average after ISO 7870-6: an exponentially weighted moving average from the centre on.",
		TogetherMethod:    "T² is the squared distance from the mean of the base period in the directions and sizes in which lots scatter; the limit of the base period's own lots is lower than that of later ones.",
	}
}

func englishPlane() PlaneTexts {
	return PlaneTexts{
		Title: "Colour of lots", Newest: "Newest lot: L* {l}, a* {a}, b* {b}.", NewestNamed: "Newest lot, {name}: L* {l}, a* {a}, b* {b}.",
		NewestU: "Newest lot: L* {l}, a* {a}, b* {b} (k = 2).", NewestNamedU: "Newest lot, {name}: L* {l}, a* {a}, b* {b} (k = 2).",
		KeyNewest: "newest lot", KeyNewestBars: "newest lot, bars k = 2", KeyLot: "lot", KeyBefore: "before the newest {count}", KeyOffPath: "before the newest {count}, off the path",
		Method: "CIE 1976 L*a*b*.", Drawn: "The region is drawn at the newest lot's L*, {l}: for other lots it is a guide.", NotDrawn: "Not drawn: {part}, {why}.",
		Panels: "Panels: {count} lots as a path in the a*b* plane; L* over the lots.",
		Path:   "Path of the lots through time", Lightness: "Lightness L* over the lots", Difference: "Difference ΔE00 from the reference", Spec: "spec",
		DeltaE: "ΔE00 {de} from the reference", Weights: "{part} (kL {l}, kC {c}, kH {h})",
		LimitsA: "limits of a*", LimitsB: "limits of b*", LimitsAB: "limits of a* and b*", Ellipsoid: "ellipsoid of the approved lots",
		NoMeet: "which no colour of that L* meets", NoReach: "as ΔE00 does not reach it in every direction",
	}
}

func englishTolerance() ToleranceTexts {
	return ToleranceTexts{
		Title:  "Place in the tolerance",
		KeyLot: "the lot", KeyLotBars: "the lot, bar k = 2 or 95 %", KeyAllowed: "allowed", KeyLimit: "limit", KeyWarning: "warning limit",
		KeyScales: "each row has its own scale",
		Below:     "below, at face value", Above: "above, at face value", BeyondWarning: "within, beyond warning", Within: "within",
		Probability: "probability {p}", Interval: "{value} (95 %: {from} to {to})", Part: "{quantity} {value}: {side}, allowed {allowed}.",
		Against: "{illuminant}, {observer}° observer, {mm} mm. Specification {spec}, version {version}.",
	}
}

func englishDrift() DriftTexts {
	return DriftTexts{
		Title: "How the colour drifts", TitleOf: "How the colour drifts: {product}",
		Storage: "Storage: {storage}", StorageUntold: "Storage not stated", OneLotIn: "{conditions}; the readings of one lot in {count} are drawn",
		Bottling: "bottling", Absorbance: "A{nm}, per 10 mm", Days: "Days since {clock}",
		KeyLot: "a lot at the median level", KeyOneMore: "where one lot more is, with 95 %",
		KeyReading: "a reading, its lot brought to that level", KeyFar: "far off: counts little or nothing",
		Said: "{readings} readings of {lots} lots; from day {first} to day {last}: {bands}.", Band: "A{nm} from {first} to {last} ({lower} to {upper})",
		Far:    "Readings far off: {count}.",
		Method: "Intervals hold one lot more with 95 %: what is uncertain about the mean, and how lots differ. The level of a lot is its own; what lots have in common is how it moves.",
	}
}

func englishSpectrum() SpectrumTexts {
	return SpectrumTexts{
		Title: "Absorbance spectrum", TitleOf: "Absorbance spectrum: {name}",
		Absorbance: "Absorbance per 10 mm of undiluted wine", Wavelength: "Wavelength, nm",
		KeyBand: "two standard uncertainties either way (k = 2)", KeyRead: "as read, for 10 mm", KeyScan: "points of the scan, for 10 mm",
		KeyMarks:      "420, 520, 620 nm: intensity and tint",
		ReadingsCurve: "estimated between the readings", ReadingsHow: "Between the readings the spectrum is estimated from the shapes that wine spectra have.",
		ScanCurve: "the scan, every 5 nm", ScanHow: "The curve is the scan, brought to one value every 5 nm.",
		ColourCurve: "estimated from L*, a*, b*", ColourHow: "No absorbance was read: this is the most plausible wine spectrum that has the stated colour.",
		BlendCurve: "predicted", BlendHow: "The spectrum of a blend, by the volumes of its wines.",
		Said: "Per 10 mm {values} (k = 2). {how}", At: "A{nm} {value} ± {u}",
		Method: "Absorbances are decadic, for an optical path of 10 mm of undiluted wine, whatever cell and dilution were read.",
	}
}

func englishHistory() HistoryTexts {
	return HistoryTexts{
		Title: "Readings over time", TitleOf: "Readings over time: {name}",
		Conditions: "L*, a*, b* under D65, 10° observer, for 10 mm of undiluted wine", Newest: "{conditions}; the newest readings; there are earlier ones",
		Intensity: "Intensity (A420 + A520 + A620), per 10 mm", Tint: "Tint (A420/A520)", When: "When it was read, UTC",
		KeyReading: "a reading, bar two standard uncertainties either way (k = 2)", KeySuperseded: "superseded by a correction",
		One: "1 reading, from {from} to {to}.", Many: "{count} readings, from {from} to {to}.",
		Superseded: "Superseded and drawn open: {count}.", LeftOut: "Left out: {counts}.", Archived: "{count} archived", Colourless: "{count} no colour of a wine",
		Method: "Each reading by itself, replicates too. Readings made in another cell, dilution or way may differ for that reason alone.",
		Day:    time.DateOnly, Month: "2006-01",
	}
}

func englishPreference() PreferenceTexts {
	return PreferenceTexts{
		Title:       "What the panel prefers",
		Shares:      "{judges} judges put each glass above this share of the others: {glasses}.",
		Glass:       "{dose} mL {share} %",
		Preferred:   "Preferred: {dose} mL per 100 mL of base, {share} % of the blend; between {from} and {to} mL, {fromshare} and {toshare} %, with {level} %.",
		NoDose:      "No preferred dose: the answers do not show that the judges prefer any glass, nor that all are alike to them.",
		View:        "Conditions: illuminant {illuminant}, {observer}° observer, {mm} mm of wine. A circle is filled with the colour of 10 mm of its wine.",
		Method:      "Panel B: share of the other glasses, in %, above which a glass was put; glasses alike count half. Intervals {level} % over judges, with one more judge who answers by chance.",
		Path:        "Colour path, larger circles are preferred",
		Along:       "Preference along the dose, %",
		DoseAxis:    "mL per 100 mL of base",
		KeyGlass:    "a glass with its mL per 100 mL, the larger the more preferred",
		KeyPath:     "path",
		KeyInterval: "interval of a glass",
		KeyCurve:    "curve with its interval",
		KeyEven:     "as often above as below others",
		KeyBest:     "preferred dose with its interval",
	}
}
