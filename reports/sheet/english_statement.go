package sheet

// StatementTexts are the words of the statement of conformity.
type StatementTexts struct {
	Name, Title, DraftTitle, Draft, PlainPass, PlainFail, Note, Decision     string
	Pass, Fail, Inconclusive, SimplePass, SimpleFail, Above, Below           string
	Uncertainties, Register, PlaceTitle, SettleTitle                         string
	CheckOverdue, CheckFailed, CheckUnknown                                  string
	RuleTitle, GuardedRule, SimpleRule, MostUncertain                        string
	ResultTitle, Quantity, Value, K1, K2, Interval95, Lower, Upper           string
	Place, ProbabilityOf, NotLimited, Reference                              string
	BelowLimit, AboveLimit, BeyondWarning, WithinLimits                      string
	LotTitle, LotName, Wine, Bottled, Sample, Taken, State                   string
	SpecTitle, SpecName, SpecVersion, Valid, From, Until, ApprovedBy, Reads  string
	MethodTitle, Method, Instrument, Check, Found                            string
	StatePassed, StateOverdue, StateFailed, StateUnknown, LastChecked, DueBy string
	IssuedTitle, IssuedBy, Issued, Program, Number, Checksum, Verify         string
	ReadingsTitle, ReadSample, How, Read                                     string
	Cautions, Signatures                                                     []string
}

func englishStatement() StatementTexts {
	return StatementTexts{
		Name: "Statement of conformity", Title: "Lot {lot} · statement {number}",
		DraftTitle: "Lot {lot} · draft", Draft: "This is a draft: it was not issued and is not in the register of statements.",
		PlainPass: "Within spec at face value.", PlainFail: "Outside spec at face value.", Note: "Note", Decision: "Decided",
		Pass:         "Within spec with probability {p}.",
		Fail:         "Outside spec with probability {p}.",
		Inconclusive: "Cannot tell with this measurement: within spec with probability {p}.",
		SimplePass:   "Within spec at face value; the probability of being within is {p}.",
		SimpleFail:   "Outside spec at face value; the probability of being within is {p}.",
		Above:        "above {p}", Below: "below {p}",
		Uncertainties: "Standard uncertainty: k = 1; expanded uncertainty: k = 2, about 95 % where the quantity is normally distributed. CIE 1976 L*a*b*; ΔE00 is CIEDE2000.",
		Register:      "Statement {number} in the register · SHA-256 {checksum}",
		PlaceTitle:    "Where the lot lies in its tolerance", SettleTitle: "What would settle it",
		CheckOverdue: "The check of the instrument was overdue when the lot was read: check it, and read the lot again if the check fails.",
		CheckFailed:  "The instrument had failed its check when the lot was read: read the lot again with one that passes.",
		CheckUnknown: "No check of the instrument is recorded: check it with a reference, and read the lot again if the check fails.",
		RuleTitle:    "Decision rule",
		GuardedRule: "Guarded acceptance (JCGM 106:2012): the lot passes where its true colour meets all limits together with a probability of at least {accept}. " +
			"It fails where that probability is at most {risk} and a lot that just conforms would be measured this far outside with a probability of at most {risk}. In between this measurement cannot tell. " +
			"Accepted risk (max_risk): {risk}.",
		SimpleRule: "Simple acceptance (ILAC-G8): the lot passes where every result is within its limits at face value, edges included; the uncertainty is stated and does not decide. " +
			"A lot whose true colour is just outside a limit passes about as often as not.",
		MostUncertain: "Most of the uncertainty",
		ResultTitle:   "Result and limits", Quantity: "Quantity", Value: "Result", K1: "Uncertainty, k = 1", K2: "Uncertainty, k = 2",
		Interval95: "95 %: {from} to {to}", Lower: "Lower limit", Upper: "Upper limit", Place: "Place at face value", ProbabilityOf: "Probability of being within",
		NotLimited: "not limited", Reference: "Reference",
		BelowLimit: "BELOW the lower limit", AboveLimit: "ABOVE the upper limit", BeyondWarning: "within, beyond the warning limit", WithinLimits: "within",
		LotTitle: "Lot", LotName: "Lot", Wine: "Wine", Bottled: "Bottled", Sample: "Sample", Taken: "Read", State: "State of the wine",
		SpecTitle: "Specification", SpecName: "Specification", SpecVersion: "{name}, version {version}", Valid: "Valid", From: "from {from}", Until: "until {to}",
		ApprovedBy: "Approved by", Reads: "Expects",
		MethodTitle: "Method and instrument", Method: "Method", Instrument: "Instrument", Check: "Check of the instrument", Found: "What it found",
		StatePassed: "passed", StateOverdue: "OVERDUE", StateFailed: "FAILED", StateUnknown: "NOT RECORDED", LastChecked: "last checked {when}", DueBy: "due by {when}",
		IssuedTitle: "Issued", IssuedBy: "By", Issued: "On", Program: "Program", Number: "Number in the register", Checksum: "Checksum, SHA-256",
		Verify:        "The command 'pourpath verify' confirms it.",
		ReadingsTitle: "Readings", ReadSample: "Sample", How: "Cell and dilution", Read: "Read",
		Cautions: []string{
			"This statement is of colour alone, and no licence. It says nothing of safety, sulphur dioxide, alcohol or allergens, nor of whether the blend and what its label claims are lawful: those are for their own tests, local codes and licensed practice.",
			"It holds for the samples that were read, in the state and at the time stated. Colour changes in the bottle, with its oxygen, its sulphur dioxide and its storage.",
			cautionTreated, cautionAllergy,
		},
		Signatures: []string{"Issued by, date", "Released by, date"},
	}
}
