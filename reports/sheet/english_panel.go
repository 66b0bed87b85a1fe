package sheet

// What is said of viewing and ranking follows ISO 11037:2011 (sensory assessment of
// the colour of products), ISO 8587:2006 (ranking) and ISO 6658:2017 (general
// guidance), from memory; ISO 3591 is the tasting glass. The cautions are common
// practice, no source.

func englishPanel() PanelTexts {
	return PanelTexts{
		Labels:     "Code labels",
		LabelsHow:  "Cut along the lines and stick each label to a glass, by the pouring list. Beneath the code stand the judge and the place in that judge's order of serving.",
		LabelUnder: "{judge} · {no}", LabelsFoot: "Codes are drawn by chance for this panel alone. A label tells nothing of what is in the glass.", Sheet: "Judge sheet", Judge: "Judge: {name}",
		SheetFoot: "Codes are drawn by chance and tell nothing of what is in the glasses. Do not talk about the glasses before all have handed in.",
		RankHow:   "Look at the glasses in the order of this list, then go back as often as you like. Give each glass a rank from 1 to {n}: {most}.",
		NoTies:    "Use each rank once; decide between glasses that seem alike.", WithTies: "Glasses that seem alike may share a rank.", RankPreferred: "1 is the one that you like most",
		RankDeepest: "1 is the one with the deepest colour", RankClosest: "1 is the one that comes closest to the reference",
		ScoreHow:       "Look at the glasses in the order of this list, then go back as often as you like. Give each glass a score from {from} to {to}: {most}.",
		ScorePreferred: "the more you like it, the higher", ScoreDeepest: "the deeper its colour, the higher", ScoreClosest: "the closer it comes to the reference, the higher", Served: "Served",
		Code: "Code", Rank: "Rank", Score: "Score", ViewingTitle: "How to look",
		Viewing: []string{
			"Light: daylight from the north, or lamps of about 6500 K that render colours well (ISO 11037: D65); no coloured light or walls nearby. The same place and light for all judges.",
			"Ground: white, matt and without a pattern, beneath and behind the glasses.",
			"Fill: glasses of one shape, clear and clean, filled to one height, such as 50 mL in a tasting glass (ISO 3591): a deeper fill looks darker.",
			"Look at each glass in the same way: first from above, then tilted over the white ground, where the rim shows the hue.",
			"Rest your eyes on the white ground between glasses. Take off tinted spectacles.",
			"Colour vision: whoever knows of a colour vision deficiency, or was never tested, tells the leader before the session (ISO 11037).",
		},
		SheetCautions: []string{
			"Colour is judged by looking alone: nobody has to taste or smell.",
			cautionAlcohol,
			cautionAllergy,
			cautionGlass,
		},
		SheetFields: []string{
			"Date, time",
			"Initials",
		},
		Pouring: "Pouring list", NotForJudges: "NOT FOR JUDGES: this list tells which glass is which.",
		PouringMake: "For the judges, {portion} mL each (common practice, no source): make at least the volumes of base and addition below for each glass. Base is what a glass holds before the addition.", MakeBase: "Base to take, mL", MakeAddition: "Addition to take, mL",
		PouringHow:   "Label and fill the glasses out of the judges' sight, all to one height, and serve each judge in the order below. Keep this list where no judge sees it, until the session is closed.",
		WhichIsWhich: "Which glass is which", Orders: "Orders of serving", JudgesServed: "Judges", JudgeHead: "Judge",
		PouringCautions: []string{
			"Ask before the session who is sensitive to sulphites or must not have alcohol, and who is of legal age; have water and spittoons ready.",
			cautionTreated,
			cautionAlcohol,
			cautionAllergy,
			cautionGlass,
		},
		ResultTitle: "Panel: {question}", Difference: "The glasses differ (p {p}, {test}, {by}).",
		NoDifference: "No difference was found (p {p}, {test}, {by}); that does not show that the glasses are alike.", TrendMore: "More of the addition is put first (p {p}, Page's test, {by}).",
		TrendLess: "Less of the addition is put first (p {p}, Page's test, {by}).", NoTrend: "No trend along the dose was found (p {p}, Page's test, {by}).", Friedman: "Friedman's test",
		Durbin: "Durbin's test", SkillingsMack: "Skillings and Mack's test", Exact: "exact", Simulated: "by simulation",
		GlassesHow: "Doses are those when the panel was opened. Rank 1 is put first, so the lowest sum is the best. The share above others, and the mean score, with their {percent} % intervals.",
		Answers:    "Answers", RankSum: "Rank sum", Above: "Put above others, %", MeanScore: "Mean score", Interval: "{value} ({from} to {to})", Session: "Session", Judges: "Judges who count",
		Without: "Left out, had not handed in", First: "Put first of the glasses judged", Best: "Dose put first by the curve", NoBest: "none can be told from these answers", BestWithin: "{percent} % interval: {range} mL per 100 mL of base",
		Pairs: "Glasses that differ", NoPairs: "none that can be told apart", LeastDiff: "Least significant difference of rank sums", Agreement: "Agreement of the judges",
		AgreementIs: "Kendall's W = {w} (0: none, 1: all of one mind)", Missed: "What so few judges miss",
		MissedAll:     "Even full agreement on one glass would be found less than {power} % of the time.",
		NoResult:      "The panel of {when} has no result: {why}.",
		MissedBelow:   "One glass stands out {power} % of the time only if about {share} of 100 people would put it above any other; a weaker preference is likely to be missed.",
		ResultCaution: "These judges' answers on this day. Whether buyers think alike was not asked, and the colour is no licence to blend.",
	}
}
