package sheet

import "pourpath/reports"

// English returns the texts in British English. The caller owns them.
func English() Texts {
	return Texts{
		Lang: "en-GB", Figures: reports.English(),
		Page:          "Page {no} of {count}",
		Conditions:    "Conditions: illuminant {illuminant}, {observer}° observer, {mm} mm of wine.",
		SwatchDepths:  "Swatches: 10 mm and {mm} mm deep (in the glass).",
		SwatchDepth:   "Swatches: 10 mm deep.",
		Convention:    "Dose: mL added per 100 mL of base; {dose} mL per 100 mL = {share} % of the blend.",
		Uncertainties: "± is one standard uncertainty (k = 1). CIE 1976 L*a*b*; ΔE00 is CIEDE2000 with kL = kC = kH = 1.",
		Print:         "Swatches are screen colours (sRGB, 2° observer); print is no colour reference.",
		Clipped:       "Hatched corner: out of the sRGB gamut, shown clipped.",
		Mind:          "To note",
		Cautions:      "Cautions",

		WinesTitle: "Wines and target", Base: "Base", Addition: "Addition", AdditionNo: "Addition {no}", Target: "Target",
		Held:         "Held in the base: {dose} mL per 100 mL of base",
		TwoAdditions: "Doses are of addition 1 alone, per 100 mL of base alone. The others are in the base of every glass at a fixed dose; % of the blend counts them in.",
		Lot:          "Lot {lot}", Tolerance: "Tolerance ΔE00 {de}",
		DoseLine: "{dose} mL per 100 mL of base · {share} % of the blend",
		Range:    "{from} to {to}", PerBase: "mL per 100 mL of base",
		DeedBase: "Base: {wine}", DeedAddition: "Add {wine}", DeedOut: "Take out", DeedBack: "Counter-entry: takes entry {no} back",
		Yes: "yes", No: "no",
		Field: "to be filled in by hand", Box: "box to tick",
		SwatchIs: "screen colour {hex}", SwatchOut: "screen colour {hex}, out of gamut, clipped",

		Columns: englishColumns(), Bench: englishBench(), Trial: englishTrial(), Order: englishOrder(),
		Statement: englishStatement(), Told: englishTold(), Panel: englishPanel(),
	}
}

func englishColumns() ColumnTexts {
	return ColumnTexts{
		Done: "Done", No: "No.", Time: "Time", Glass: "Glass", What: "What", WhatHow: "What, with which tool", Wine: "Wine", Volume: "Volume, mL",
		Tool: "Tool", Total: "Running total, mL", PlannedTotal: "Planned total, mL", Poured: "Poured, mL",
		Dose: "Dose, mL per 100 mL base", Share: "% of the blend", At10MM: "10 mm", InGlass: "Glass, {mm} mm", Target: "target",
		Minutes: "Minutes since pouring", Note: "Notes", Initials: "Initials", Who: "Who", Score: "Score",
		Capacity: "Capacity, mL", Graduation: "One line, mL", Limit: "Limit, mL", Source: "Class and source",
		Unexplained: "ΔE00 from measured",
		Vessel:      "Vessel", USGal: "US gal", ImpGal: "Imperial gal", Stock: "Stock", OnHand: "On hand, L", Needed: "Needed, L",
		LeftOver: "Left over, L", Short: "Short by, L",
		Step: "Step", PlannedL: "Planned, L", AsDone: "As done, L", BaseL: "Base, L", FirstL: "First part, L", HeldL: "Held back, L",
		FirstDone: "First, as done", TrimDone: "Trim, as done", Sample: "Sample", Look: "Clear, haze or crystals",
	}
}

// The cautions that all documents share. Common practice, no source, but where a
// law is meant: that is the local one.
const (
	cautionTreated = "Never drink a sample that was treated for a reading (acetaldehyde, acid, bisulphite). Mark it, keep it apart from the tasting glasses and pour it away."
	cautionSO2     = "Sulphur dioxide and its salts: only as the local code and the product's safety sheet allow, by those who may; with air and gloves."
	cautionAlcohol = "Wine is alcohol: taste and spit; nobody under age, pregnant or about to drive or to work machines may taste."
	cautionAllergy = "Wine holds sulphites. Whoever is sensitive to them, or has asthma, does not taste or smell at the bench."
	cautionGlass   = "Chipped or cracked glass goes out at once. Gather broken glass with a brush; wine that it fell into is poured away."
	cautionLaw     = "Whether red may go into white for a rosé, and what the label may then say of colour, variety, vintage and origin, is for the local law and the licence: ask before the tank is dosed."
	cautionStable  = "Two wines that are stable apart can throw tartrate crystals or a protein haze together: keep a sample of the blend cold and look at it the next day, before bottling."
	cautionMalo    = "A red after malolactic fermentation in a white with malic acid or sugar can start again in the bottle: test for both, and filter or protect the blend as the local code allows."
)

func englishBench() BenchTexts {
	return BenchTexts{
		Name: "Bench sheet", BaseInGlass: "Base in each glass", Tools: "Tools and their limits",
		Plan:    "Plan",
		PlanHow: "Work down the list. Tick each line once it is poured; the running total is what the glass has had of the addition.",
		Record:  "As poured and read",
		RecordHow: "Write down what was poured, not what was planned. A reading right after pouring is repeated the next day. " +
			"The last lines are for what was not planned: sips, cells filled, slips.",
		RecordFields: []string{"Cell, mm", "Dilution", "Instrument", "Temperature, °C"},
		Notes:        "Notes and scores",
		Cautions: []string{cautionTreated, "Use one tool for one wine, or rinse it with the next wine; a drop of red in the base shows.",
			cautionAlcohol, cautionAllergy, cautionGlass, cautionSO2},
	}
}

func englishTrial() TrialTexts {
	return TrialTexts{
		Name: "Trial report", Lead: "Chosen: {dose}", NoChoice: "No dose has been chosen yet.",
		Log:    "Pour log",
		LogHow: "The dose is computed from what was in the glass; what was taken out had the composition of the whole. An entry marked undone does not count.",
		Undone: "UNDONE", Against: "Measured against predicted",
		AgainstHow: "ΔE00 is what each path leaves unexplained of the colour that was measured; before pouring: from the two wines alone.",
		Measured:   "measured", Predicted: "predicted before pouring", Learned: "path after all readings",
		Outlier: "OUTLIER: flagged, not dropped", Repeat: "read soon after pouring: repeat the next day",
		Notes: "Notes and scores", Choice: "Choice", ChosenDose: "Chosen dose", Interval: "95 % interval",
		Nearest: "Closest to the target", NearestInterval: "Its 95 % interval",
		PerLitre: "For a litre", PerLitreIs: "{base} mL into a litre of base; {blend} mL are in a litre of finished blend",
		FromTarget: "Predicted ΔE00 from the target", TastedIn: "Tasted in glass", ChosenBy: "Chosen by", Reasons: "Reasons:",
		Final:     "Final check",
		FinalNot:  "Not done. Pour the chosen dose fresh, once, at {ml} mL or more; read it, keep it cold overnight and look again.",
		FinalDone: "Done: the chosen dose was poured fresh, read, kept cold overnight and looked at again.",
		FinalPart: "Not complete. Still to do: {todo}.",
		TodoPour:  "pour the chosen dose fresh at {ml} mL or more", TodoRead: "read it", TodoCold: "keep it cold overnight", TodoLook: "look again the next day",
		PouredFresh: "Poured fresh", Read: "Reading", ReadFromTarget: "Its ΔE00 from the target",
		KeptCold: "Kept cold overnight", LookedAgain: "Looked at again the next day", Seen: "Seen then", CheckedBy: "Checked by",
		ScaleUp:  "Scale-up",
		Cautions: []string{cautionStable, cautionMalo, cautionTreated, cautionLaw, cautionSO2, cautionAlcohol, cautionAllergy, cautionGlass},
	}
}

func englishOrder() OrderTexts {
	return OrderTexts{
		Name: "Work order", Lead: "Dose: {dose}", VolumesTitle: "Volumes", Dose: "Dose", Blend: "Blend",
		EachOf: "{count} × {name}, each", Total: "All {count} vessels together", VesselNo: "{name}, no. {no}",
		BaseLed:     "BASE-LED, this order: {size} L of base, the addition comes on top",
		BlendLed:    "BLEND-LED, this order: {size} L of finished blend, addition included",
		NotBaseLed:  "Base-led, NOT this order: if {size} L were base",
		NotBlendLed: "Blend-led, NOT this order: if {size} L were finished blend",
		Rounded:     "To measure out", RoundedTo: "{base} L of base and {addition} L of addition ({steps}): {dose}",
		StepBase: "base in steps of {l} L", StepAddition: "addition in steps of {l} L",
		RoundingError: "Rounding error", RoundingDE: "ΔE00 {de} from the dose asked for",
		Gauge: "Gauge", GaugeIs: "base ± {base} %, addition ± {addition} % (k = 1): dose ± {dose} mL per 100 mL of base",
		GaugeSteps: "by the steps alone, as no uncertainty of gauge and measure was stated: dose ± {dose} mL per 100 mL of base (k = 1)",
		GaugeDE:    "one such uncertainty of the dose makes ΔE00 {de}",
		Heel:       "Heel in the line", HeelIs: "{l} L of addition stay in hose and pump: measure out that much more, once",
		WithHeel: "Measure out {out} L; {heel} L of it stay in the line.",
		Loss:     "Losses", LossIs: "{percent} % of the blend on the way; the volumes include it",
		AtMost: "≤ {l}",
		Steps:  "Steps", StepsHow: "In this order. No wine can be taken out again: add the rest only after the samples have been read.",
		StepGauge: "Gauge the base in the vessel", StepFirst: "Add the first part, {percent} % of the addition",
		StepMix: "Mix: a whole turnover, without air", StepSample: "Sample top and bottom; mix again until they agree",
		StepMeasure: "Measure both samples and work out the trim", StepTrim: "Trim with what was held back",
		StepAgain: "Mix, sample and measure again", StepCold: "Keep a sample cold overnight; look the next day for crystals and haze",
		EachVessel: "Vessel by vessel", SamplesTitle: "Samples",
		Samples:      []string{"Top, after the first part", "Bottom, after the first part", "Top, after the trim", "Bottom, after the trim", "Kept cold, the next day"},
		SampleFields: []string{"Cell, mm", "Dilution", "Instrument", "Temperature, °C"},
		SamplesHow:   "If top and bottom differ by more than the readings' own spread, the tank is not mixed. A trim from such samples is a guess.",
		Trim:         "Trim", TrimHow: "To be filled in once the samples have been measured.",
		TankHas: "The tank has", TrimWith: "Add",
		Passed:    "The target was passed: add nothing more.",
		BringBack: "Base that brings it back", BaseInterval: "Its 95 % interval",
		NotMixed:    "Top and bottom differ: the tank is not mixed, so no trim is given. Mix, sample and read again.",
		TrimAim:     "Aims at",
		MayBePassed: "The interval reaches below 0: the target may have been passed already. Measure again before adding.",
		TrimFields:  []string{"Trim, L", "Interval, L", "Added, L", "Gauge after, L"},
		Signed:      "Signed", Signatures: []string{"Ordered by, date", "Poured by, date", "Measured by, date", "Looked at the cold sample, date"},
		Cautions: []string{cautionStable, cautionMalo, cautionTreated, cautionLaw, cautionSO2,
			"Carbon dioxide gathers in tanks and pits and kills: never put the head into a vessel; test the air and work in twos.",
			cautionAlcohol, cautionAllergy, cautionGlass},
	}
}
