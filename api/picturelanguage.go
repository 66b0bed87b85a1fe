package api

import (
	"cmp"

	"pourpath/api/calc"
	"pourpath/api/tongue"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// InLanguage is the part of a request that says in which language a picture is wanted.
type InLanguage struct {
	Language string `query:"language" doc:"Of what is written in the picture: en, fr or es; en where left out."`
}

// texts are the words of the picture.
func (in InLanguage) texts() (*reports.Texts, error) {
	code := cmp.Or(in.Language, "en")
	texts, ok := reports.In(code)
	if !ok {
		return nil, noLanguage(in.Language)
	}
	texts.Say = sayIn(code)
	return &texts, nil
}

// texts are the words of the document.
func (as AsSheet) texts() (*sheet.Texts, error) {
	code := cmp.Or(as.Language, "en")
	texts, ok := sheet.In(code)
	if !ok {
		return nil, noLanguage(as.Language)
	}
	texts.Figures.Say = sayIn(code)
	return &texts, nil
}

// sayIn puts messages of the service into a language; nil, which leaves them as they
// are, where they are in it already.
func sayIn(code string) func(english string) (string, bool) {
	if own, ok := tongue.In(code); ok {
		return own.Say
	}
	return nil
}

func noLanguage(language string) error {
	return calc.Refuse(calc.Fault{Message: "language: want en, fr or es", Value: language})
}
