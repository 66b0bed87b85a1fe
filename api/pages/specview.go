package pages

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports"
)

// specView is the page of a specification.
type specView struct {
	frame
	ID, Name      string
	No, Of        int
	Newest        bool
	Archived      moment
	ArchivedWines []archivedNote
	Lines         []specLine
	Colour        *figures
	Conditions    said
	Prospect      *prospect
	Warnings      []english
	Versions      []versionRow
	Between       []specChange // what another changed since the form was shown
	BetweenBy     *versionRow
	Form          specAsked
}

// prospect is whether a perfect lot could pass.
type prospect struct {
	Unasked bool // nobody said how lots are read
	Never   bool
	Guarded bool
	Best    digits // probability
	Needed  digits // ΔE00
	Causes  []causeShown
	Settle  remedies
	Problem english // why it is not known
}

// causeShown is what one cause adds to the variance.
type causeShown struct {
	Cause, Kind string // keys of what it is called
	Percent     digits
}

// remedyShown is something that could be done to the readings.
type remedyShown struct {
	Action      string // key of what it is
	Verdict     string
	Probability digits
}

// remedies are what could be done about a verdict that cannot be told.
type remedies []remedyShown

// Any reports whether one of them would lead to a verdict.
func (r remedies) Any() bool {
	return slices.ContainsFunc(r, func(one remedyShown) bool { return one.Verdict != "inconclusive" })
}

// versionRow is one version of a specification.
type versionRow struct {
	Version    int
	Term       said
	ApprovedBy string
	Recorded   moment
	Here       bool
	Changes    []specChange // from the version before
}

func (s *site) specPage(r *http.Request, versions []record.Spec, typed url.Values, faults []note, seen int) (document, error) {
	spec, err := versionAsked(versions, r.URL.Query())
	if err != nil {
		return document{}, err
	}
	newest, words := versions[len(versions)-1], &saying{catalogue: s.words}
	v := specView{
		frame: s.frame(r, "specs"), ID: spec.ID, Name: specName(spec), No: spec.Version, Of: len(versions), Newest: spec.Version == newest.Version,
		Lines: words.specLines(spec), Conditions: words.view(spec.View),
	}
	if newest.ArchivedAt != nil {
		v.Archived = momentOf(*newest.ArchivedAt)
	}
	if v.ArchivedWines, err = s.archivedAmong(r.Context(), winesUsed(spec.ReadingsUsed)...); err != nil {
		return document{}, err
	}
	if c := referenceColour(spec); c != nil {
		f := figuresOf(c)
		if spec.Target == nil || spec.Target.Wine == nil { // it is wanted as it is stated
			f.L.U, f.A.U, f.B.U = "", "", ""
		}
		v.Colour = &f
	}
	if v.Prospect, v.Warnings, err = prospectOf(spec); err != nil {
		return document{}, err
	}
	for i, one := range versions {
		row := versionRow{Version: one.Version, Term: words.term(one), ApprovedBy: one.ApprovedBy, Recorded: momentOf(one.CreatedAt), Here: one.Version == spec.Version}
		if i > 0 {
			row.Changes = words.specChanges(versions[i-1], one)
		}
		v.Versions = append(v.Versions, row)
	}
	if seen < newest.Version {
		came := v.Versions[len(versions)-1]
		v.Between, v.BetweenBy = words.specChanges(versions[seen-1], newest), &came
	}
	if words.err != nil {
		return document{}, words.err
	}
	slices.Reverse(v.Versions)
	if v.Form, err = s.specForm(r, typed, faults, &versions[len(versions)-1]); err != nil {
		return document{}, err
	}
	v.Form.Action, v.Form.Seen = "/specs/"+spec.ID, strconv.Itoa(newest.Version)
	d, err := s.render("spec.html", v)
	d.passing = true // it has a key for one version
	return d, err
}

// prospectOf tells, before anything is measured, whether a perfect lot could pass.
func prospectOf(spec record.Spec) (*prospect, []english, error) {
	if spec.Reading == nil {
		return &prospect{Unasked: true}, nil, nil
	}
	answer, err := calc.Feasibility(calc.FeasibilityRequest{Spec: spec.Spec, View: spec.View})
	if problem := calc.AsProblem(err); problem != nil {
		list, err := faultsOf(err)
		return &prospect{Problem: english(list[0].Message)}, nil, err
	}
	if err != nil {
		return nil, nil, err
	}
	out := &prospect{Never: answer.CanNeverPass, Guarded: spec.Rule == "guarded", Causes: causesShown(answer.Causes), Settle: remediesShown(answer.WouldSettle, answer.BestProbability)}
	if p := answer.BestProbability; p != nil {
		out.Best = digits(reports.Probability(*p))
	}
	if n := answer.NeededDeltaE00; n != nil {
		out.Needed = fixed(*n, 2)
	}
	var warnings []english
	for _, w := range answer.Warnings {
		if w.Code != "can_never_pass" { // the page says it first of all
			warnings = append(warnings, english(w.Message))
		}
	}
	return out, warnings, nil
}

func causesShown(list []calc.CauseShare) (out []causeShown) {
	for _, c := range list {
		if percent := fixed(100*c.Share, 0); percent != "0" {
			out = append(out, causeShown{c.Cause, c.Kind, percent})
		}
	}
	return out
}

// remediesShown are the remedies that are worth advising, by the probability of
// conforming without them.
func remediesShown(list []calc.Remedy, probability *float64) (out remedies) {
	for _, r := range calc.Worthwhile(list, probability) {
		one := remedyShown{Action: r.Action, Verdict: r.Verdict}
		if r.Probability != nil {
			one.Probability = digits(reports.Probability(*r.Probability))
		}
		out = append(out, one)
	}
	return out
}
