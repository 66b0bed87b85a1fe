package pages

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// specFormView is the form of a specification, or of a further version of one.
type specFormView struct {
	frame
	Page   string
	Key    string
	Of     *record.Spec // nil for a new one
	Name   string
	Seen   string // version that the form was filled from
	Groups []formGroup
	Faults []note
}

// specFields are the plain fields of the form.
var specFields = []sentField{
	{"name", "/name", aText}, {"product", "/product", aText}, {"delta_e_00", "/tolerance/delta_e_00", aNumber}, {"delta_e_ab", "/tolerance/delta_e_ab", aNumber},
	{"kL", "/tolerance/kL", aNumber}, {"kC", "/tolerance/kC", aNumber}, {"kH", "/tolerance/kH", aNumber}, {"warn_delta_e_00", "/warning/tolerance/delta_e_00", aNumber},
	{"rule", "/rule", aText}, {"max_risk", "/max_risk", aNumber}, {"source", "/reading_method/source", aText}, {"same_session", "/reading_method/same_session", aTruth},
	{"valid_from", "/valid_from", aText}, {"valid_to", "/valid_to", aText}, {"approved_by", "/approved_by", aText},
	{"free_so2", "/reference_state/free_so2_mg_per_l", aNumber}, {"confidence", "/ellipsoid/confidence", aNumber},
}

// references are where the colour of a reference may be from.
var references = []string{"typed", "wine", "target", "trial", "lots", "none"}

// specNames are the names of all fields.
func specNames() []string {
	var out []string
	for _, f := range specFields {
		out = append(out, f.name)
	}
	for _, l := range limitPairs(nil) {
		out = append(out, l.quantity+"_lower", l.quantity+"_upper")
	}
	return append(out, "reference", "ref_L", "ref_a", "ref_b", "ref_wine", "ref_target", "ref_trial")
}

// specBody is the form as a body of the interface. Of the version before it, what
// the form has no field for stays: a form that cannot show approved lots must not
// take them out.
func specBody(typed url.Values, before *record.Spec) (root map[string]any, at places, faults []note) {
	root = map[string]any{}
	if before != nil {
		root = bodyBefore(*before, typed)
	}
	plain, at := sent{fields: specFields}.body(typed.Get)
	for _, f := range specFields {
		drop(root, f.pointer)
	}
	merge(root, plain)
	limits, _ := root["limits"].(map[string]any)
	if limits == nil {
		limits = map[string]any{}
	}
	for _, l := range limitPairs(nil) {
		lower, upper := l.quantity+"_lower", l.quantity+"_upper"
		delete(limits, l.quantity)
		low, high := strings.TrimSpace(typed.Get(lower)), strings.TrimSpace(typed.Get(upper))
		at.add("/limits/"+l.quantity+"/1", upper)
		at.add("/limits/"+l.quantity, lower)
		switch {
		case low != "" && high != "":
			limits[l.quantity] = []any{number(low), number(high)}
		case low != "":
			faults = append(faults, note{Field: upper, key: "note.both_limits"})
		case high != "":
			faults = append(faults, note{Field: lower, key: "note.both_limits"})
		}
	}
	delete(root, "limits")
	if len(limits) > 0 {
		root["limits"] = limits
	}
	for _, name := range []string{"tolerance", "warning", "reading_method", "reference_state", "ellipsoid"} {
		if m, ok := root[name].(map[string]any); ok && empty(m) {
			delete(root, name)
		}
	}
	at = append(at, referenceBody(typed, root)...)
	return root, at, faults
}

// bodyBefore is a version as a body of the interface, less its reference where the form
// gives another.
func bodyBefore(before record.Spec, typed url.Values) map[string]any {
	root := map[string]any{}
	data, err := json.Marshal(before.SpecBody)
	if err == nil {
		err = json.Unmarshal(data, &root)
	}
	if err != nil { // the store has just read it
		panic(err)
	}
	delete(root, "reference")
	if typed.Get("reference") != "kept" {
		delete(root, "target")
	}
	return root
}

// drop takes out what a pointer leads to, where it leads anywhere.
func drop(root map[string]any, pointer string) {
	tokens := strings.Split(pointer[1:], "/")
	for _, token := range tokens[:len(tokens)-1] {
		next, ok := root[token].(map[string]any)
		if !ok {
			return
		}
		root = next
	}
	delete(root, tokens[len(tokens)-1])
}

// merge adds what is in another body, object by object.
func merge(root, other map[string]any) {
	for k, v := range other {
		if inner, ok := v.(map[string]any); ok {
			if there, ok := root[k].(map[string]any); ok {
				merge(there, inner)
				continue
			}
		}
		root[k] = v
	}
}

// empty reports whether a body holds nothing.
func empty(m map[string]any) bool {
	for _, v := range m {
		if inner, ok := v.(map[string]any); !ok || !empty(inner) {
			return false
		}
	}
	return true
}

// referenceBody adds where the reference is taken from.
func referenceBody(typed url.Values, root map[string]any) (at places) {
	switch typed.Get("reference") {
	case "typed":
		lab, places := sent{fields: []sentField{{"ref_L", "/cielab/L", aNumber}, {"ref_a", "/cielab/a", aNumber}, {"ref_b", "/cielab/b", aNumber}}}.body(typed.Get)
		if len(lab) > 0 {
			root["target"] = lab
		}
		for _, p := range places {
			at.add("/target"+p.pointer, p.field)
		}
		at.add("/target", "ref_L")
	case "wine":
		root["target"] = map[string]any{"wine": map[string]any{"id": typed.Get("ref_wine")}}
		at.add("/target", "ref_wine")
	case "target":
		root["target"] = map[string]any{"id": typed.Get("ref_target")}
		at.add("/target", "ref_target")
	case "trial":
		root["reference"] = map[string]any{"trial": typed.Get("ref_trial")}
		at.add("/reference", "ref_trial")
	case "lots":
		lots := []any{}
		for _, id := range typed["ref_lots"] {
			lots = append(lots, id)
		}
		root["reference"] = map[string]any{"lots": lots}
		at.add("/reference", "ref_lots")
	}
	return at
}

// typedOf is a version as the form would have been typed. A reference that was
// copied from a record comes as its colour, which is what the version has.
func typedOf(spec record.Spec) url.Values {
	v := url.Values{}
	set := func(name, text string) {
		if text != "" {
			v.Set(name, text)
		}
	}
	numberIn := func(name string, x *float64) {
		if x != nil {
			v.Set(name, plain(*x))
		}
	}
	set("name", spec.Name)
	set("product", spec.Product)
	set("rule", spec.Rule)
	set("approved_by", spec.ApprovedBy)
	numberIn("max_risk", spec.MaxRisk)
	if t := spec.Tolerance; t != nil {
		if t.DeltaE00 > 0 {
			numberIn("delta_e_00", &t.DeltaE00)
		}
		if t.DeltaEab > 0 {
			numberIn("delta_e_ab", &t.DeltaEab)
		}
		numberIn("kL", t.KL)
		numberIn("kC", t.KC)
		numberIn("kH", t.KH)
	}
	if w := spec.Warning; w != nil && w.Tolerance != nil && w.Tolerance.DeltaE00 > 0 {
		numberIn("warn_delta_e_00", &w.Tolerance.DeltaE00)
	}
	if m := spec.Reading; m != nil {
		set("source", m.Source)
		if m.SameSession {
			v.Set("same_session", "true")
		}
	}
	for _, l := range limitPairs(spec.Limits) {
		if l.pair != nil {
			v.Set(l.quantity+"_lower", plain(l.pair[0]))
			v.Set(l.quantity+"_upper", plain(l.pair[1]))
		}
	}
	if state := spec.ReferenceState; state != nil {
		numberIn("free_so2", state.FreeSO2)
	}
	v.Set("reference", "none")
	if spec.Target != nil {
		v.Set("reference", "kept")
	}
	if t := spec.Target; t != nil && t.CIELAB != nil {
		v.Set("reference", "typed")
		v.Set("ref_L", plain(t.CIELAB.L))
		v.Set("ref_a", plain(t.CIELAB.A))
		v.Set("ref_b", plain(t.CIELAB.B))
	}
	return v
}

// specForm answers with an empty form.
func (s *site) specForm(r *http.Request) (document, error) {
	return s.specFormAgain(r, nil, url.Values{"reference": {"typed"}, "rule": {"guarded"}, "source": {"readings"}}, nil)
}

// versionForm answers with the form filled from the newest version.
func (s *site) versionForm(r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	newest, err := s.config.Records.Spec(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	typed := typedOf(newest)
	typed.Set("seen", strconv.Itoa(newest.Version))
	return s.specFormAgain(r, &newest, typed, nil)
}

// specFormAgain is the form as it was typed, with what is wrong.
func (s *site) specFormAgain(r *http.Request, of *record.Spec, typed url.Values, faults []note) (document, error) {
	v := specFormView{frame: s.frame("lots"), Page: "specs", Key: uuid.NewString(), Of: of, Seen: typed.Get("seen")}
	if of != nil {
		v.Name = specName(*of)
	}
	var err error
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	from, err := s.referencesFrom(r)
	if err != nil {
		return document{}, err
	}
	ways := references
	if of != nil && of.Target != nil {
		ways = append([]string{"kept"}, references...)
	}
	texts := func(names ...string) []formField { return fieldsOf(typed, faults, "text", names...) }
	decimals := func(names ...string) []formField { return fieldsOf(typed, faults, "decimal", names...) }
	choice := func(name string, values ...string) formField { return choiceOf(typed, faults, name, values...) }
	pick := func(name string, list []option) formField { return pickOf(typed, faults, name, list) }
	lots := pick("ref_lots", from.lots)
	lots.Kind = "several"
	v.Groups = []formGroup{
		{"what", texts("name", "product", "approved_by")},
		{"reference", append(append([]formField{choice("reference", ways...)}, decimals("ref_L", "ref_a", "ref_b")...),
			pick("ref_wine", from.wines), pick("ref_target", from.targets), pick("ref_trial", from.trials), lots, decimals("free_so2")[0])},
		{"tolerance", decimals("delta_e_00", "warn_delta_e_00", "delta_e_ab", "kL", "kC", "kH", "confidence")},
	}
	var limits []formField
	for _, l := range limitPairs(nil) {
		limits = append(limits, decimals(l.quantity+"_lower", l.quantity+"_upper")...)
	}
	v.Groups = append(v.Groups, formGroup{"limits", limits},
		formGroup{"rule", []formField{choice("rule", "guarded", "simple").helped(), decimals("max_risk")[0], choice("source", "", "readings", "spectrum", "cielab"), choice("same_session", "", "true")}},
		formGroup{"valid", texts("valid_from", "valid_to")})
	return s.render("specform.html", v)
}

// sources are what a reference may be taken from.
type sources struct{ wines, targets, trials, lots []option }

func (s *site) referencesFrom(r *http.Request) (out sources, err error) {
	shelves, err := s.shelves(r)
	if err != nil {
		return out, err
	}
	named := func(list []picked) (options []option) {
		for _, p := range list {
			options = append(options, option{Value: p.id, Name: p.name})
		}
		return options
	}
	out.wines, out.targets = append(append(named(shelves.others), named(shelves.whites)...), named(shelves.reds)...), named(shelves.targets)
	newest := record.Page{Newest: true, Limit: pickable}
	trials, err := s.config.Records.Trials(r.Context(), newest)
	if err != nil {
		return out, err
	}
	for _, t := range trials {
		if p, err := t.Progress(); err == nil && p.Choice != nil {
			out.trials = append(out.trials, option{Value: t.ID, Name: s.trialName(t)})
		}
	}
	lots, err := s.config.Records.Lots(r.Context(), newest)
	for _, l := range lots {
		out.lots = append(out.lots, option{Value: l.ID, Name: l.Name})
	}
	return out, err
}
