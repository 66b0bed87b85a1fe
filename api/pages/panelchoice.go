package pages

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"pourpath/api/bench"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// panelLeads is where the result of a panel leads on to in its trial.
type panelLeads struct {
	Chosen *chosenLead // what of it is on record as the trial's choice; nil where nothing is
	Choose []panelLead
	Fresh  []freshLead // doses that no glass holds
}

// Any reports whether the result leads anywhere.
func (l panelLeads) Any() bool { return l.Chosen != nil || len(l.Choose) > 0 || len(l.Fresh) > 0 }

// chosenLead is a dose that the result speaks for and that is chosen.
type chosenLead struct {
	Glass string // that was judged with it; empty where none was
	Dose  doseWords
	At    moment
}

// panelLead is a glass that may be chosen for what the panel said.
type panelLead struct {
	Glass   string
	Nearest bool // it was not put first itself, but holds what is nearest to the dose that was
	Dose    doseWords
	Href    string // the form of the choice, begun
}

// freshLead is a dose to pour into a glass of its own.
type freshLead struct {
	Glass string // that was judged with it and was poured into since; empty where none was
	Dose  doseWords
	Href  string // its plan; empty where no glass but the reference holds base alone
}

// panelField has, in the address of a trial, the panel whose result led there.
const panelField = "panel"

// leadsOf are the glasses and doses that a result speaks for. Which glass looks deepest
// speaks for none, and an archived trial takes no choice.
func leadsOf(o panel.Outcome, t record.Trial) (panelLeads, error) {
	var out panelLeads
	if o.Most == record.MostDeep || t.ArchivedAt != nil {
		return out, nil
	}
	progress, err := t.Progress()
	if err != nil {
		return out, err
	}
	lead := func(g panel.OutcomeGlass, nearest bool) {
		dose := doseWordsOf(g.DoseMLPer100ML, g.AdditionFraction, nil)
		if c := progress.Choice; c != nil && sameDose(c.DoseMLPer100ML, g.DoseMLPer100ML) {
			out.Chosen = &chosenLead{g.Glass, dose, choiceDay(c)}
			return
		}
		if !holds(progress, g.Glass, g.DoseMLPer100ML) {
			out.Fresh = append(out.Fresh, freshLead{g.Glass, dose, freshPlan(t, progress, g.DoseMLPer100ML)})
			return
		}
		place := benchPlace{trial: t.ID, Glass: g.Glass, Panel: o.PanelID}
		out.Choose = append(out.Choose, panelLead{Glass: g.Glass, Nearest: nearest, Dose: dose, Href: place.path("") + "#choose"})
	}
	first := o.First()
	for _, g := range first {
		lead(g, false)
	}
	if o.Preference == nil || o.Preference.Best == nil || len(o.Preference.Misses) > 0 {
		return out, nil
	}
	best := o.Preference.Best.DoseMLPer100ML
	off := func(g panel.OutcomeGlass) float64 { return math.Abs(g.DoseMLPer100ML - best.Value) }
	near := slices.MinFunc(o.Glasses, func(a, b panel.OutcomeGlass) int { return cmp.Compare(off(a), off(b)) })
	if !slices.ContainsFunc(first, func(g panel.OutcomeGlass) bool { return g.Glass == near.Glass }) {
		lead(near, true)
	}
	// A dose is one with that of a glass where both are written the same.
	decimals := doseDecimals(&[2]float64{best.Low, best.High})
	if written := fixed(best.Value, decimals); written != fixed(near.DoseMLPer100ML, decimals) {
		dose := doseWords{Per100: written, Share: fixed(100*o.Fraction(best.Value), decimals)}
		if c := progress.Choice; c != nil && fixed(c.DoseMLPer100ML, decimals) == written {
			out.Chosen = &chosenLead{"", dose, choiceDay(c)}
			return out, nil
		}
		rounded := math.Round(best.Value*math.Pow10(decimals)) / math.Pow10(decimals)
		out.Fresh = append(out.Fresh, freshLead{Dose: dose, Href: freshPlan(t, progress, rounded)})
	}
	return out, nil
}

// holds reports whether a glass has a dose by now.
func holds(p record.Progress, glass string, dose float64) bool {
	return slices.ContainsFunc(p.Glasses, func(g record.GlassState) bool {
		return g.Glass == glass && sameDose(g.DoseMLPer100ML, dose)
	})
}

// sameDose reports whether two doses differ by no more than the noise of a sum.
func sameDose(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+b) }

// choiceDay is the day of a choice.
func choiceDay(c *record.Logged) moment {
	day := logRowOf(*c).At
	day.day = true
	return day
}

// freshPlan is the address of the plan that pours a dose into a glass of base alone,
// beside the reference; empty where there is no such glass.
func freshPlan(t record.Trial, p record.Progress, dose float64) string {
	for i, g := range p.Glasses {
		if i == 0 || g.PouredTotalML > 0 || g.BaseInGlassML <= 0 {
			continue
		}
		ml := string(plainML(dose * t.BaseML / 100))
		place := benchPlace{trial: t.ID, Glass: g.Glass, Plan: string(bench.Given), Doses: ml, PlanGlasses: []string{t.Glasses[0], g.Glass}}
		return place.path("") + "#plan"
	}
	return ""
}

// panelReasons begin the reasons of a choice that a panel led to; empty where the glass
// in hand is none that its result speaks for.
func (s *site) panelReasons(ctx context.Context, place benchPlace, t record.Trial) (string, error) {
	if place.Panel == "" {
		return "", nil
	}
	o, err := s.panel.Outcome(ctx, place.Panel)
	if errors.Is(err, record.ErrNotFound) || errors.Is(err, record.ErrPanelOpen) || tooFew(err) || err == nil && o.TrialID != t.ID {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	leads, err := leadsOf(o, t)
	if err != nil {
		return "", err
	}
	i := slices.IndexFunc(leads.Choose, func(l panelLead) bool { return l.Glass == place.Glass })
	if i < 0 {
		return "", nil
	}
	var name any = o.Name
	if o.Name == "" {
		name = dayOf(o.OpenedAt)
	}
	if !leads.Choose[i].Nearest {
		return s.words.text("choice_panel."+string(o.Most), o.Judges, name, o.Question)
	}
	var best panelResult
	best.best(o)
	return s.words.text("choice_panel.nearest", o.Judges, name, best.Best.Dose, best.Best.Share, o.Question)
}
