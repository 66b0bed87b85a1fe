package api

import (
	"cmp"

	"pourpath/api/calc"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// InLanguage is the part of a request that says in which language a picture is wanted.
type InLanguage struct {
	Language string `query:"language" doc:"Of the picture's own words: en, fr or es; en where left out. What the service found is in English."`
}

// texts are the words of the picture.
func (in InLanguage) texts() (*reports.Texts, error) {
	texts, ok := reports.In(cmp.Or(in.Language, "en"))
	if !ok {
		return nil, noLanguage(in.Language)
	}
	return &texts, nil
}

// texts are the words of the document.
func (as AsSheet) texts() (*sheet.Texts, error) {
	texts, ok := sheet.In(cmp.Or(as.Language, "en"))
	if !ok {
		return nil, noLanguage(as.Language)
	}
	return &texts, nil
}

func noLanguage(language string) error {
	return calc.Refuse(calc.Fault{Message: "language: want en, fr or es", Value: language})
}
