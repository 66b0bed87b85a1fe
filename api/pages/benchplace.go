package pages

import (
	"net/url"
	"slices"

	"pourpath/api/bench"
)

// benchPlace is where the page of a trial stands, as its address says: the glass
// that is in hand, what is measured with, who does it, and the plan beside it.
type benchPlace struct {
	trial            string // identifier
	Glass, Tool, Who string
	Plan, To, Step   string
	Doses            string   // of a plan of given doses
	PlanGlasses      []string // that a plan takes, that with base alone first; all where there are none
	Panel            string   // whose result led here, so that the choice begins with it
}

// The fields of that address.
const (
	glassField = "glass"
	toolField  = "tool"
	whoField   = "who"
	planField  = "plan"
	toField    = "to_ml"
	stepField  = "step_ml"
	givenField = "doses_ml"
	intoField  = "plan_glass"
)

func benchPlaceOf(trial string, query url.Values) benchPlace {
	return benchPlace{
		trial: trial, Glass: query.Get(glassField), Tool: query.Get(toolField), Who: query.Get(whoField),
		Plan: query.Get(planField), To: query.Get(toField), Step: query.Get(stepField), Doses: query.Get(givenField),
		PlanGlasses: query[intoField], Panel: query.Get(panelField),
	}
}

// settle puts the usual in place of what the address leaves out or what the trial
// has not: the glass of the last entry, or the first beside the reference.
func (p *benchPlace) settle(t bench.TrialAnswer) {
	if !slices.Contains(t.Trial.Glasses, p.Glass) {
		p.Glass = t.Trial.Glasses[min(1, len(t.Trial.Glasses)-1)]
		for i := len(t.Log) - 1; i >= 0; i-- {
			if last := t.Log[i].Glass; last != "" {
				p.Glass = last
				break
			}
		}
	}
	if p.Tool == "" && len(t.Tools) > 0 {
		p.Tool = t.Tools[0].Name
	}
}

func (p benchPlace) query() string {
	q := url.Values{}
	for name, text := range map[string]string{glassField: p.Glass, toolField: p.Tool, whoField: p.Who, planField: p.Plan, toField: p.To, stepField: p.Step, givenField: p.Doses, panelField: p.Panel} {
		if text != "" {
			q.Set(name, text)
		}
	}
	if len(p.PlanGlasses) > 0 {
		q[intoField] = p.PlanGlasses
	}
	return q.Encode()
}

// path is an address below the trial's, with what this place says.
func (p benchPlace) path(end string) string {
	return (&url.URL{Path: "/trials/" + p.trial + end, RawQuery: p.query()}).String()
}

// Given are the doses of a plan for their field.
func (p benchPlace) Given() entered { return entered(p.Doses) }

// Send is where a form of the page goes.
func (p benchPlace) Send(what string) string { return p.path("/" + what) }

// At is the page with another glass in hand.
func (p benchPlace) At(glass string) string {
	p.Glass = glass
	return p.path("")
}

// Sheet is the bench sheet of the plan, in a form.
func (p benchPlace) Sheet(form string) string {
	return p.path("/bench-sheet") + "&" + url.Values{formatField: {form}}.Encode()
}
