package pages

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// beginView is the form that begins a trial.
type beginView struct {
	frame
	Base, Addition, Held, Held2, Target []option
	Unstored                            []unstored // wines that are stored with the trial
	Preview                             bool       // it was filled from one
	Lamp                                string     // that its colours are for
	DepthMM                             entered
	Measured                            bool // its path goes by a rung that was read, typed or of the invented cellar
	Tools                               []usualTool
	ToolFaults                          []said // that no tool is named
	Kinds                               []option
	Faults                              []note
	Key                                 string // of one trial

	typed url.Values
}

// usualTool is a measuring tool that many benches have.
type usualTool struct {
	Key    string // of its text
	Chosen bool
	tool   calc.Tool
}

// toolsField holds which of the usual tools are at hand.
const toolsField = "tools"

// usualTools are what a bench often has; which graduations are usual says the
// standard of each (ISO 7886-1, ISO 835, ISO 4788), which spoons hold what is
// common practice, no source.
func usualTools() []usualTool {
	return []usualTool{
		{Key: "syringe_5", tool: calc.Tool{Name: "5 mL syringe", Kind: "syringe", CapacityML: 5, GraduationML: 0.2}},
		{Key: "syringe_10", tool: calc.Tool{Name: "10 mL syringe", Kind: "syringe", CapacityML: 10, GraduationML: 0.5}},
		{Key: "pipette_10", tool: calc.Tool{Name: "10 mL graduated pipette", Kind: "graduated_pipette", CapacityML: 10, GraduationML: 0.1, Class: "B"}},
		{Key: "cylinder_10", tool: calc.Tool{Name: "10 mL cylinder", Kind: "cylinder", CapacityML: 10, GraduationML: 0.2, Class: "B"}},
		{Key: "cylinder_25", tool: calc.Tool{Name: "25 mL cylinder", Kind: "cylinder", CapacityML: 25, GraduationML: 0.5, Class: "B"}},
		{Key: "teaspoon", tool: calc.Tool{Measure: "teaspoon"}},
		{Key: "tablespoon", tool: calc.Tool{Measure: "tablespoon"}},
	}
}

// ownTool are the fields of a tool of one's own.
var ownTool = []sentField{
	{"own_name", "/name", aText}, {"own_kind", "/kind", aText}, {"own_capacity_ml", "/capacity_ml", aNumber},
	{"own_graduation_ml", "/graduation_ml", aNumber}, {"own_class", "/class", aText}, {"own_country", "/country", aText},
}

// beginFields are the plain fields of the form.
var beginFields = []sentField{
	{"name", "/name", aText}, {"base", "/base/id", aText}, {"addition", "/addition/id", aText}, {"addition_name", "/addition/name", aText}, {"base_ml", "/base_ml", aNumber},
	{"visible_step", "/visible_step", aNumber},
}

// beginForm answers with the empty form, or with one that is filled from the preview
// whose address it has.
func (s *site) beginForm(r *http.Request) (document, error) {
	if r.URL.RawQuery == "" {
		return s.beginAgain(r, url.Values{"base_ml": {"100"}, "glasses": {"A B C"}, toolsField: {"syringe_10"}}, nil)
	}
	c, err := s.read(r.Context(), r.URL.RawQuery)
	if err != nil {
		return document{}, err
	}
	typed, err := s.beginFrom(r.Context(), c)
	if err != nil {
		return document{}, err
	}
	return s.beginAgain(r, typed, nil)
}

// beginAgain is the form as it was typed, with what is wrong.
func (s *site) beginAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	v := beginView{frame: s.frame(r, "trials"), Tools: usualTools(), typed: typed, Key: newKey()}
	wines, err := s.shelves(r)
	if err != nil {
		return document{}, err
	}
	c, _, err := s.previewOf(r.Context(), typed)
	if err != nil {
		return document{}, err
	}
	if v.Preview = c != nil; v.Preview {
		v.Lamp, v.DepthMM = c.typed[lampField], entered(c.typed[depthField])
		v.Measured = c.picked[rungSlot.name].chosen() || len(c.tasted()) > 0
	}
	for field, list := range map[string][]picked{"base": wines.base(), "addition": wines.addition(), "held": wines.addition(), "held2": wines.addition()} {
		if err := v.offer(s, r, field, list); err != nil {
			return document{}, err
		}
	}
	for _, p := range wines.targets {
		v.Target = append(v.Target, option{p.id, p.name, p.id == typed.Get("target")})
	}
	if typed.Get("target") == asPreviewed {
		v.Target = append(v.Target, option{Value: asPreviewed, Chosen: true})
	}
	for i := range v.Tools {
		v.Tools[i].Chosen = slices.Contains(typed[toolsField], v.Tools[i].Key)
	}
	for _, kind := range []string{"", "syringe", "graduated_pipette", "volumetric_pipette", "cylinder", "spoon", "cup"} {
		v.Kinds = append(v.Kinds, option{Value: kind, Chosen: kind == typed.Get("own_kind")})
	}
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	for _, n := range v.Faults {
		if n.Field == toolsField {
			v.ToolFaults = append(v.ToolFaults, n.Message)
		}
	}
	v.Unstored = unstoredOf(c, typed, v.Faults)
	d, err := s.render("begin.html", v)
	d.passing = true // it has a key for one trial
	return d, err
}

// offer fills a list of wines to choose from, with what the form has chosen.
func (v *beginView) offer(s *site, r *http.Request, field string, wines []picked) (err error) {
	chosen := v.typed.Get(field)
	var list []option
	if chosen == asTyped {
		list = append(list, option{Value: asTyped, Chosen: true})
	}
	for _, p := range wines {
		list = append(list, option{p.id, p.name, p.id == chosen})
	}
	list, err = s.alsoListed(r.Context(), list, chosen)
	*map[string]*[]option{"base": &v.Base, "addition": &v.Addition, "held": &v.Held, "held2": &v.Held2}[field] = list
	return err
}

// beginNumbers are the fields of the form that hold numbers.
var beginNumbers = []string{
	"base_ml", ladderField, "tolerance", "target_L", "target_a", "target_b", "own_capacity_ml", "own_graduation_ml",
	"held_dose", "held2_dose", "samples", "visible_step",
}

// Typed is what was typed into a field.
func (v beginView) Typed(field string) said {
	text := v.typed.Get(field)
	if slices.Contains(beginNumbers, field) {
		return entered(text)
	}
	return text
}

// shelves are the stored wines, the likeliest first for each part, and the stored
// targets.
type shelves struct{ whites, reds, others, targets []picked }

func (s shelves) base() []picked     { return slices.Concat(s.whites, s.others, s.reds) }
func (s shelves) addition() []picked { return slices.Concat(s.reds, s.others, s.whites) }

func (s *site) shelves(r *http.Request) (out shelves, err error) {
	newest := record.Page{Newest: true, Limit: pickable}
	wines, err := s.config.Records.Wines(r.Context(), newest)
	if err != nil {
		return out, err
	}
	for _, w := range wines {
		switch w.Kind {
		case record.White:
			out.whites = append(out.whites, pickedWine(w))
		case record.Red:
			out.reds = append(out.reds, pickedWine(w))
		default:
			out.others = append(out.others, pickedWine(w))
		}
	}
	targets, err := s.config.Records.Targets(r.Context(), newest)
	for _, t := range targets {
		out.targets = append(out.targets, picked{id: t.ID, name: t.Name})
	}
	return out, err
}

// begin begins a trial, once, and leads to its page, or tells what is wrong.
func (s *site) begin(w http.ResponseWriter, r *http.Request) (document, error) {
	return s.takeForm(w, r, taking{
		take:  func(typed url.Values) (string, places, error) { return s.takeTrial(r.Context(), typed) },
		again: func(typed url.Values, faults []note) (document, error) { return s.beginAgain(r, typed, faults) },
	})
}

// beginBody is the form as a body of the interface.
func beginBody(words *catalogue, typed url.Values) (map[string]any, places) {
	root, at := sent{fields: beginFields}.body(words, typed.Get)
	for _, slot := range []string{"base", "addition"} {
		if root[slot] == nil {
			root[slot] = map[string]any{} // which the interface asks about
		}
		at.add("/"+slot, slot)
	}
	if addition, ok := root["addition"].(map[string]any); ok && addition["id"] != nil {
		delete(addition, "name") // it has one of its own
	}
	glasses := []any{}
	for _, label := range parted(typed.Get("glasses")) {
		glasses = append(glasses, label)
	}
	root["glasses"] = glasses
	at.add("/glasses", "glasses")
	var held []any
	for _, slot := range beginSlots[2:] {
		here := fmt.Sprintf("/held/%d", len(held))
		at.add(here+"/wine", slot.field)
		at.add(here+"/dose_ml_per_100ml", slot.dose)
		if id := typed.Get(slot.field); id != "" {
			held = append(held, map[string]any{"wine": map[string]any{"id": id}, "dose_ml_per_100ml": words.number(orZero(strings.TrimSpace(typed.Get(slot.dose))))})
		}
	}
	if held != nil {
		root["held"] = held
	}
	if samples := words.numbers(typed.Get("samples")); len(samples) > 0 {
		root["sample_volumes_ml"] = samples
	}
	at.add("/sample_volumes_ml", "samples")
	if target, places := targetBody(words, typed); target != nil {
		root["target"] = target
		at = append(at, places...)
	}
	if tools, places := toolsBody(words, typed); len(tools) > 0 {
		root["tools"] = tools
		at = append(at, places...)
	}
	return root, at
}

// targetBody is the target: a stored one, or a colour of one's own.
func targetBody(words *catalogue, typed url.Values) (map[string]any, places) {
	if id := typed.Get("target"); id != "" {
		root, at := sent{fields: []sentField{{"tolerance", "/tolerance/delta_e_00", aNumber}}}.body(words, typed.Get)
		for i := range at {
			at[i].pointer = "/target" + at[i].pointer
		}
		root["id"] = id
		return root, append(at, place{"/target", "target"})
	}
	own := []sentField{
		{"target_L", "/cielab/L", aNumber}, {"target_a", "/cielab/a", aNumber}, {"target_b", "/cielab/b", aNumber},
		{"tolerance", "/tolerance/delta_e_00", aNumber},
	}
	root, at := sent{fields: own}.body(words, typed.Get)
	if len(root) == 0 {
		return nil, nil
	}
	for i := range at {
		at[i].pointer = "/target" + at[i].pointer
	}
	return root, append(at, place{"/target", "target_L"})
}

// toolsBody are the tools that were ticked, and one's own.
func toolsBody(words *catalogue, typed url.Values) ([]any, places) {
	var tools []any
	var at places
	for _, u := range usualTools() {
		if slices.Contains(typed[toolsField], u.Key) {
			at.add(fmt.Sprintf("/tools/%d", len(tools)), "tools-"+u.Key)
			u.tool.Name, _ = words.spoken(english(u.tool.Name))
			tools = append(tools, u.tool)
		}
	}
	own, places := sent{fields: ownTool}.body(words, typed.Get)
	if len(own) > 0 {
		here := fmt.Sprintf("/tools/%d", len(tools))
		for _, p := range places {
			at.add(here+p.pointer, p.field)
		}
		at.add(here, "own_name")
		tools = append(tools, own)
	}
	return tools, at
}

// errUnreadable is a form that is cut off, too long or no form.
var errUnreadable = errors.New("the form could not be read")
