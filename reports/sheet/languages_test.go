package sheet_test

import (
	"io"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pourpath/reports/sheet"
)

// translations are the languages beside English.
func translations() map[string]sheet.Texts {
	return map[string]sheet.Texts{"fr-FR": sheet.French(), "es-ES": sheet.Spanish()}
}

var place = regexp.MustCompile(`\{\w+\}`)

func placesOf(text string) []string {
	found := place.FindAllString(text, -1)
	slices.Sort(found)
	return found
}

// eachText goes through the texts of two languages side by side.
func eachText(t *testing.T, at string, got, want reflect.Value, is func(at, got, want string)) {
	t.Helper()
	switch want.Kind() {
	case reflect.Struct:
		for i := range want.NumField() {
			if want.Type().Field(i).Name == "Figures" {
				continue // package reports looks at these itself
			}
			eachText(t, at+"."+want.Type().Field(i).Name, got.Field(i), want.Field(i), is)
		}
	case reflect.Map:
		for _, key := range want.MapKeys() {
			text := got.MapIndex(key)
			if !text.IsValid() {
				t.Errorf("%s has no %s", at, key)
				continue
			}
			eachText(t, at+" "+key.String(), text, want.MapIndex(key), is)
		}
	case reflect.Slice:
		if got.Len() != want.Len() {
			t.Errorf("%s has %d texts: want %d", at, got.Len(), want.Len())
			return
		}
		for i := range want.Len() {
			eachText(t, at, got.Index(i), want.Index(i), is)
		}
	default:
		is(at, got.String(), want.String())
	}
}

// Every text is there, with the places of the English one, and is not the English
// one, but for words that the languages share.
func TestTranslationsAreWhole(t *testing.T) {
	shared := []string{"Base", "Base: {wine}", "10 mm", "≤ {l}", "Plan", "Lot", "Lot {lot}", "Dose", "Dose, mL", "Volume, mL", "Volumes", "Dilution", "Instrument", "Stock", "Base, L", "no", "{name}, version {version}", "{day} {month} {year}", "{day} {month}", "{date}, {time}", "1", "{decided}: {reason}", "CO2 {value} mg/L"}
	for lang, texts := range translations() {
		if err := texts.Check(); err != nil {
			t.Error(err)
		}
		if texts.Lang != lang || texts.Figures.Lang != lang || texts.Figures.DecimalMark != "," {
			t.Errorf("%s: language %q, decimal mark %q", lang, texts.Lang, texts.Figures.DecimalMark)
		}
		eachText(t, lang, reflect.ValueOf(texts), reflect.ValueOf(sheet.English()), func(at, got, want string) {
			switch plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(got); {
			case strings.TrimSpace(got) == "":
				t.Errorf("%s is empty", at)
			case !slices.Equal(placesOf(got), placesOf(want)):
				t.Errorf("%s: %q has the places %v: want %v", at, got, placesOf(got), placesOf(want))
			case plain == want && !slices.Contains(shared, want):
				t.Errorf("%s: %q is the English text", at, got)
			}
		})
	}
}

// A line is not broken before a colon or a percent sign, nor between a number and
// its unit.
func TestTranslationsKeepTogether(t *testing.T) {
	for lang, breaks := range map[string]*regexp.Regexp{
		"fr-FR": regexp.MustCompile(` [:;?!%»]|« |[\d}] (mL|L|mm|nm)(?:[^\w*]|$)|'`),
		"es-ES": regexp.MustCompile(` [:;?!%»]|« |[\d}] (mL|L|mm|nm)(?:[^\w*]|$)`),
	} {
		eachText(t, lang, reflect.ValueOf(translations()[lang]), reflect.ValueOf(sheet.English()), func(at, got, _ string) {
			if found := breaks.FindString(got); found != "" {
				t.Errorf("%s: %q has %q", at, got, found)
			}
		})
	}
}

// What is kept together in a text is so on paper.
func TestLinesOfTranslations(t *testing.T) {
	begins := regexp.MustCompile(`(?m)^[ \x{a0}\x{202f}]*[:»]`) // a semicolon may follow an italic, which is a text by itself
	narrow := bench(t)
	narrow.Warnings = nil
	for room := range 120 { // the colon is at the end of the line at one of these
		narrow.Warnings = append(narrow.Warnings, strings.Repeat("i", 150+room)+" mot\u202f: deux")
	}
	for name, p := range map[string]printable{"bench": narrow, "order": order(t), "statement": statement(t)} {
		for i, page := range pagesOf(t, pdfOf(t, translated{p, sheet.French()})) {
			if found := begins.FindString(page); found != "" {
				t.Errorf("%s: a line of page %d begins with %q", name, i+1, found)
			}
		}
	}
}

// translated is a document in another language.
type translated struct {
	printable
	texts sheet.Texts
}

func (d translated) WritePDF(w io.Writer, _ *sheet.Texts) error {
	return d.printable.WritePDF(w, &d.texts)
}

func (d translated) WriteHTML(w io.Writer, _ *sheet.Texts, stylesheet string) error {
	return d.printable.WriteHTML(w, &d.texts, stylesheet)
}

// Both conventions stand beside each other in every language, and numbers have its
// decimal mark. 100 * 9.4 / 109.4 is 8.6.
func TestTranslatedDocumentsSay(t *testing.T) {
	for lang, want := range map[string][]string{
		"fr-FR": {"Ordre de travail", "9,4 ± 0,2 mL pour 100 mL de base · 8,6 % de l’assemblage", "D’APRÈS LA BASE, cet ordre : 2000 L de base", "Le dioxyde de carbone stagne"},
		"es-ES": {"Orden de trabajo", "9,4 ± 0,2 mL por 100 mL de base · 8,6 % de la mezcla", "SEGÚN LA BASE, esta orden: 2000 L de base", "El dióxido de carbono se acumula"},
	} {
		d := translated{order(t), translations()[lang]}
		pdf, page := flat(strings.Join(pagesOf(t, pdfOf(t, d)), "\n")), flat(textOf(t, htmlOf(t, d)))
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: the page of HTML does not say %q", lang, w)
			}
			if !strings.Contains(pdf, w) {
				t.Errorf("%s: the PDF does not say %q", lang, w)
			}
		}
		if strings.Contains(pdf, "□") {
			t.Errorf("%s: the font lacks a character", lang)
		}
	}
}
