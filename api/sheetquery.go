package api

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/reports/sheet"
)

// A document may be had by an address alone, so that a page can link to it. The
// query is made the body that the same call by POST takes, so that both refuse the
// same things in the same words.

type (
	// RawQuery is the query as it was sent, of which no name is passed over.
	RawQuery struct{ query url.Values }

	planQuery struct {
		ByID
		AsSheet
		PlanFields
		RawQuery
	}
	orderQuery struct {
		ByID
		AsSheet
		OrderFields
		RawQuery
	}

	// PlanFields describes the query of a bench sheet. The values are read from the
	// query itself.
	PlanFields struct {
		Kind     string `query:"kind" doc:"even (where left out), visible, given or closing."`
		Tool     string `query:"tool" doc:"Name of the trial's tool to pour with; the best of them where left out."`
		FromML   string `query:"from_ml" doc:"First rung in mL."`
		ToML     string `query:"to_ml" doc:"Last rung in mL."`
		StepML   string `query:"step_ml" doc:"With even: between rungs, in mL."`
		DosesML  string `query:"doses_ml" doc:"With given: the rungs in mL, with blanks or commas between."`
		Visible  string `query:"visible_step" doc:"The ΔE00 that counts as visible."`
		Withdraw string `query:"withdraw_ml" doc:"Taken out of a glass at every rung, in mL."`
	}

	// OrderFields describes the query of a work order.
	OrderFields struct {
		BaseL         string `query:"base_l" doc:"Litres of base; the addition comes on top."`
		BlendL        string `query:"blend_l" doc:"Litres of finished blend, addition included."`
		BottleCount   string `query:"bottle_count" doc:"Bottles wanted, with bottle_ml."`
		BottleML      string `query:"bottle_ml" doc:"Content of one bottle in mL."`
		LossPercent   string `query:"loss_percent" doc:"Share of the blend that is lost, in %."`
		StockBaseL    string `query:"stock_base_l" doc:"Litres of base on hand."`
		StockAddition string `query:"stock_addition_l" doc:"Litres of the addition on hand."`
		FirstPercent  string `query:"first_percent" doc:"Share of the addition to pour before measuring, in %; 90 where left out."`
		BaseStepL     string `query:"base_graduation_l" doc:"Least step in which the base can be measured, in litres."`
		AdditionStep  string `query:"addition_graduation_ml" doc:"Least step in which the addition can be measured, in mL."`
		BaseU         string `query:"base_u_percent" doc:"Standard uncertainty (k = 1) of the base's volume, in %."`
		AdditionU     string `query:"addition_u_percent" doc:"The same of the addition's volume."`
		HeelL         string `query:"heel_l" doc:"Litres of addition that stay in hose and pump."`
		Vessel        string `query:"vessel" doc:"What the vessel is called."`
		BaseLot       string `query:"base_lot" doc:"Lot of the base."`
		AdditionLot   string `query:"addition_lot" doc:"Lot of the addition."`
	}
)

// Resolve implements huma.Resolver.
func (q *RawQuery) Resolve(ctx huma.Context) []error {
	address := ctx.URL()
	q.query = address.Query()
	return nil
}

// sized says whether the query asks for anything but a form.
func (q *RawQuery) sized() bool {
	for name, values := range q.query {
		if !slices.Contains(sheetAs, name) && strings.TrimSpace(strings.Join(values, "")) != "" {
			return true
		}
	}
	return false
}

// sheetAs are the names of a query that say how a document is wanted, not what of.
var sheetAs = []string{"format", "language"}

// queryField is where in a body a name of the query stands.
type queryField struct {
	place  []string
	number bool
	list   bool // of numbers
}

func words(place ...string) queryField   { return queryField{place: place} }
func numbers(place ...string) queryField { return queryField{place: place, number: true} }

var planFields = map[string]queryField{
	"kind": words("kind"), "tool": words("tool"), "from_ml": numbers("from_ml"), "to_ml": numbers("to_ml"), "step_ml": numbers("step_ml"),
	"doses_ml":     {place: []string{"doses_ml"}, list: true},
	"visible_step": numbers("visible_step"), "withdraw_ml": numbers("withdraw_ml"),
}

var orderFields = map[string]queryField{
	"base_l": numbers("base_l"), "blend_l": numbers("blend_l"), "bottle_count": numbers("bottles", "count"), "bottle_ml": numbers("bottles", "ml"),
	"loss_percent": numbers("loss_percent"), "stock_base_l": numbers("stock", "base_l"), "stock_addition_l": numbers("stock", "addition_l"),
	"first_percent": numbers("first_percent"), "base_graduation_l": numbers("measuring", "base_graduation_l"),
	"addition_graduation_ml": numbers("measuring", "addition_graduation_ml"), "base_u_percent": numbers("measuring", "base_u_percent"),
	"addition_u_percent": numbers("measuring", "addition_u_percent"), "heel_l": numbers("measuring", "heel_l"),
	"vessel": words("vessel"), "base_lot": words("base_lot"), "addition_lot": words("addition_lot"),
}

// queried answers a query with the document that it asks for.
func queried[Req calc.Request, Doc document](
	ctx context.Context, id string, as AsSheet, query url.Values, fields map[string]queryField,
	b *bench.Bench, make func(*bench.Bench, context.Context, string, Req) (Doc, error),
) (*reply, error) {
	return printed(as, func(texts *sheet.Texts) (doc Doc, err error) {
		body, err := bodyOf(query, fields)
		if err != nil {
			return doc, err
		}
		ask, err := calc.DecodeWhole[Req](body)
		if err == nil {
			doc, err = make(b.In(texts), ctx, id, ask)
		}
		return doc, byQuery(err, fields)
	})
}

// bodyOf is the body that a query stands for. An empty value is one left out, as
// forms send what nobody filled in.
func bodyOf(query url.Values, fields map[string]queryField) ([]byte, error) {
	usual := map[string]any{}
	if _, plan := fields["visible_step"]; plan {
		usual["kind"] = "even"
	}
	return queryBody(query, fields, usual, sheetAs...)
}

// queryBody is bodyOf with what stands in the body where the query says nothing,
// and the names of the query that are no part of it.
func queryBody(query url.Values, fields map[string]queryField, body map[string]any, beside ...string) ([]byte, error) {
	var faults []calc.Fault
	for _, name := range slices.Sorted(maps.Keys(query)) {
		field, known := fields[name]
		values := query[name]
		switch {
		case slices.Contains(beside, name):
		case !known:
			faults = append(faults, calc.Fault{Message: fmt.Sprintf("%.50s: this address takes no such parameter; it takes %s", name, strings.Join(append(slices.Sorted(maps.Keys(fields)), beside...), ", "))})
		case len(values) > 1:
			faults = append(faults, calc.Fault{Message: name + ": stands here more than once", Value: strings.Join(values, ", ")})
		case strings.TrimSpace(values[0]) == "":
		case field.list:
			list, ok := numberList(values[0])
			if !ok {
				faults = append(faults, calc.Fault{Message: name + ": want numbers with blanks or commas between, with a point for the decimals", Value: values[0]})
				continue
			}
			put(body, field.place, list)
		case field.number:
			v, err := strconv.ParseFloat(strings.TrimSpace(values[0]), 64)
			if err != nil || v-v != 0 {
				faults = append(faults, calc.Fault{Message: name + ": want a number, with a point for the decimals", Value: values[0]})
				continue
			}
			put(body, field.place, v)
		default:
			put(body, field.place, values[0])
		}
	}
	if len(faults) > 0 {
		return nil, calc.Refuse(faults...)
	}
	return json.Marshal(body)
}

// numberList reads numbers with blanks or commas between.
func numberList(text string) (list []float64, ok bool) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || unicode.IsSpace(r) }) {
		v, err := strconv.ParseFloat(part, 64)
		if err != nil || v-v != 0 {
			return nil, false
		}
		list = append(list, v)
	}
	return list, true
}

func put(body map[string]any, place []string, value any) {
	for _, name := range place[:len(place)-1] {
		inner, ok := body[name].(map[string]any)
		if !ok {
			inner = map[string]any{}
			body[name] = inner
		}
		body = inner
	}
	body[place[len(place)-1]] = value
}

// byQuery names the parameters that faults of the body come from: a query has no
// places that a pointer could name.
func byQuery(err error, fields map[string]queryField) error {
	problem := calc.AsProblem(err)
	if problem == nil || len(problem.Errors) == 0 {
		return err
	}
	faults := slices.Clone(problem.Errors)
	for i, f := range faults {
		if f.Location == "" {
			continue
		}
		name := strings.TrimPrefix(f.Location, "/")
		for known, field := range fields {
			if "/"+strings.Join(field.place, "/") == f.Location {
				name = known
			}
		}
		faults[i].Location, faults[i].Message = "", name+": "+f.Message
	}
	return calc.Refuse(faults...)
}
