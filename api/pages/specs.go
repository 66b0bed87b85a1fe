package pages

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// specsView is the list of specifications.
type specsView struct {
	frame
	leaf[specRow]
	Page string
}

// specRow is one specification of the list, in its newest version.
type specRow struct {
	ID, Name, Product, Rule, ApprovedBy string
	Version                             int
	At                                  moment
	Says                                []string // its limits, in words
}

// specs answers with the specifications, the newest first.
func (s *site) specs(r *http.Request) (document, error) {
	shown, err := leafOf(r.URL, func(x record.Spec) string { return x.ID },
		func(p record.Page) ([]record.Spec, error) { return s.config.Records.Specs(r.Context(), p) })
	if err != nil {
		return document{}, err
	}
	v := specsView{frame: s.frame("lots"), Page: "specs", leaf: leaf[specRow]{Older: shown.Older, Newer: shown.Newer}}
	for _, spec := range shown.Items {
		v.Items = append(v.Items, specRowOf(spec))
	}
	return s.render("specs.html", v)
}

func specRowOf(spec record.Spec) specRow {
	rule := spec.Rule
	if rule == "" {
		rule = "simple"
	}
	return specRow{ID: spec.ID, Name: specName(spec), Product: spec.Product, Rule: rule, ApprovedBy: spec.ApprovedBy, Version: spec.Version, At: momentOf(spec.CreatedAt), Says: limitsSaid(spec)}
}

// limitsSaid are a specification's tolerances and limits, each a short phrase of
// signs and numbers.
func limitsSaid(spec record.Spec) []string {
	var out []string
	if t := spec.Tolerance; t != nil {
		if t.DeltaE00 > 0 {
			out = append(out, release.PartName(calc.CheckResult{Quantity: "delta_e_00"})+" ≤ "+plain(t.DeltaE00))
		}
		if t.DeltaEab > 0 {
			out = append(out, release.PartName(calc.CheckResult{Quantity: "delta_e_ab"})+" ≤ "+plain(t.DeltaEab))
		}
	}
	for _, l := range limitPairs(spec.Limits) {
		if l.pair != nil {
			out = append(out, release.PartName(calc.CheckResult{Quantity: l.quantity})+" "+plain(l.pair[0])+"–"+plain(l.pair[1]))
		}
	}
	if e := spec.Ellipsoid; e != nil {
		out = append(out, release.PartName(calc.CheckResult{Quantity: "hotelling_t2"}))
	}
	return out
}

// limitPair is the least and the most of a quantity; the name of its fields on
// the form ends in lower and upper.
type limitPair struct {
	quantity string
	pair     *[2]float64
}

// limitPairs are the limits that the form has, in its order.
func limitPairs(l *calc.Limits) []limitPair {
	if l == nil {
		l = &calc.Limits{}
	}
	return []limitPair{{"L", l.L}, {"a", l.A}, {"b", l.B}, {"C", l.C}, {"h", l.H}, {"intensity", l.Intensity}, {"tint", l.Tint}}
}

// specView is one specification with its versions.
type specView struct {
	frame
	Page     string
	Spec     record.Spec
	Row      specRow
	View     calc.Conditions
	Versions []versionRow
	Archived moment
	Shown    int  // the version that is shown
	Newest   bool // and whether it is the newest
	Outlook  *outlookView
	Target   string // colour of the reference, where it is stored as one
	Lots     string // address of the chart of its lots
}

// versionRow is a version in the list of versions.
type versionRow struct {
	specRow
	Term  string
	Shown bool
}

// outlookView is what a specification and a way of reading can come to.
type outlookView struct {
	Never            bool
	Best             string
	Needed           string
	Causes, Settle   []string
	Problem, Reading string
}

// spec answers with one specification, in the version that is asked for or else
// the newest.
func (s *site) spec(r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	versions, err := s.config.Records.SpecVersions(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	shown := versions[len(versions)-1]
	if asked := r.URL.Query().Get("version"); asked != "" {
		n, err := strconv.Atoi(asked)
		if err != nil || n < 1 || n > len(versions) {
			return document{}, record.ErrNotFound
		}
		shown = versions[n-1]
	}
	v := specView{frame: s.frame("lots"), Page: "specs", Spec: shown, Row: specRowOf(shown), Shown: shown.Version, Newest: shown.Version == len(versions),
		Lots: "/charts?" + url.Values{"of": {"spec:" + id}}.Encode()}
	for _, x := range versions {
		v.Versions = append(v.Versions, versionRow{specRow: specRowOf(x), Term: x.Term(), Shown: x.Version == shown.Version})
	}
	if shown.ArchivedAt != nil {
		v.Archived = momentOf(*shown.ArchivedAt)
	}
	if t := shown.Target; t != nil && t.CIELAB != nil {
		v.Target = "L* " + plain(t.CIELAB.L) + ", a* " + plain(t.CIELAB.A) + ", b* " + plain(t.CIELAB.B)
	}
	v.Outlook, err = outlookOf(shown)
	if err != nil {
		return document{}, err
	}
	return s.render("spec.html", v)
}

// outlookOf says whether any wine could pass, where the specification says how it
// is to be read.
func outlookOf(spec record.Spec) (*outlookView, error) {
	if spec.Reading == nil {
		return nil, nil
	}
	out := &outlookView{Reading: spec.Reading.Text()}
	answer, err := calc.Feasibility(calc.FeasibilityRequest{Spec: spec.Spec, View: spec.View})
	if p := calc.AsProblem(err); p != nil {
		out.Problem = p.Detail
		return out, nil //nolint:nilerr // it is told in its place
	}
	if err != nil {
		return nil, err
	}
	out.Never, out.Best = answer.CanNeverPass, probabilityOf(answer.BestProbability)
	if answer.NeededDeltaE00 != nil {
		out.Needed = fixed(*answer.NeededDeltaE00, 1)
	}
	for _, c := range answer.Causes {
		out.Causes = append(out.Causes, release.CauseName(c)+" "+fixed(100*c.Share, 0)+" %")
	}
	for _, remedy := range answer.WouldSettle {
		out.Settle = append(out.Settle, release.RemedyText(remedy))
	}
	return out, nil
}

// changedNote is told on the form where another version came in between.
const changedNote = "note.spec_changed"

// addSpec makes a specification and leads to its page.
func (s *site) addSpec(w http.ResponseWriter, r *http.Request) (document, error) {
	typed, err := posted(w, r)
	if err != nil {
		return document{}, err
	}
	m, err := s.once(typed, func() (made, error) {
		root, at, faults := specBody(typed, nil)
		if len(faults) > 0 {
			return made{faults: faults}, nil
		}
		return sendBody(root, at, func(body record.SpecBody) (string, error) {
			spec, err := s.release.AddSpec(r.Context(), body)
			return "/specs/" + spec.ID, err
		})
	})
	if err != nil {
		return document{}, err
	}
	return answerForm(m, func(faults []note) (document, error) { return s.specFormAgain(r, nil, typed, faults) })
}

// addVersion makes a further version after the one that the form was filled from.
func (s *site) addVersion(w http.ResponseWriter, r *http.Request) (document, error) {
	typed, err := posted(w, r)
	if err != nil {
		return document{}, err
	}
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	newest, err := s.config.Records.Spec(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	seen, _ := strconv.ParseInt(typed.Get("seen"), 10, 64) // 0 is no version, so that a form without one is told
	m, err := s.once(typed, func() (made, error) {
		root, at, faults := specBody(typed, &newest)
		if len(faults) > 0 {
			return made{faults: faults}, nil
		}
		return sendBody(root, at, func(body record.SpecBody) (string, error) {
			spec, err := s.release.AddVersion(r.Context(), id, seen, body)
			return "/specs/" + spec.ID, err
		})
	})
	if errors.Is(err, record.ErrChanged) {
		typed.Set("seen", strconv.Itoa(newest.Version))
		m, err = made{faults: append([]note{{key: changedNote, values: []any{newest.Version, newest.ApprovedBy}}}, differs(typed, newest)...)}, nil
	}
	if err != nil {
		return document{}, err
	}
	return answerForm(m, func(faults []note) (document, error) { return s.specFormAgain(r, &newest, typed, faults) })
}

// differs are the fields in which what was typed is other than the newest version.
func differs(typed url.Values, newest record.Spec) []note {
	there := typedOf(newest)
	var out []note
	for _, name := range specNames() {
		if typed.Get(name) != there.Get(name) {
			out = append(out, note{Field: name, key: "note.spec_differs", values: []any{there.Get(name), typed.Get(name)}})
		}
	}
	return out
}
