package sheet

import (
	"fmt"
	"strings"

	"pourpath/reports"
)

// Texts are all words of the documents in one language. A {name} in a text is
// where a value goes. English returns those that a translation begins from; each
// text of it must be there in the other language, with the same values.
type Texts struct {
	Lang string // language tag of the page, such as "en-GB"
	// Figures are the words of pictures, how numbers are written, and how messages of the
	// service are said in the language.
	Figures reports.Texts

	Page          string
	Conditions    string // of light and depth
	SwatchDepths  string
	SwatchDepth   string
	Convention    string
	Uncertainties string
	Print         string // is no colour reference
	Clipped       string
	Mind          string // heading of what this document has to be told of
	Cautions      string // heading of the standing cautions

	WinesTitle, Base, Addition, AdditionNo, Held, TwoAdditions, Target string
	Lot, Tolerance                                                     string
	DoseLine, Range, PerBase                                           string
	DeedBase, DeedAddition, DeedOut, DeedBack                          string
	Yes, No                                                            string
	Field                                                              string // said of an empty field, for those who hear it
	Box                                                                string // the same of a box to tick
	SwatchIs, SwatchOut                                                string

	Columns ColumnTexts
	Bench   BenchTexts
	Trial   TrialTexts
	Order   OrderTexts

	Statement StatementTexts
	Told      ToldTexts
	Panel     PanelTexts
}

// ColumnTexts are the heads of columns, with their units.
type ColumnTexts struct {
	Done, No, Time, Glass, What, WhatHow, Wine, Volume, Tool, Total, PlannedTotal, Poured string
	Dose, Share, At10MM, InGlass, Target, Minutes, Note, Initials, Who, Score             string
	Capacity, Graduation, Limit, Source, Unexplained                                      string
	Vessel, USGal, ImpGal, Stock, OnHand, Needed, LeftOver, Short                         string
	Step, PlannedL, AsDone, BaseL, FirstL, HeldL, FirstDone, TrimDone                     string
	Sample, Look                                                                          string
}

// BenchTexts are the words of the bench sheet.
type BenchTexts struct {
	Name, BaseInGlass, Tools, Plan, PlanHow, Record, RecordHow, Notes string
	RecordFields, Cautions                                            []string
}

// TrialTexts are the words of the trial report.
type TrialTexts struct {
	Name, Lead, NoChoice, Log, LogHow, Undone                                                                                    string
	Against, AgainstHow, Measured, Predicted, Learned, Outlier, Repeat                                                           string
	Notes, Choice, ChosenDose, Interval, Nearest, NearestInterval, PerLitre, PerLitreIs, FromTarget, TastedIn, ChosenBy, Reasons string
	Final, FinalNot, FinalDone, FinalPart, TodoPour, TodoRead, TodoCold, TodoLook                                                string
	PouredFresh, Read, ReadFromTarget, KeptCold, LookedAgain, Seen, CheckedBy, ScaleUp                                           string
	Cautions                                                                                                                     []string
}

// OrderTexts are the words of the work order.
type OrderTexts struct {
	Name, Lead, VolumesTitle, Dose, Blend, EachOf, Total, VesselNo                    string
	BaseLed, BlendLed, NotBaseLed, NotBlendLed                                        string
	Rounded, RoundedTo, StepBase, StepAddition, RoundingError, RoundingDE             string
	Gauge, GaugeIs, Heel, HeelIs, WithHeel, Loss, LossIs, AtMost                      string
	Steps, StepsHow, StepGauge, StepFirst, StepMix, StepSample, StepMeasure, StepTrim string
	StepAgain, StepCold, EachVessel, SamplesTitle, SamplesHow                         string
	Trim, TrimHow, TankHas, TrimWith, Passed, BringBack, MayBePassed, Signed          string
	NotMixed, TrimAim, GaugeDE, GaugeSteps, BaseInterval                              string
	Samples, SampleFields, TrimFields, Signatures, Cautions                           []string
}

// PanelTexts are the words of a panel's documents and of its result.
type PanelTexts struct {
	Labels, LabelsHow, LabelUnder, LabelsFoot                                                                             string
	Sheet, Judge, SheetFoot                                                                                               string
	RankHow, NoTies, WithTies, RankPreferred, RankDeepest, RankClosest                                                    string
	ScoreHow, ScorePreferred, ScoreDeepest, ScoreClosest                                                                  string
	Served, Code, Rank, Score, ViewingTitle                                                                               string
	Viewing, SheetCautions, SheetFields                                                                                   []string
	Pouring, NotForJudges, PouringHow, PouringMake, MakeBase, MakeAddition, WhichIsWhich, Orders, JudgesServed, JudgeHead string
	PouringCautions                                                                                                       []string
	ResultTitle, Difference, NoDifference, TrendMore, TrendLess, NoTrend                                                  string
	Friedman, Durbin, SkillingsMack, Exact, Simulated                                                                     string
	GlassesHow, Answers, RankSum, Above, MeanScore, Interval                                                              string
	Session, Judges, Without, First, Best, NoBest, BestWithin, Pairs, NoPairs, LeastDiff                                  string
	Agreement, AgreementIs, Missed, MissedAll, MissedBelow, ResultCaution, NoResult                                       string
}

// fill puts values in their places; they come in pairs of name and value.
func (t *Texts) fill(text string, pairs ...string) string {
	return strings.TrimSpace(reports.Fill(text, pairs...))
}

// Check returns an error that names the first text that is missing or has other
// values than the English one.
func (t *Texts) Check() error {
	if err := reports.Complete(*t, English()); err != nil {
		return fmt.Errorf("sheet: %w", err)
	}
	return nil
}
