package release

import (
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/control"
)

// ChartAsk asks for a chart of lots in the order of time.
type ChartAsk struct {
	Product  string          `json:"product,omitempty" maxLength:"200" doc:"Lots of this product; or give spec."`
	Spec     string          `json:"spec,omitempty" maxLength:"100" doc:"Identifier of a specification: lots judged by it, in any version; or give product."`
	Kind     string          `json:"kind,omitempty" enum:"individuals,ewma,run,t2,plane" doc:"individuals is single lots with moving ranges and capability, and what is meant where left out; ewma is the running average that finds slow drift; run is a plot without limits, and all there is of delta_e_00; t2 is L*, a*, b* together; plane is the path through the a*b* plane."`
	Quantity string          `json:"quantity,omitempty" enum:"L,a,b,intensity,tint,delta_e_00" doc:"What is charted. L where left out; t2 and plane take none."`
	From     *record.Instant `json:"from,omitempty" doc:"Lots from then on (RFC 3339, or a date)."`
	To       *record.Instant `json:"to,omitempty" doc:"Lots before then, that moment not included."`
	Rules    string          `json:"rules,omitempty" enum:"western_electric,nelson,none" doc:"Run rules of individuals. western_electric where left out; none looks for points beyond an action limit alone."`
	Base     string          `json:"base,omitempty" maxLength:"40" doc:"The lots that set the limits: how many from the first of the period on, or a date that they lie before. All of the period where left out."`
	Lambda   *float64        `json:"lambda,omitempty" exclusiveMinimum:"0" maximum:"1" doc:"ewma: weight of the newest lot. 0.2 where left out."`
	Points   *int            `json:"points,omitempty" minimum:"0" maximum:"2000" doc:"How many lots are listed and drawn, the newest ones. 500 where left out. All lots count, whether they are listed or not."`
	Before   *int            `json:"before,omitempty" minimum:"1" doc:"List and draw those before the lot with this number: what first_point was in the answer before."`
}

// ChartKinds, ChartQuantities and ChartRules are what may be asked for, the usual
// one first.
var (
	ChartKinds      = []string{"individuals", "ewma", "run", "t2", "plane"}
	ChartQuantities = []string{"L", "a", "b", "intensity", "tint", "delta_e_00"}
	ChartRules      = []string{"western_electric", "nelson", "none"}
)

const (
	usualPoints = 500
	// MostPoints is the most lots that are listed and drawn.
	MostPoints = 2000
)

// Check implements calc.Request.
func (a ChartAsk) Check(f *calc.Faults) {
	switch product, spec := strings.TrimSpace(a.Product) != "", strings.TrimSpace(a.Spec) != ""; {
	case !product && !spec:
		f.Addf("/product", nil, "lots of what? Give \"product\" or \"spec\"")
	case product && spec:
		f.Addf("/spec", a.Spec, "give \"product\" or \"spec\", not both")
	}
	oneOf("/kind", a.Kind, ChartKinds, f)
	oneOf("/quantity", a.Quantity, ChartQuantities, f)
	oneOf("/rules", a.Rules, ChartRules, f)
	switch together := a.Kind == "t2" || a.Kind == "plane"; {
	case together && a.Quantity != "":
		f.Addf("/quantity", a.Quantity, "%s is of L*, a*, b* together: leave the quantity out", a.Kind)
	case a.Quantity == "delta_e_00" && a.Kind != "" && a.Kind != "run":
		f.Addf("/kind", a.Kind, "a colour difference is never negative, so that control limits would be false: it has a run plot alone, kind \"run\"")
	}
	a.checkPeriod(f)
	a.checkFigures(f)
}

// checkPeriod looks at the times.
func (a ChartAsk) checkPeriod(f *calc.Faults) {
	for i, at := range []*record.Instant{a.From, a.To} {
		if at != nil && at.IsZero() {
			f.Addf([]string{"/from", "/to"}[i], nil, "this is no time: want 2026-11-25T14:30:00Z, with an offset such as +01:00, or a date such as 2026-11-25, from 1900 on")
		}
	}
	if a.From != nil && a.To != nil && !a.From.IsZero() && !a.To.IsZero() && !a.To.After(a.From.Time) {
		f.Addf("/to", a.To.String(), "the period ends at or before its beginning, %s", a.From)
	}
}

// checkFigures looks at what is a number.
func (a ChartAsk) checkFigures(f *calc.Faults) {
	if n := a.Points; n != nil && (*n < 0 || *n > MostPoints) {
		f.Addf("/points", *n, "want 0 to %d; all lots count, whether they are listed or not", MostPoints)
	}
	if n := a.Before; n != nil && *n < 1 {
		f.Addf("/before", *n, "want the number of a lot, 1 or more")
	}
	if l := a.Lambda; l != nil && !(*l > 0 && *l <= 1) {
		f.Addf("/lambda", *l, "want a weight above 0 and at most 1")
	}
	if _, _, err := a.base(); err != nil {
		f.Addf("/base", a.Base, "want how many lots from the first on, %d or more, or a date such as 2026-11-25", control.MinBase)
	}
}

func oneOf(place, value string, known []string, f *calc.Faults) {
	for _, k := range known {
		if value == k || value == "" {
			return
		}
	}
	f.Addf(place, value, "want one of %s", strings.Join(known, ", "))
}

// settled is the question with what it leaves out filled in.
func (a ChartAsk) settled() ChartAsk {
	if a.Kind == "" {
		a.Kind = "individuals"
		if a.Quantity == "delta_e_00" {
			a.Kind = "run"
		}
	}
	if a.Quantity == "" && a.Kind != "t2" && a.Kind != "plane" {
		a.Quantity = "L"
	}
	if a.Rules == "" {
		a.Rules = "western_electric"
	}
	return a
}

// base is how many lots set the limits, or the time that they lie before; neither
// stands for all.
func (a ChartAsk) base() (lots int, until *record.Instant, err error) {
	text := strings.TrimSpace(a.Base)
	if text == "" {
		return 0, nil, nil
	}
	if n, err := strconv.Atoi(text); err == nil {
		if n < control.MinBase {
			return 0, nil, strconv.ErrRange
		}
		return n, nil, nil
	}
	at, err := record.ParseInstant(text)
	return 0, &at, err
}

// rules are those that individuals are looked through for.
func (a ChartAsk) rules() []control.Rule {
	switch a.Rules {
	case "nelson":
		return control.Nelson()
	case "none":
		return []control.Rule{control.BeyondAction}
	}
	return control.WesternElectric()
}
