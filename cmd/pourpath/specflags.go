package main

import "strings"

// limitQuantities are the quantities that limits are given for, by their names in a
// specification, with what they are.
var limitQuantities = []struct{ name, what string }{
	{"L", "L*"}, {"a", "a*"}, {"b", "b*"}, {"C", "chroma C*"}, {"h", "hue in degrees; 350,20 runs through 0"},
	{"intensity", "colour intensity for 10 mm"}, {"tint", "tint"},
	{"yellow_percent", "share of A420, %"}, {"red_percent", "share of A520, %"}, {"blue_percent", "share of A620, %"},
}

func limitFlags(prefix, help string, place ...string) []bodyFlag {
	flags := make([]bodyFlag, len(limitQuantities))
	for i, q := range limitQuantities {
		name := prefix + "-" + strings.ReplaceAll(q.name, "_", "-")
		flags[i] = aRange(name, help+" of "+q.what+": `LEAST,MOST`", append(append([]string{}, place...), q.name)...)
	}
	return flags
}

// judgedFlags are those of what a wine must meet, and how it is read.
func judgedFlags() []bodyFlag {
	flags := []bodyFlag{
		aNumber("target-L", "L* of the colour that is wanted", "target", "cielab", "L"), aNumber("target-a", "its a*", "target", "cielab", "a"),
		aNumber("target-b", "its b*", "target", "cielab", "b"), aText("target-id", "instead: `ID` of a stored target", "target", "id"),
		aText("target-wine-id", "instead: `ID` of a stored wine", "target", "wine", "id"),
		aNumber("target-intensity", "instead: colour intensity for 10 mm", "target", "intensity"), aNumber("target-tint", "with it: tint", "target", "tint"),
		aNumber("delta-e-00", "largest CIEDE2000 from the target", "tolerance", "delta_e_00"), aNumber("kL", "parametric factor of lightness in it (1)", "tolerance", "kL"),
		aNumber("kC", "that of chroma (1)", "tolerance", "kC"), aNumber("kH", "that of hue (1)", "tolerance", "kH"),
		aNumber("delta-e-ab", "largest ΔE*ab from the target", "tolerance", "delta_e_ab"),
	}
	flags = append(flags, limitFlags("limits", "limits", "limits")...)
	flags = append(flags, aNumber("ellipsoid-confidence", "confidence of the region of the approved lots (0.95)", "ellipsoid", "confidence"),
		aNumber("warning-delta-e-00", "warning limit of CIEDE2000", "warning", "tolerance", "delta_e_00"), aNumber("warning-delta-e-ab", "warning limit of ΔE*ab", "warning", "tolerance", "delta_e_ab"))
	flags = append(flags, limitFlags("warning", "warning limits", "warning", "limits")...)
	return append(flags,
		aText("reading-method", "how lots are read: readings, spectrum or cielab", "reading_method", "source"),
		aRange("reading-extra-nm", "with readings: further wavelengths, `NM,NM`", "reading_method", "extra_nm"),
		aNumber("reading-path-mm", "its cell, `MM` (10)", "reading_method", "path_mm"), aNumber("reading-dilution", "its dilution (1)", "reading_method", "dilution"),
		aNumber("reading-u-absorbance", "its standard uncertainty (0.002)", "reading_method", "u_absorbance"),
		aNumber("reading-decimals", "with cielab: digits behind the point (1)", "reading_method", "decimals"),
		aTruth("reading-same-session", "`true` where the target, a wine, is read again with each lot", "reading_method", "same_session"),
		aText("rule", "simple (values alone) or guarded (by the probability of conforming)"), aNumber("max-risk", "with guarded: the largest risk (0.05)"),
		aText("illuminant", "illuminant that it holds for (D65)", "view", "illuminant"), aText("observer", "observer, 2 or 10 (10)", "view", "observer"),
		aNumber("path-mm", "depth of wine that it holds for, `MM` (10)", "view", "path_mm"),
	)
}

// keptFlags are those of what is kept beside that.
func keptFlags() []bodyFlag {
	flags := []bodyFlag{
		aText("name", "what it is called"), aText("product", "what it is the specification of"),
		aText("reference-trial", "instead of a target: `TRIAL` whose chosen dose it is", "reference", "trial"),
		aList("reference-lots", "instead of a target: released lots whose mean it is, `LOT,LOT`", "reference", "lots"),
		aText("valid-from", "`TIME` from when it holds"), aText("valid-to", "`TIME` until when, not included"), aText("approved-by", "`NAME` of who approved it"),
	}
	for _, flag := range stateFlags("reference_state", " of the reference when it was read") {
		flag.name = "reference-" + flag.name
		flags = append(flags, flag)
	}
	return flags
}

// stateFlags are those of the state of a wine.
func stateFlags(place, of string) []bodyFlag {
	return []bodyFlag{
		aNumber("free-so2-mg-per-l", "free sulphur dioxide"+of+", `MG/L`", place, "free_so2_mg_per_l"),
		aNumber("total-so2-mg-per-l", "total sulphur dioxide"+of+", `MG/L`", place, "total_so2_mg_per_l"),
		aTruth("filtered", "`true` or false: whether it was filtered"+of, place, "filtered"),
		aNumber("co2-mg-per-l", "dissolved carbon dioxide"+of+", `MG/L`", place, "co2_mg_per_l"),
		aNumber("wine-temperature-c", "temperature of the wine"+of+" in `°C`", place, "wine_temperature_c"),
		aTruth("acetaldehyde-added", "`true` or false: whether excess acetaldehyde was added"+of, place, "acetaldehyde_added"),
	}
}

func specFlags() []bodyFlag { return append(keptFlags(), judgedFlags()...) }
