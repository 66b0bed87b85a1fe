package pages

import (
	"net/url"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// specBody is the form as a body of the interface. kept is the version whose
// reference stays, where that is chosen.
func specBody(words *catalogue, typed url.Values, kept *record.Spec) (map[string]any, places, error) {
	plainFields := fieldsOf(specNamed, specTolerance, specReading, specRule, specConditions, specState, specTerm)
	weights := fieldsOf(specWeights)
	plainFields.fields = append(plainFields.fields, weights.fields...)
	root, at := plainFields.body(words, words.timed(typed, "valid_from", "valid_to"))
	if typed.Get("rule") == "simple" {
		delete(root, "max_risk") // it is of the other rule
	}
	readingBody(words, root, &at, typed)
	limitsBody(words, root, &at, typed)
	if typed.Get("ellipsoid") == "true" {
		put(root, "/ellipsoid/confidence", words.number(or(typed.Get("confidence"), "0.95")))
		at.add("/ellipsoid/confidence", "confidence")
		if text := strings.TrimSpace(typed.Get("warn_confidence")); text != "" {
			put(root, "/warning/ellipsoid/confidence", words.number(text))
		}
	}
	at.add("/warning/ellipsoid/confidence", "warn_confidence")
	at.add("/ellipsoid", "ellipsoid")
	at.add("/approved_lots", "reference")
	err := referenceBody(words, root, &at, typed, kept)
	at.add("/tolerance", "delta_e_00")
	return root, at, err
}

func or(text, usual string) string {
	if text = strings.TrimSpace(text); text == "" {
		return usual
	}
	return text
}

// readingBody is how lots are read; what does not belong to the source is left
// out, as the form has a field for it all the same.
func readingBody(words *catalogue, root map[string]any, at *places, typed url.Values) {
	at.add("/reading_method/extra_nm", "read_extra")
	source := typed.Get("source")
	if source == "" {
		delete(root, "reading_method")
		return
	}
	if extra := words.numbers(typed.Get("read_extra")); len(extra) > 0 && source == "readings" {
		put(root, "/reading_method/extra_nm", extra)
	}
	if m, ok := root["reading_method"].(map[string]any); ok {
		if source == "cielab" {
			delete(m, "path_mm")
			delete(m, "dilution")
			delete(m, "u_absorbance")
		} else {
			delete(m, "decimals")
		}
	}
}

// limitsBody are the limits of single quantities. One that is typed alone is sent
// with an empty other, which the interface asks for.
func limitsBody(words *catalogue, root map[string]any, at *places, typed url.Values) {
	for _, q := range limited {
		pairs := map[string][]any{}
		for _, e := range limitEnds {
			place, name := e.pointer+q, q+"_"+e.end
			at.add(place+[]string{"/0", "/1"}[e.at], name)
			if pairs[place] == nil {
				pairs[place] = []any{"", ""}
				at.add(place, name)
			}
			if text := strings.TrimSpace(typed.Get(name)); text != "" {
				pairs[place][e.at] = words.number(text)
			}
		}
		for place, pair := range pairs {
			if pair[0] != "" || pair[1] != "" {
				put(root, place, pair)
			}
		}
	}
}

// referenceBody is what a wine is compared with, from where the form says. Of the
// other fields nothing is taken.
func referenceBody(words *catalogue, root map[string]any, at *places, typed url.Values, kept *record.Spec) error {
	at.add("/target/cielab/L", "target_L")
	at.add("/target/cielab/a", "target_a")
	at.add("/target/cielab/b", "target_b")
	from := typed.Get("reference")
	first := map[string]string{"lab": "target_L", "wine": "target_wine", "trial": "target_trial"}[from]
	if first == "" {
		first = "reference"
	}
	at.add("/target", first)
	at.add("/reference", first)
	switch from {
	case "lab":
		body, _ := fieldsOf(specReference[1:4]).body(words, typed.Get)
		if body["target"] == nil {
			body["target"] = map[string]any{"cielab": map[string]any{}} // which the interface asks about
		}
		root["target"] = body["target"]
	case "wine":
		put(root, "/target/wine/id", typed.Get("target_wine"))
	case "trial":
		put(root, "/reference/trial", typed.Get("target_trial"))
	case "lots":
		lots := []any{}
		for _, id := range typed["lots"] {
			lots = append(lots, id)
		}
		if len(lots) > 0 {
			at.add("/reference/lots", "lots")
		}
		put(root, "/reference/lots", lots)
	case "kept":
		return keptReference(root, kept)
	}
	return nil
}

// keptReference takes the reference of a version over as it is there.
func keptReference(root map[string]any, kept *record.Spec) error {
	if kept == nil {
		return nil
	}
	if kept.Target != nil {
		target := *kept.Target
		if root["tolerance"] != nil {
			target.Tolerance = nil // the form has it
		}
		whole, err := object(target)
		if err != nil {
			return err
		}
		root["target"] = whole
	}
	if kept.ApprovedLots != nil {
		list := make([]any, len(kept.ApprovedLots))
		for i, lot := range kept.ApprovedLots {
			list[i] = map[string]any{"L": lot.L, "a": lot.A, "b": lot.B}
		}
		root["approved_lots"] = list
	}
	return nil
}

// specTyped is a version as it would be typed into the form.
func specTyped(spec record.Spec) url.Values {
	v := url.Values{"reference": {"kept"}, "rule": {or(spec.Rule, "simple")}}
	text := func(name, value string) {
		if value != "" {
			v.Set(name, value)
		}
	}
	num := func(name string, value *float64) {
		if value != nil {
			v.Set(name, string(plain(*value)))
		}
	}
	text("name", spec.Name)
	text("product", spec.Product)
	if t := spec.Tolerance; t != nil {
		num("delta_e_00", notZero(t.DeltaE00))
		num("delta_e_ab", notZero(t.DeltaEab))
		num("kL", t.KL)
		num("kC", t.KC)
		num("kH", t.KH)
	} else if t := spec.Target; t != nil && t.Tolerance != nil {
		num("delta_e_00", &t.Tolerance.DeltaE00)
	}
	limitsTyped(spec.Limits, "_least", "_most", num)
	if spec.Ellipsoid != nil {
		v.Set("ellipsoid", "true")
		num("confidence", spec.Ellipsoid.Confidence)
	}
	if w := spec.Warning; w != nil {
		if w.Tolerance != nil {
			num("warn_delta_e_00", notZero(w.Tolerance.DeltaE00))
			num("warn_delta_e_ab", notZero(w.Tolerance.DeltaEab))
		}
		if w.Ellipsoid != nil {
			num("warn_confidence", &w.Ellipsoid.Confidence)
		}
		limitsTyped(w.Limits, "_warn_least", "_warn_most", num)
	}
	num("max_risk", spec.MaxRisk)
	methodTyped(v, spec.Reading, num)
	view := spec.View.Core()
	v.Set("illuminant", string(view.Illuminant))
	v.Set("observer", string(view.Observer))
	num("view_path_mm", &view.DepthMM)
	stateTyped(v, spec.ReferenceState, num)
	return v
}

func notZero(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return &x
}

func limitsTyped(l *calc.Limits, least, most string, num func(string, *float64)) {
	for _, q := range limited {
		if pair := limitOf(l, q); pair != nil {
			num(q+least, &pair[0])
			num(q+most, &pair[1])
		}
	}
}

// limitOf are the limits of a quantity; nil where there are none.
func limitOf(l *calc.Limits, name string) *[2]float64 {
	if l == nil {
		return nil
	}
	return map[string]*[2]float64{
		"L": l.L, "a": l.A, "b": l.B, "C": l.C, "h": l.H, "intensity": l.Intensity, "tint": l.Tint,
		"yellow_percent": l.YellowPercent, "red_percent": l.RedPercent, "blue_percent": l.BluePercent,
	}[name]
}

func methodTyped(v url.Values, m *calc.ReadingMethod, num func(string, *float64)) {
	if m == nil {
		return
	}
	v.Set("source", m.Source)
	num("read_path_mm", m.PathMM)
	num("read_dilution", m.Dilution)
	num("read_u", m.UAbsorbance)
	var extra []string
	for _, nm := range m.ExtraNM {
		extra = append(extra, string(plain(nm)))
	}
	v.Set("read_extra", strings.Join(extra, " "))
	if m.Decimals != nil {
		d := float64(*m.Decimals)
		num("read_decimals", &d)
	}
	if m.SameSession {
		v.Set("read_session", "true")
	}
}

func stateTyped(v url.Values, s *record.State, num func(string, *float64)) {
	if s == nil {
		return
	}
	num("free_so2", s.FreeSO2)
	num("total_so2", s.TotalSO2)
	num("co2", s.CO2)
	num("wine_temperature", s.Temperature)
	for name, b := range map[string]*bool{"filtered": s.Filtered, "acetaldehyde": s.Acetaldehyde} {
		switch {
		case b == nil:
		case *b:
			v.Set(name, "true")
		default:
			v.Set(name, "false")
		}
	}
}
