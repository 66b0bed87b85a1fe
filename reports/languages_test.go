package reports_test

import (
	"bytes"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/reports"
)

// translations are the languages beside English.
func translations() map[string]reports.Texts {
	return map[string]reports.Texts{"fr": reports.French(), "es": reports.Spanish()}
}

// inLanguage is a figure with other words.
func inLanguage(t testing.TB, f reports.Figure, texts *reports.Texts) reports.Figure {
	t.Helper()
	v := reflect.New(reflect.TypeOf(f)).Elem()
	v.Set(reflect.ValueOf(f))
	v.FieldByName("Texts").Set(reflect.ValueOf(texts))
	out, ok := v.Interface().(reports.Figure)
	if !ok {
		t.Fatalf("%T is no figure", f)
	}
	return out
}

// everyFigure is each kind of figure, as its golden file shows it.
func everyFigure(t testing.TB) map[string]reports.Figure {
	weighed, single := planeFigure(40), historyFigure()
	weighed.Region.Weights = difference.Weights{KL: 2, KC: 1, KH: 1}
	single.Points = single.Points[:1]
	single.Title = ""
	view := cie.OIV()
	bare := individualsFigure(t, 12)
	bare.Title, bare.Lower, bare.Upper = "", nil, ptr(30.0)
	return map[string]reports.Figure{
		"ladder": realistic(t), "chart_individuals": individualsFigure(t, 40), "chart_ewma": ewmaFigure(t, 40), "chart_t2": t2Figure(t, 40), "chart_run": runFigure(t, 40),
		"lot_plane": planeFigure(40), "tolerance": toleranceFigure(), "drift": driftFigure(), "spectrum": readSpectrum(t), "history": historyFigure(), "preference": preferenceFigure(t, false), "preference_none": preferenceFigure(t, true),
		"ladder_empty": reports.LadderFigure{View: view}, "chart_bare": bare, "lot_plane_weighed": weighed, "spectrum_scan": scannedSpectrum(t), "history_single": single,
	}
}

// goldenInLanguages are the figures of which a picture was looked at in each language.
var goldenInLanguages = []string{"ladder", "chart_individuals", "chart_ewma", "chart_t2", "chart_run", "lot_plane", "tolerance", "drift", "spectrum", "history", "preference"}

// The pictures were looked at by eye.
func TestGoldenInLanguages(t *testing.T) {
	figures := everyFigure(t)
	for code, texts := range translations() {
		for _, name := range goldenInLanguages {
			t.Run(name+"_"+code, func(t *testing.T) {
				golden(t, name+"_"+code, "svg", written(t, inLanguage(t, figures[name], &texts), (*reports.Drawing).WriteSVG))
			})
		}
	}
}

// eachText goes through all texts of a value of Texts.
func eachText(v reflect.Value, at string, is func(at, text string)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			eachText(v.Field(i), at+"."+v.Type().Field(i).Name, is)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			eachText(v.MapIndex(key), at+" "+key.String(), is)
		}
	case reflect.String:
		is(at, v.String())
	}
}

func textsOf(x reports.Texts) map[string]string {
	out := map[string]string{}
	eachText(reflect.ValueOf(x), "", func(at, text string) { out[at] = text })
	return out
}

var value = regexp.MustCompile(`\{\w+\}`)

// Every text is there, with the places of the English one, and is not the English
// one, but for words that the languages share.
func TestTranslationsAreWhole(t *testing.T) {
	shared := []string{"", "L*", "a*", "b*", "C*", "h", "lot", "1 lot", "{count} lots", "base", "action", "centre", "Base: {wine}.", "Base : {wine}.", "A{nm} {value} ± {u}",
		"{share} %", "95 %", ": ", "; ", "{lots}.", "{part} (kL {l}, kC {c}, kH {h})", "{lot}: {rule}. {text}", "{panel}, {lot}: {rule}. {text}", "{quantity} {value}: {side}, allowed {allowed}.",
		"Conditions: {conditions}.", "{value} (95 %: {from} to {to})"}
	english := textsOf(reports.English())
	for code, texts := range translations() {
		if err := texts.Check(); err != nil {
			t.Error(err)
		}
		got := textsOf(texts)
		if !slices.Equal(slices.Sorted(maps.Keys(got)), slices.Sorted(maps.Keys(english))) {
			t.Errorf("%s has other texts than English", code)
		}
		for at, want := range english {
			plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ", " :", ":", " ;", ";").Replace(got[at])
			switch {
			case strings.HasPrefix(at, ".Numbers") || at == ".Lang":
				if got[at] == want {
					t.Errorf("%s: %s is %q, as in English", code, at, want)
				}
			case strings.TrimSpace(got[at]) == "":
				t.Errorf("%s: %s is empty", code, at)
			case !slices.Equal(sorted(value.FindAllString(got[at], -1)), sorted(value.FindAllString(want, -1))):
				t.Errorf("%s: %s: %q has other places than %q", code, at, got[at], want)
			case plain == want && !slices.Contains(shared, want):
				t.Errorf("%s: %s: %q is the English text", code, at, want)
			}
		}
	}
}

func sorted(list []string) []string { slices.Sort(list); return list }

func TestTextsThatLackAreNamed(t *testing.T) {
	for want, spoil := range map[string]func(*reports.Texts){
		"texts: Ladder.Title is missing":               func(x *reports.Texts) { x.Ladder.Title = " " },
		"texts: DecimalMark is missing":                func(x *reports.Texts) { x.DecimalMark = "" },
		"texts: Parts tint is missing":                 func(x *reports.Texts) { delete(x.Parts, "tint") },
		"texts: Drift.Far has the values []: want [co": func(x *reports.Texts) { x.Drift.Far = "loin" },
	} {
		x := reports.French()
		spoil(&x)
		if err := x.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
	if _, ok := reports.In("de"); ok {
		t.Error("there are texts in German")
	}
}

// A line is not broken before a colon or a percent sign, nor between a number and
// its unit.
func TestTranslationsKeepTogether(t *testing.T) {
	for code, breaks := range map[string]*regexp.Regexp{
		"fr": regexp.MustCompile(`[^^] [:;?!%]|« |[\d}] (mL|L|mm|nm)(?:[^\w*]|$)|'|\d\.\d`),
		"es": regexp.MustCompile(`[^^] [:;?!%]|« |[\d}] (mL|L|mm|nm)(?:[^\w*]|$)|\d\.\d`),
	} {
		for at, text := range textsOf(translations()[code]) {
			if found := breaks.FindString(text); found != "" {
				t.Errorf("%s: %s: %q has %q", code, at, text, found)
			}
		}
	}
}

// words are the words of a text, in small letters.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
}

// callersTexts are what a figure was given, messages of charts excepted.
func callersTexts(f reports.Figure) []string {
	var out []string
	var walk func(reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.String:
			out = append(out, v.String())
		case reflect.Struct:
			if strings.HasSuffix(v.Type().PkgPath(), "colour/control") {
				return
			}
			for i := range v.NumField() {
				if v.Type().Field(i).Name != "Texts" && v.Type().Field(i).IsExported() {
					walk(v.Field(i))
				}
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem())
			}
		}
	}
	walk(reflect.ValueOf(f))
	return out
}

var (
	heard   = regexp.MustCompile(`(?s)<(title|desc)>(.*?)</`)
	pointed = regexp.MustCompile(`\d\.\d`)
)

// No picture in another language has a word that English alone has, nor a decimal
// point; messages of the service come by Say.
func TestNoEnglishInOtherLanguages(t *testing.T) {
	english := map[string]bool{}
	eachText(reflect.ValueOf(reports.English()), "", func(_, text string) {
		for _, w := range words(value.ReplaceAllString(text, " ")) {
			english[w] = len([]rune(w)) > 2
		}
	})
	for code, texts := range translations() {
		own := map[string]bool{}
		eachText(reflect.ValueOf(texts), "", func(_, text string) {
			for _, w := range words(text) {
				own[w] = true
			}
		})
		said := 0
		texts.Say = func(string) (string, bool) { said++; return "⟨⟩", true }
		for name, f := range everyFigure(t) {
			given, callers := callersTexts(f), map[string]bool{}
			for _, w := range words(strings.Join(given, " ")) {
				callers[w] = true
			}
			svg := written(t, inLanguage(t, f, &texts), (*reports.Drawing).WriteSVG)
			shown := svgText(t, svg)
			for _, m := range heard.FindAllSubmatch(svg, -1) {
				shown = append(shown, string(m[2]))
			}
			for _, text := range shown {
				for _, w := range words(text) {
					if english[w] && !own[w] && !callers[w] {
						t.Errorf("%s in %s: %q has the English %q", name, code, text, w)
					}
				}
				for _, own := range given {
					text = strings.ReplaceAll(text, own, "")
				}
				if pointed.MatchString(text) {
					t.Errorf("%s in %s: %q has a decimal point", name, code, text)
				}
			}
		}
		if said == 0 {
			t.Errorf("%s: no message came by Say", code)
		}
	}
}

var textBox = regexp.MustCompile(`<text x="([^"]+)" y="([^"]+)" textLength="([^"]+)"`)

// Longer words have room: no text leaves the page, and none lies over another of its
// line, in any language.
func TestTextsHaveRoom(t *testing.T) {
	all := translations()
	all["en"] = reports.English()
	for code, texts := range all {
		for name, f := range everyFigure(t) {
			svg := written(t, inLanguage(t, f, &texts), (*reports.Drawing).WriteSVG)
			wide := parse(t, pageSize.FindSubmatch(svg)[1])
			shown := svgText(t, svg)
			type box struct{ from, to, y float64 }
			var boxes []box
			for i, m := range textBox.FindAllSubmatch(svg, -1) {
				b := box{parse(t, m[1]), parse(t, m[1]) + parse(t, m[3]), parse(t, m[2])}
				if b.from < 2 || b.to > wide-2 {
					t.Errorf("%s in %s: %q goes from %.0f to %.0f of %.0f", name, code, shown[i], b.from, b.to, wide)
				}
				for k, other := range boxes {
					if max(b.y-other.y, other.y-b.y) < 2 && b.from < other.to-0.5 && other.from < b.to-0.5 {
						t.Errorf("%s in %s: %q lies over %q", name, code, shown[i], shown[k])
					}
				}
				boxes = append(boxes, b)
			}
			if !bytes.Contains(svg, []byte("<text")) || len(boxes) != len(shown) {
				t.Fatalf("%s: %d texts have a place, of %d", name, len(boxes), len(shown))
			}
		}
	}
}
