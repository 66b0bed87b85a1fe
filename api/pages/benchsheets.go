package pages

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"

	"pourpath/api/bench"
	"pourpath/api/calc"
)

// The documents are the interface's: a page looks whether one can be made, and
// leads there, or tells what is wrong in its own place.

// orderForm are the fields of a work order. Their names are those of the
// interface's query.
var orderForm = []sentField{
	{"base_l", "/base_l", aVolume}, {"blend_l", "/blend_l", aVolume}, {"bottle_count", "/bottles/count", aVolume}, {"bottle_ml", "/bottles/ml", aVolume},
	{"loss_percent", "/loss_percent", aNumber}, {"stock_base_l", "/stock/base_l", aVolume}, {"stock_addition_l", "/stock/addition_l", aVolume},
	{"first_percent", "/first_percent", aNumber}, {"base_graduation_l", "/measuring/base_graduation_l", aNumber},
	{"addition_graduation_ml", "/measuring/addition_graduation_ml", aNumber}, {"base_u_percent", "/measuring/base_u_percent", aNumber},
	{"heel_l", "/measuring/heel_l", aNumber},
}

// orderFields are their names.
func orderFields() []string {
	names := make([]string, len(orderForm))
	for i, f := range orderForm {
		names[i] = f.name
	}
	return names
}

// formatField says whether a document is wanted as PDF or as a page.
const formatField = "format"

// reportFormat is the button that asks for the report with the volumes.
const reportFormat = "report"

// interfaceTo leads to a document of the interface.
func (s *site) interfaceTo(trial, what string, query url.Values) document {
	for name := range query {
		if query.Get(name) == "" {
			query.Del(name)
		}
	}
	if papers := s.words.papers(); papers != "" {
		query.Set("language", papers)
	}
	at := url.URL{Path: "/v1/trials/" + trial + "/" + what, RawQuery: query.Encode()}
	return document{status: http.StatusSeeOther, to: at.String()}
}

// workOrder leads to the work order that a form asks for, or to the report with its
// volumes.
func (s *site) workOrder(r *http.Request) (document, error) {
	typed := r.URL.Query()
	place := benchPlaceOf(r.PathValue("id"), url.Values{})
	root, at := sent{fields: orderForm}.body(s.words, typed.Get)
	data, err := json.Marshal(root)
	if err != nil {
		return document{}, fmt.Errorf("pages: work order: %w", err)
	}
	asked, err := calc.DecodeWhole[bench.WorkOrderRequest](data)
	if err == nil {
		_, err = s.bench.WorkOrder(r.Context(), place.trial, asked)
	}
	list, err := faultsOf(err)
	if err != nil {
		return document{}, err
	}
	if len(list) > 0 {
		return s.sheetRefused(r, place, "work-order", typed, at, list)
	}
	query := url.Values{formatField: {typed.Get(formatField)}}
	for _, f := range orderForm {
		query.Set(f.name, s.words.pointed(typed.Get(f.name)))
	}
	what := "work-order"
	if query.Get(formatField) == reportFormat {
		what = "report"
		query.Set(formatField, "pdf")
	}
	return s.interfaceTo(place.trial, what, query), nil
}

// benchSheet leads to the sheet of the plan that an address asks for, of even
// steps where it asks for none.
func (s *site) benchSheet(r *http.Request) (document, error) {
	place := benchPlaceOf(r.PathValue("id"), r.URL.Query())
	if place.Plan == "" {
		place.Plan = string(bench.Even)
	}
	_, at, err := s.planned(r, place)
	list, err := faultsOf(err)
	if err != nil {
		return document{}, err
	}
	if len(list) > 0 {
		return s.sheetRefused(r, place, "bench-sheet", url.Values{}, at, list)
	}
	if place.Plan == string(bench.Given) {
		place.To, place.Step = "", ""
	} else {
		place.Doses = ""
	}
	return s.interfaceTo(place.trial, "bench-sheet", url.Values{
		"kind": {place.Plan}, givenField: {s.words.portable(place.Doses)}, toolField: {place.Tool}, toField: {s.words.pointed(place.To)}, stepField: {s.words.pointed(place.Step)}, formatField: {r.URL.Query().Get(formatField)},
	}), nil
}

// sheetRefused is the page with what is wrong with the form of a document.
func (s *site) sheetRefused(r *http.Request, place benchPlace, form string, typed url.Values, at places, list []calc.Fault) (document, error) {
	faults, err := at.notes(s.words, list)
	if err != nil {
		return document{}, err
	}
	return s.benchAgain(r, place, form, typed, faults)
}
