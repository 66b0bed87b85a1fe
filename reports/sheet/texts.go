package sheet

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// Texts are all words of the documents in one language. A {name} in a text is
// where a value goes. English returns those that a translation begins from; each
// text of it must be there in the other language, with the same values.
type Texts struct {
	Lang        string // language tag of the page, such as "en-GB"
	DecimalMark string // "." or ","

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
	Labels, LabelsHow, LabelUnder, LabelsFoot                                        string
	Sheet, Judge, SheetFoot                                                          string
	RankHow, NoTies, WithTies, RankPreferred, RankDeepest, RankClosest               string
	ScoreHow, ScorePreferred, ScoreDeepest, ScoreClosest                             string
	Served, Code, Rank, Score, ViewingTitle                                          string
	Viewing, SheetCautions, SheetFields                                              []string
	Pouring, NotForJudges, PouringHow, WhichIsWhich, Orders, JudgesServed, JudgeHead string
	PouringCautions                                                                  []string
	ResultTitle, Difference, NoDifference, TrendMore, TrendLess, NoTrend             string
	Friedman, Durbin, SkillingsMack, Exact, Simulated                                string
	GlassesHow, Answers, RankSum, Above, MeanScore, Interval                         string
	Session, Judges, Without, Best, NoBest, BestWithin, Pairs, NoPairs, LeastDiff    string
	Agreement, AgreementIs, Missed, MissedAll, MissedBelow, ResultCaution            string
}

// fill puts values in their places; they come in pairs of name and value.
func (t *Texts) fill(text string, pairs ...string) string {
	for i := 0; i < len(pairs); i += 2 {
		pairs[i] = "{" + pairs[i] + "}"
	}
	return strings.TrimSpace(strings.NewReplacer(pairs...).Replace(text))
}

// Check returns an error that names the first text that is missing or has other
// values than the English one.
func (t *Texts) Check() error {
	english := English()
	return compare("", reflect.ValueOf(*t), reflect.ValueOf(english))
}

func compare(place string, got, want reflect.Value) error {
	switch want.Kind() {
	case reflect.Struct:
		for i := range want.NumField() {
			if err := compare(place+"."+want.Type().Field(i).Name, got.Field(i), want.Field(i)); err != nil {
				return err
			}
		}
	case reflect.Slice:
		if got.Len() == 0 {
			return fmt.Errorf("sheet: texts: %s is missing", place[1:])
		}
		for i := range got.Len() {
			if strings.TrimSpace(got.Index(i).String()) == "" {
				return fmt.Errorf("sheet: texts: %s %d is missing", place[1:], i+1)
			}
		}
	default:
		text, english := got.String(), want.String()
		if strings.TrimSpace(text) == "" {
			return fmt.Errorf("sheet: texts: %s is missing; in English %q", place[1:], english)
		}
		if has, wants := places(text), places(english); !slices.Equal(has, wants) {
			return fmt.Errorf("sheet: texts: %s has the values %v: want %v, as in %q", place[1:], has, wants, english)
		}
	}
	return nil
}

// places are the {name} of a text, sorted.
func places(text string) []string {
	var found []string
	for {
		_, rest, ok := strings.Cut(text, "{")
		if !ok {
			break
		}
		name, after, ok := strings.Cut(rest, "}")
		if !ok {
			break
		}
		found = append(found, name)
		text = after
	}
	slices.Sort(found)
	return slices.Compact(found)
}
