package pages

import (
	"net/http"
	"net/url"
	"slices"

	"pourpath/api/record"
	"pourpath/colour/cie"
)

// The fields of the form of a specification.
var (
	specNamed = []asked{
		{sentField: sentField{"name", "/name", aText}},
		{sentField: sentField{"product", "/product", aText}, help: true, like: true},
	}
	specReference = []asked{
		{sentField: sentField{"reference", "", aText}, as: askPick, wide: true},
		{sentField: sentField{"target_L", "/target/cielab/L", aNumber}},
		{sentField: sentField{"target_a", "/target/cielab/a", aNumber}},
		{sentField: sentField{"target_b", "/target/cielab/b", aNumber}},
		{sentField: sentField{"target_wine", "/target/wine/id", aText}, as: askPick, wide: true},
		{sentField: sentField{"target_trial", "/reference/trial", aText}, as: askPick, wide: true},
	}
	specTolerance = []asked{
		{sentField: sentField{"delta_e_00", "/tolerance/delta_e_00", aNumber}},
		{sentField: sentField{"warn_delta_e_00", "/warning/tolerance/delta_e_00", aNumber}},
		{sentField: sentField{"delta_e_ab", "/tolerance/delta_e_ab", aNumber}},
		{sentField: sentField{"warn_delta_e_ab", "/warning/tolerance/delta_e_ab", aNumber}},
	}
	specWeights = []asked{
		{sentField: sentField{"kL", "/tolerance/kL", aNumber}},
		{sentField: sentField{"kC", "/tolerance/kC", aNumber}},
		{sentField: sentField{"kH", "/tolerance/kH", aNumber}},
	}
	specRegion = []asked{
		{sentField: sentField{"ellipsoid", "", aTruth}, as: askTick, wide: true},
		{sentField: sentField{"confidence", "/ellipsoid/confidence", aNumber}},
		{sentField: sentField{"warn_confidence", "/warning/ellipsoid/confidence", aNumber}},
	}
	specReading = []asked{
		{sentField: sentField{"source", "/reading_method/source", aText}, as: askPick, values: []string{"", "readings", "spectrum", "cielab"}, wide: true},
		{sentField: sentField{"read_path_mm", "/reading_method/path_mm", aNumber}},
		{sentField: sentField{"read_dilution", "/reading_method/dilution", aNumber}},
		{sentField: sentField{"read_u", "/reading_method/u_absorbance", aNumber}},
		{sentField: sentField{"read_extra", "", aText}, like: true},
		{sentField: sentField{"read_decimals", "/reading_method/decimals", aNumber}},
		{sentField: sentField{"read_session", "/reading_method/same_session", aTruth}, as: askTick, wide: true},
	}
	specRule = []asked{
		{sentField: sentField{"rule", "/rule", aText}, as: askPick, values: []string{"guarded", "simple"}, wide: true},
		{sentField: sentField{"max_risk", "/max_risk", aNumber}, help: true},
	}
	specConditions = []asked{
		{sentField: sentField{"illuminant", "/view/illuminant", aText}, as: askPick, values: illuminants()},
		{sentField: sentField{"observer", "/view/observer", aText}, as: askPick, values: []string{"10", "2"}},
		{sentField: sentField{"view_path_mm", "/view/path_mm", aNumber}},
	}
	specState = stateFields("/reference_state")
	specTerm  = []asked{
		{sentField: sentField{"valid_from", "/valid_from", aText}, like: true, help: true},
		{sentField: sentField{"valid_to", "/valid_to", aText}, like: true},
		{sentField: sentField{"approved_by", "/approved_by", aText}},
	}
)

// stateFields are those of the state of a wine.
func stateFields(place string) []asked {
	choice := []string{"", "true", "false"}
	return []asked{
		{sentField: sentField{"free_so2", place + "/free_so2_mg_per_l", aNumber}},
		{sentField: sentField{"total_so2", place + "/total_so2_mg_per_l", aNumber}},
		{sentField: sentField{"co2", place + "/co2_mg_per_l", aNumber}},
		{sentField: sentField{"wine_temperature", place + "/wine_temperature_c", aNumber}},
		{sentField: sentField{"filtered", place + "/filtered", aTruth}, as: askPick, values: choice},
		{sentField: sentField{"acetaldehyde", place + "/acetaldehyde_added", aTruth}, as: askPick, values: choice},
	}
}

func illuminants() (list []string) {
	for _, lamp := range cie.Illuminants() {
		list = append(list, string(lamp))
	}
	return list
}

// limited are the quantities that limits can be set to, as the interface names
// them, in the order of the form.
var limited = []string{"L", "a", "b", "C", "h", "intensity", "tint", "yellow_percent", "red_percent", "blue_percent"}

// The four fields of a quantity, by the end of their names.
var limitEnds = []struct {
	end, pointer string
	at           int
}{{"least", "/limits/", 0}, {"most", "/limits/", 1}, {"warn_least", "/warning/limits/", 0}, {"warn_most", "/warning/limits/", 1}}

// specUsual is a form to begin with.
func specUsual() url.Values {
	return url.Values{
		"reference": {"lab"}, "rule": {"guarded"}, "max_risk": {"0.05"}, "illuminant": {"D65"}, "observer": {"10"}, "view_path_mm": {"10"},
		"source": {"readings"}, "read_path_mm": {"10"},
	}
}

// specAsked is the form of a specification as it is shown.
type specAsked struct {
	Action, Key, Seen string
	Groups            []askGroup
	Faults            []toldFault
}

// specForm shows the form; kept is the version that it begins with, or nil.
func (s *site) specForm(r *http.Request, typed url.Values, faults []note, kept *record.Spec) (specAsked, error) {
	options, err := s.specOptions(r, typed, kept)
	if err != nil {
		return specAsked{}, err
	}
	f, usual := filled{form: "spec", typed: typed, faults: faults, options: options}, specUsual()
	reference := f.group("reference", specReference)
	reference.About = true
	reference.Rows = []askRow{{Fields: lotTicks(f, options["lots"])}}
	if len(reference.Rows[0].Fields) == 0 {
		reference.Rows = nil
	}
	tolerance := f.group("tolerance", specTolerance)
	region := f.folded("region", specRegion, usual)
	region.About = true
	state := f.folded("state", specState, usual)
	state.About = true
	reading := f.group("reading", specReading)
	reading.About = true
	groups := []askGroup{
		f.group("named", specNamed), reference, tolerance, f.folded("weights", specWeights, usual), f.limits(), region, reading,
		f.group("rule", specRule), f.folded("view", specConditions, usual), state, f.group("term", specTerm),
	}
	return specAsked{Groups: groups, Faults: f.told(groups), Key: newKey()}, nil
}

// limits are the limits of single quantities, a row each.
func (f filled) limits() askGroup {
	g := askGroup{Key: "limits", Folded: true, About: true}
	for _, q := range limited {
		row := askRow{Name: q}
		var fields []asked
		for _, e := range limitEnds {
			fields = append(fields, asked{sentField: sentField{q + "_" + e.end, "", aNumber}, label: e.end, row: q})
		}
		for _, a := range fields {
			row.Fields = append(row.Fields, f.show(a))
		}
		g.Open = g.Open || f.touched(fields, nil)
		g.Rows = append(g.Rows, row)
	}
	return g
}

// lotTicks are the released lots, to tick those whose mean is the reference.
func lotTicks(f filled, lots []option) []askShown {
	var out []askShown
	for i, lot := range lots {
		a := f.show(asked{sentField: sentField{"lots", "", aText}, as: askTick})
		if a.ID += "-" + lot.Value; i > 0 {
			a.Faults = nil
		}
		a.Text, a.Of, a.Chosen = lot.Value, lot.Name, lot.Chosen
		out = append(out, a)
	}
	return out
}

// specOptions are what the form's lists hold.
func (s *site) specOptions(r *http.Request, typed url.Values, kept *record.Spec) (map[string][]option, error) {
	out := map[string][]option{}
	pick := func(name, value, shown string) {
		out[name] = append(out[name], option{Value: value, Name: shown, Chosen: slices.Contains(typed[name], value)})
	}
	sources := []string{"lab", "wine", "trial", "lots", "none"}
	if kept != nil {
		sources = append([]string{"kept"}, sources...)
	}
	for _, v := range sources {
		pick("reference", v, "")
	}
	wines, err := s.config.Records.Wines(r.Context(), record.Page{Newest: true, Limit: pickable})
	if err != nil {
		return nil, err
	}
	pick("target_wine", "", "")
	for _, w := range wines {
		pick("target_wine", w.ID, pickedWine(w).name)
	}
	trials, err := s.config.Records.Trials(r.Context(), record.Page{Newest: true, Limit: pickable})
	if err != nil {
		return nil, err
	}
	pick("target_trial", "", "")
	for _, t := range trials {
		if progress, err := t.Progress(); err == nil && progress.Choice != nil {
			pick("target_trial", t.ID, s.trialName(t)+": "+s.words.digits(plainML(progress.Choice.DoseMLPer100ML))+" "+s.words.Texts["unit.dose"])
		}
	}
	lots, err := s.config.Records.Lots(r.Context(), record.Page{Newest: true, Limit: pickable})
	if err != nil {
		return nil, err
	}
	for _, lot := range lots {
		switch d, err := s.config.Records.DecisionOf(r.Context(), lot.ID); {
		case err != nil:
			return nil, err
		case d != nil && d.Decision == "released":
			pick("lots", lot.ID, lot.Name)
		}
	}
	return out, nil
}
