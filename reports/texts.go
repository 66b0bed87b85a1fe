package reports

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"pourpath/colour/cie"
	"pourpath/colour/control"
)

// Texts are all words of the figures in one language. A {name} in a text is where a
// value goes. English returns those that a translation begins from; each text of it
// must be there in the other language, with the same values.
type Texts struct {
	Lang string // language tag, such as "en-GB"
	Numbers

	// Say puts a finished message of the service into the language and reports whether
	// it could; nil, and what it cannot, leaves the message in English.
	Say func(english string) (string, bool)

	Shared     SharedTexts
	Ladder     LadderTexts
	Chart      ChartTexts
	Plane      PlaneTexts
	Tolerance  ToleranceTexts
	Preference PreferenceTexts
	Drift      DriftTexts
	Spectrum   SpectrumTexts
	History    HistoryTexts

	// Rules are what the rules of charts are called.
	Rules map[control.Rule]string
	// Charted and Parts are what quantities are called by their code: on a chart of
	// lots, where the name stands within a sentence, and as a part of a specification,
	// where it stands by itself.
	Charted, Parts map[string]string
}

// SharedTexts are words of several figures.
type SharedTexts struct {
	View                      string // what a colour holds under
	Conditions                string
	GreenerRedder             string // after a*, along its axis
	Yellower, Bluer           string // beside b*
	Range, From, UpTo, FromTo string
	And                       string // between the last two of a list, with its blanks
	Colon, Semicolon          string // with their blanks
	LotNo, LotNamed           string // a lot in a sentence
	LotsInTime                string // title of an axis
	SpecFarOff                string
	LeftOut                   string // in a legend
	Tolerance, Reference      string // names of a line or a mark
}

// LadderTexts are the words of a dosing ladder, and of what a caller says of its base.
type LadderTexts struct {
	Title, Base, Addition                                                     string
	HeldWine, WineNo                                                          string // added to the base's name, with its blank; a wine without a name
	Nearest, NearestApart, Interval, Acceptable, NoneAcceptable               string
	Unexplained, UnexplainedBefore                                            string
	ViewSwatches, Convention, Method, Band                                    string
	NoOutline, OutlineNearest, OutlineOwn, OutlineOwnFar                      string
	Print, SwatchesPrint, Clipped                                             string
	Panels                                                                    string // what is where, for those who hear it
	Path, Lightness, FromTarget, FromRung, FromLowest, NotDrawn, Blank        string
	DoseAxis, ShareAxis, ToleranceAt, Percent, Percent95                      string
	KeyPath, KeyRecalibrated, KeyBefore, KeyBand, KeyRung, KeySome            string
	KeyMeasured, KeyLeft, KeyNearest, KeyTarget, KeyAcceptable, KeyNominal    string
	Deep, DosePer100, ShareOfBlend, SwatchBase, SwatchNearest, SwatchOfTarget string
}

// ChartTexts are the words of charts of lots, and of what a caller says of their
// series.
type ChartTexts struct {
	Title, TitleOf, Colour, Together, Of, OfSpec, OfLots                   string
	NewestDrawn, PartDrawn, FromAll, FromFirstOf                           string // which lots are drawn, and set the limits
	AxisNumber, AxisNumberName                                             string
	KeyLot, KeyBeyond, KeyPattern, KeyMakes, KeyNumbers                    string
	NewestTold, SignalAt, SignalOn, LeftOut, LeftOutMore                   string
	BasePeriod, Mean, LowerAction, UpperAction, LowerWarning, UpperWarning string
	SpecLower, SpecUpper, MeanRange, Centre, Action, Median                string
	SingleLots, MovingRange, RunningAverage, TogetherOf, RunPlot           string
	SingleSaid, AverageSaid, TogetherSaid                                  string
	Single, Average, T2                                                    SignalTexts
	LotsOne, LotsMany, Series, SeriesNamed, SeriesOut, SeriesNamedOut      string
	FromEarlier, FromFirst, FromThese                                      string
	Conditions, PlaneConditions                                            string            // with what the colours were made from
	Sources                                                                map[string]string // the same by their code
	Outside, LimitsFrom, LimitsTo, LimitsBoth                              string
	IndividualsMethod, AverageMethod, TogetherMethod                       string
}

// SignalTexts say how many signals there are in a chart.
type SignalTexts struct{ None, One, Many string }

// PlaneTexts are the words of lots in the a*b* plane.
type PlaneTexts struct {
	Title, Newest, NewestNamed, NewestU, NewestNamedU                       string
	KeyNewest, KeyNewestBars, KeyLot, KeyBefore, KeyOffPath                 string
	Method, Drawn, NotDrawn, Panels, Path, Lightness, Difference, Spec      string
	DeltaE, Weights, LimitsA, LimitsB, LimitsAB, Ellipsoid, NoMeet, NoReach string
}

// ToleranceTexts are the words of a lot's place in its tolerance.
type ToleranceTexts struct {
	Title, KeyLot, KeyLotBars, KeyAllowed, KeyLimit, KeyWarning, KeyScales string
	Below, Above, BeyondWarning, Within, Probability, Interval, Part       string
	Against                                                                string // what a caller says of the view and the specification
}

// PreferenceTexts are the words of what a panel prefers.
type PreferenceTexts struct {
	Title, Shares, Glass, Preferred, NoDose, View, Method      string
	Path, Along, DoseAxis                                      string
	KeyGlass, KeyPath, KeyInterval, KeyCurve, KeyEven, KeyBest string
}

// DriftTexts are the words of how lots drift, and of what a caller says of their
// storage.
type DriftTexts struct {
	Title, TitleOf, Storage, StorageUntold, OneLotIn         string
	Bottling                                                 string // what days are counted from
	Absorbance, Days, KeyLot, KeyOneMore, KeyReading, KeyFar string
	Said, Band, Far, Method                                  string
}

// SpectrumTexts are the words of an absorbance spectrum.
type SpectrumTexts struct {
	Title, TitleOf, Absorbance, Wavelength, KeyBand, KeyRead, KeyScan, KeyMarks string
	ReadingsCurve, ReadingsHow, ScanCurve, ScanHow, ColourCurve, ColourHow      string
	BlendCurve, BlendHow, Said, At, Method                                      string
}

// HistoryTexts are the words of readings over time.
type HistoryTexts struct {
	Title, TitleOf, Conditions, Newest                   string
	Intensity, Tint, When, KeyReading, KeySuperseded     string
	One, Many, Superseded, LeftOut, Archived, Colourless string
	Method                                               string
	Day, Month                                           string // layouts of package time
}

// In returns the texts in a language by the code of ISO 639-1, and whether there are
// any. The caller owns them.
func In(code string) (Texts, bool) {
	for known, texts := range map[string]func() Texts{"en": English, "fr": French, "es": Spanish} {
		if known == code {
			return texts(), true
		}
	}
	return Texts{}, false
}

var english = sync.OnceValue(func() *Texts {
	t := English()
	return &t
})

// InEnglish is texts, or the English ones where there are none.
func InEnglish(texts *Texts) *Texts {
	if texts == nil {
		return english()
	}
	return texts
}

// Said is a message of the service in the language, or in English where it cannot be
// had.
func (t *Texts) Said(message string) string {
	if t.Say != nil {
		if said, ok := t.Say(message); ok {
			return said
		}
	}
	return message
}

// view is what a colour holds under, as a sentence.
func (t *Texts) view(v cie.View) string { return t.viewed(t.Shared.View, v) }

// viewed is a sentence of what a colour holds under, with further values.
func (t *Texts) viewed(words string, v cie.View, pairs ...string) string {
	return Fill(words, append(pairs, "illuminant", string(v.Illuminant), "observer", string(v.Observer), "mm", t.plain(v.DepthMM))...)
}

// conditions are a caller's, as a sentence.
func (t *Texts) conditions(words string) string {
	return Fill(t.Shared.Conditions, "conditions", strings.TrimSuffix(words, "."))
}

// whole writes a count.
func (t *Texts) whole(n int) string { return t.Fixed(float64(n), 0) }

// list joins names.
func (t *Texts) list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + t.Shared.And + names[last]
}

// Fill puts values in the places of a text; they come in pairs of name and value.
func Fill(text string, pairs ...string) string {
	pairs = slices.Clone(pairs)
	for i := 0; i < len(pairs); i += 2 {
		pairs[i] = "{" + pairs[i] + "}"
	}
	return strings.NewReplacer(pairs...).Replace(text)
}

// Check returns an error that names the first text that is missing or has other
// values than the English one.
func (t *Texts) Check() error {
	if err := Complete(*t, English()); err != nil {
		return fmt.Errorf("reports: %w", err)
	}
	return nil
}

// Complete holds the texts of a language against the English ones, of the same type,
// and returns an error that names the first that is missing or has other values.
// Marks of numbers and functions are not looked at.
func Complete(got, english any) error {
	return complete("", reflect.ValueOf(got), reflect.ValueOf(english))
}

func complete(place string, got, want reflect.Value) error {
	switch want.Kind() {
	case reflect.Func:
	case reflect.Struct:
		for i := range want.NumField() {
			if want.Type().Field(i).Type == reflect.TypeFor[Numbers]() {
				if got.Field(i).FieldByName("DecimalMark").String() == "" {
					return fmt.Errorf("texts: %s is missing", strings.TrimPrefix(place+".DecimalMark", "."))
				}
				continue
			}
			if err := complete(place+"."+want.Type().Field(i).Name, got.Field(i), want.Field(i)); err != nil {
				return err
			}
		}
	case reflect.Map:
		for _, key := range want.MapKeys() {
			text := got.MapIndex(key)
			if !text.IsValid() {
				return fmt.Errorf("texts: %s %v is missing", place[1:], key)
			}
			if err := complete(fmt.Sprintf("%s %v", place, key), text, want.MapIndex(key)); err != nil {
				return err
			}
		}
	case reflect.Slice:
		if got.Len() == 0 {
			return fmt.Errorf("texts: %s is missing", place[1:])
		}
		for i := range got.Len() {
			if strings.TrimSpace(got.Index(i).String()) == "" {
				return fmt.Errorf("texts: %s %d is missing", place[1:], i+1)
			}
		}
	default:
		text, english := got.String(), want.String()
		if strings.TrimSpace(text) == "" {
			return fmt.Errorf("texts: %s is missing; in English %q", place[1:], english)
		}
		if has, wants := places(text), places(english); !slices.Equal(has, wants) {
			return fmt.Errorf("texts: %s has the values %v: want %v, as in %q", place[1:], has, wants, english)
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
