package sheet

import (
	"strings"
	"time"

	"pourpath/reports"
)

// ToldTexts are the words with which callers fill documents in: what a wine is called
// that has no name, how it was read, when things were done, and what is told of it.
type ToldTexts struct {
	// Months and MonthsShort are the names of the twelve months, and FirstDay is the first
	// day of each.
	Months, MonthsShort                                                  []string
	FirstDay, Date, DateTime, Short, ShortYear, ShortTime                string
	Trial, Begun                                                         string
	UnnamedBase, UnnamedAddition, UnnamedWine, Of                        string
	TheTarget, TopSample, BottomSample                                   string
	AtChosen, Predicted, PredictedLearned, Mixed                         string
	ReadAt, ReadAtDiluted, Scanned, ScannedDiluted, Given, NothingRead   string
	ColourGiven, AnotherWine, IntensityTint                              string
	Graduation, BetterFresh, WhenFull, Judgement, ToolClass, NoToolClass string
	Entry, TotalStated, SeeMind, StayedClear, NotClear                   string
	OffTarget, Mixture, FinalCheck                                       string
	Vessel, VesselNo, Bottles, BottlesFor                                string
	AimAsked, AimChecked, AimGlass, AimPredicted                         string

	// The rest is of statements.
	Programs                                                       string
	Stages                                                         map[string]string // by their codes, as all maps here
	Whys                                                           map[string]string // what blend was taken out for
	FreeSO2, TotalSO2, CO2, DrawnAt                                string
	Filtered, NotFiltered, Acetaldehyde, NoAcetaldehyde            string
	ReadAtC, Blank, ReadBy, NotRecorded                            string
	Absorbances, ScanOfAbsorbance, ScanOfTransmittance, FromReport string
	Cell, CellDiluted, TransmittanceAt, StatedFor, TargetOfSpec    string
	Decisions                                                      map[string]string
	Decided, DecidedBy, DecidedReason                              string
	Causes                                                         map[string]string
	Repeats, Session, Variance                                     string
	Remedies, Verdicts                                             map[string]string
	Remedy, RemedyProbable                                         string
}

// InEnglish is texts, or the English ones where there are none.
func InEnglish(texts *Texts) *Texts {
	if texts == nil {
		english := English()
		return &english
	}
	return texts
}

// Said is a message of the service in the language of the document, or in English where
// it cannot be had.
func (t *Texts) Said(message string) string { return t.Figures.Said(message) }

// Probability writes a probability, never as certain.
func (t *Texts) Probability(p float64) string { return t.probability(p) }

// Date writes a day.
func (t *Texts) Date(at time.Time) string {
	return t.dated(t.Told.Date, t.Told.Months, at)
}

// Moment writes a time of UTC, or a day where its clock stands at midnight.
func (t *Texts) Moment(at time.Time) string {
	at = at.UTC()
	if at.Equal(at.Truncate(24 * time.Hour)) {
		return t.Date(at)
	}
	return reports.Fill(t.Told.DateTime, "date", t.Date(at), "time", at.Format("15:04"))
}

// Short writes a day for a narrow column.
func (t *Texts) Short(at time.Time, withYear, withTime bool) string {
	layout := t.Told.Short
	if withYear {
		layout = t.Told.ShortYear
	}
	date := t.dated(layout, t.Told.MonthsShort, at)
	if withTime {
		return reports.Fill(t.Told.ShortTime, "date", date, "time", at.Format("15:04"))
	}
	return date
}

func (t *Texts) dated(layout string, months []string, at time.Time) string {
	day := at.Format("2")
	if day == "1" {
		day = t.Told.FirstDay
	}
	return reports.Fill(layout, "day", day, "month", months[at.Month()-1], "year", at.Format("2006"))
}

// Listed joins what is told in one line.
func (t *Texts) Listed(words []string) string {
	return strings.Join(words, t.Figures.Shared.Semicolon)
}

func englishTold() ToldTexts {
	return ToldTexts{
		Months:      []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"},
		MonthsShort: []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
		FirstDay:    "1", Date: "{day} {month} {year}", DateTime: "{date}, {time} UTC", Short: "{day} {month}", ShortYear: "{day} {month} {year}", ShortTime: "{date}, {time}",
		Trial: "Trial {id}", Begun: "Trial begun {date}; times are {zone}.",
		UnnamedBase: "unnamed base", UnnamedAddition: "unnamed addition", UnnamedWine: "unnamed wine", Of: "Of {wine}: {message}",
		TheTarget: "the target", TopSample: "the top's sample", BottomSample: "the bottom's sample",
		AtChosen: "At the chosen dose", Predicted: "Predicted from the wines alone.", PredictedLearned: "Predicted, after what was measured.", Mixed: "Mixed beforehand.",
		ReadAt: "Read at {nm} nm in a {mm} mm cell.", ReadAtDiluted: "Read at {nm} nm in a {mm} mm cell, diluted {times} times.",
		Scanned: "Scanned from {from} to {to} nm in a {mm} mm cell.", ScannedDiluted: "Scanned from {from} to {to} nm in a {mm} mm cell, diluted {times} times.",
		Given: "L*, a*, b* as given for {mm} mm, {illuminant}, {observer}°.", NothingRead: "Nothing was read of it.",
		ColourGiven: "Colour as given", AnotherWine: "Another wine", IntensityTint: "Intensity {intensity}, tint (shade) {tint}",
		Graduation:  "One graduation of the {tool} changes the colour by at most ΔE00 {de} here; a step of {step} counts as visible.",
		BetterFresh: "Dose surer in a fresh glass: ±{fresh}, not ±{u} (95 %)",
		WhenFull:    "{standard}, when full", Judgement: "5 %, a judgement", ToolClass: "class {class}, {source}", NoToolClass: "no class stated: twice that of class B, {source}",
		Entry: "Entry {no}: {message}", TotalStated: "total stated: {ml} mL", SeeMind: "(see To note)", StayedClear: "stayed clear", NotClear: "NOT CLEAR",
		OffTarget:  "The chosen dose is outside the tolerance of the trial's target, as its colour is known now: make sure that it is what is wanted.",
		Mixture:    "Base is the mixture here, to be made first: {mixture}. The chosen dose, {dose} mL per 100 mL of {base} alone, is {mixed} mL per 100 mL of that mixture; all doses and volumes of this order are of the mixture.",
		FinalCheck: "Final check of the chosen dose: {message}",
		Vessel:     "No name given", VesselNo: "Vessel {no}", Bottles: "{count} bottles of {ml} mL", BottlesFor: "{vessel}, for {bottles}",
		AimAsked: "the target that was asked for", AimChecked: "the chosen dose as the final check read it",
		AimGlass: "the chosen dose as glass {glass} was read (entry {no})", AimPredicted: "the chosen dose as it is predicted; it was not read",

		Programs: "{program}; the verdict was given by {judge}",
		Whys:     map[string]string{"tasting": "a sip", "reading": "for a reading", "other": "other"},
		Stages: map[string]string{
			"first_bottles": "First bottles off the line", "beginning": "Beginning of the run", "middle": "Middle of the run", "end": "End of the run", "retained": "Retained bottle",
		},
		FreeSO2: "free SO2 {value} mg/L", TotalSO2: "total SO2 {value} mg/L", CO2: "CO2 {value} mg/L", DrawnAt: "drawn at {value} °C",
		Filtered: "filtered", NotFiltered: "not filtered", Acetaldehyde: "read with excess acetaldehyde", NoAcetaldehyde: "read without excess acetaldehyde",
		ReadAtC: "Read at {value} °C.", Blank: "Blank: {blank}.", ReadBy: "Read by {analyst}.", NotRecorded: "not recorded",
		Absorbances:         "Absorbances at {nm} nm, {cell}; the spectrum between them is estimated.",
		ScanOfAbsorbance:    "Scan of absorbance from {from} to {to} nm, {count} values, {cell}.",
		ScanOfTransmittance: "Scan of transmittance from {from} to {to} nm, {count} values, {cell}.",
		FromReport:          "L*, a*, b* from a report, stated for {mm} mm.",
		Cell:                "{mm} mm cell, undiluted", CellDiluted: "{mm} mm cell, diluted {times}-fold", TransmittanceAt: "Transmittance at {nm} nm, %", StatedFor: "stated for {mm} mm",
		TargetOfSpec: "the target of the specification",
		Decisions:    map[string]string{"released": "released", "held": "held", "rejected": "rejected"},
		Decided:      "{decision}, {when}", DecidedBy: "{decision} by {by}, {when}", DecidedReason: "{decided}: {reason}",
		Causes: map[string]string{
			"reading": "the readings", "dilution": "the dilution", "shape": "what the readings leave open of the spectrum", "rounding": "the digits that were stated",
			"dose": "the dose", "medium": "how the addition colours another wine", "learned": "what was learned from glasses",
		},
		Repeats: "{cause}, by what differs from one to the next", Session: "{cause}, by what a session has in common", Variance: "{cause}, {share} % of the variance",
		Remedies: map[string]string{
			"replicates": "read 4 times and give the mean, sample and reference alike", "one_session": "read sample and reference in one session on one instrument",
			"scan":      "scan from 380 to 780 nm instead of reading at a few wavelengths, sample and reference alike",
			"undiluted": "read the wine undiluted in a shorter cell", "more_digits": "state L*, a* and b* with one more digit",
			"read_blend": "read the blend itself instead of computing it from its wines", "all_together": "do all of these",
		},
		Verdicts:       map[string]string{"pass": "pass", "fail": "fail", "inconclusive": "inconclusive"},
		Remedy:         "If you {remedy} and find the same colour, the verdict would be {verdict}.",
		RemedyProbable: "If you {remedy} and find the same colour, the verdict would be {verdict}, with probability {p} of being within.",
	}
}
