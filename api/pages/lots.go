package pages

import (
	"context"
	"net/http"
	"net/url"

	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// lotsView is the list of lots.
type lotsView struct {
	frame
	leaf[lotRow]
	Specs bool // there is a specification to begin lots with
}

// lotRow is one lot of the list.
type lotRow struct {
	ID, Name, Product string
	Bottled           moment
	Verdict           verdictMark
	Without           int // samples whose newest verdict is no pass, of those that are looked at
	Decision          string
	DecidedBy         string
	Shown             cie.Screen
}

// verdictMark is a verdict as a word and a mark; its word is empty where there is
// none.
type verdictMark struct {
	Word        string
	Probability digits
}

func markOf(v string, probability *float64) verdictMark {
	m := verdictMark{Word: v}
	if probability != nil {
		m.Probability = digits(reports.Probability(*probability))
	}
	return m
}

// lots answers with the lots, the newest first.
func (s *site) lots(r *http.Request) (document, error) {
	shown, err := leafOf(r.URL, func(l record.Lot) string { return l.ID },
		func(p record.Page) ([]record.Lot, error) { return s.config.Records.Lots(r.Context(), p) })
	if err != nil {
		return document{}, err
	}
	v := lotsView{frame: s.frame(r, "lots"), leaf: leaf[lotRow]{Older: shown.Older, Newer: shown.Newer}}
	for _, lot := range shown.Items {
		row, err := s.lotRowOf(r.Context(), lot)
		if err != nil {
			return document{}, err
		}
		v.Items = append(v.Items, row)
	}
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Limit: 1})
	v.Specs = len(specs) > 0
	if err != nil {
		return document{}, err
	}
	return s.render("lots.html", v)
}

// newestLooked is how many of a lot's newest verdicts the list looks at.
const newestLooked = 12

func (s *site) lotRowOf(ctx context.Context, lot record.Lot) (lotRow, error) {
	row := lotRow{ID: lot.ID, Name: lot.Name, Product: lot.Product}
	if lot.BottledAt != nil {
		row.Bottled = momentOf(*lot.BottledAt)
	}
	verdicts, err := s.config.Records.VerdictsOf(ctx, lot.ID, record.Page{Newest: true, Limit: newestLooked})
	if err != nil {
		return row, err
	}
	seen := map[string]bool{}
	for i, verdict := range verdicts {
		if i == 0 {
			row.Verdict, row.Shown = markOf(verdict.Verdict, verdict.Probability), figuresOf(&verdict.Colour).Shown
		}
		if !seen[verdict.SampleID] && verdict.Verdict != "pass" {
			row.Without++
		}
		seen[verdict.SampleID] = true
	}
	d, err := s.config.Records.DecisionOf(ctx, lot.ID)
	if d != nil {
		row.Decision, row.DecidedBy = d.Decision, d.By
	}
	return row, err
}

// lotFields are the form of a new lot.
var lotFields = []asked{
	{sentField: sentField{"name", "/name", aText}},
	{sentField: sentField{"lot_spec", "/spec", aText}, as: askPick, help: true},
	{sentField: sentField{"product", "/product", aText}, like: true},
	{sentField: sentField{"bottled_at", "/bottled_at", aText}, like: true, help: true},
	{sentField: sentField{"wine", "/wine", aText}, as: askPick},
	{sentField: sentField{"storage", "/storage", aText}, like: true, help: true},
	{sentField: sentField{"notes", "/notes", aText}, as: askArea},
}

// newLotView is the form of a new lot.
type newLotView struct {
	frame
	Key    string
	Group  askGroup
	Faults []toldFault
	Specs  bool
}

func (s *site) newLot(r *http.Request) (document, error) {
	return s.newLotAgain(r, url.Values{"lot_spec": {r.URL.Query().Get("spec")}}, nil)
}

func (s *site) newLotAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	options := map[string][]option{}
	pick := func(name, value, shown string) {
		options[name] = append(options[name], option{Value: value, Name: shown, Chosen: value == typed.Get(name)})
	}
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Limit: pickable})
	if err != nil {
		return document{}, err
	}
	pick("lot_spec", "", "")
	for _, spec := range specs {
		pick("lot_spec", spec.ID, specName(spec))
	}
	wines, err := s.config.Records.Wines(r.Context(), record.Page{Newest: true, Limit: pickable})
	if err != nil {
		return document{}, err
	}
	pick("wine", "", "")
	for _, w := range wines {
		pick("wine", w.ID, pickedWine(w).name)
	}
	f := filled{form: "lot", typed: typed, faults: faults, options: options}
	v := newLotView{frame: s.frame(r, "lots"), Key: newKey(), Group: f.group("lot", lotFields), Specs: len(specs) > 0}
	v.Faults = f.told([]askGroup{v.Group})
	d, err := s.render("lotnew.html", v)
	d.passing = true // it has a key for one lot
	return d, err
}

// addLot begins a lot.
func (s *site) addLot(w http.ResponseWriter, r *http.Request) (document, error) {
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			root, at := fieldsOf(lotFields).body(s.words, s.words.timed(typed, "bottled_at"))
			body, err := decoded[record.LotBody](root)
			if err != nil {
				return "", at, err
			}
			lot, err := s.release.AddLot(r.Context(), body)
			return "/lots/" + lot.ID, at, err
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.newLotAgain(r, typed, faults) },
	})
}
