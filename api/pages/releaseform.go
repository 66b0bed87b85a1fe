package pages

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// formGroup is a part of a form of the release check, with its heading.
type formGroup struct {
	Key    string // of its heading's text
	Fields []formField
}

// formField is a field as it stands.
type formField struct {
	Name, Value string
	Kind        string // text, decimal, area, or choice
	Options     []option
	Named       bool // options have names of their own; else texts by their value
	Help, Fault bool // Help says that there is a text about it
}

// fieldsOf makes fields of a form from what was typed; those at fault are marked.
func fieldsOf(typed url.Values, faults []note, kind string, names ...string) []formField {
	out := make([]formField, len(names))
	for i, name := range names {
		out[i] = formField{Name: name, Value: typed.Get(name), Kind: kind, Fault: slices.ContainsFunc(faults, func(n note) bool { return n.Field == name })}
	}
	return out
}

// choiceOf makes a field of options that have texts, the first one for none.
func choiceOf(typed url.Values, faults []note, name string, values ...string) formField {
	f := fieldsOf(typed, faults, "choice", name)[0]
	for _, v := range values {
		f.Options = append(f.Options, option{Value: v, Chosen: v == f.Value})
	}
	return f
}

// pickOf makes a field of options that have names.
func pickOf(typed url.Values, faults []note, name string, list []option) formField {
	f := fieldsOf(typed, faults, "choice", name)[0]
	f.Named = true
	for _, o := range list {
		o.Chosen = slices.Contains(typed[name], o.Value)
		f.Options = append(f.Options, o)
	}
	return f
}

func (f formField) helped() formField {
	f.Help = true
	return f
}

// keyField tells a press from the same press again.
const keyField = "key"

// posted reads the form of a request.
func posted(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return nil, fmt.Errorf("%w: %w", errUnreadable, err)
	}
	return r.PostForm, nil
}

// made is what a form came to: an address to go on at, or what is wrong with it.
type made struct {
	to     string
	faults []note
}

// once makes what a form asks for, once for each key: a thumb that presses twice,
// or a browser that sends again, is led to what was made.
func (s *site) once(typed url.Values, make func() (made, error)) (made, error) {
	key := typed.Get(keyField)
	if key == "" {
		return make()
	}
	if to, ok := s.sentOnce.Get(key); ok {
		return made{to: to}, nil
	}
	done, err, _ := s.sending.Do(key, func() (any, error) {
		m, err := make()
		if err == nil && m.to != "" {
			s.sentOnce.Add(key, m.to)
		}
		return m, err
	})
	m, _ := done.(made)
	return m, err
}

// sendBody decodes a body as the interface does and sends it; what is wrong is
// told at the fields it came from.
func sendBody[Body calc.Request](root map[string]any, at places, send func(Body) (string, error)) (made, error) {
	data, err := json.Marshal(root)
	if err != nil {
		return made{}, fmt.Errorf("pages: form: %w", err)
	}
	body, err := calc.DecodeWhole[Body](data)
	var to string
	if err == nil {
		to, err = send(body)
	}
	if errors.Is(err, record.ErrArchived) {
		return made{faults: []note{{key: "note.archived"}}}, nil
	}
	list, err := faultsOf(err)
	if err != nil || len(list) > 0 {
		return made{faults: at.notes(list)}, err
	}
	return made{to: to}, nil
}

// answerForm leads on, or shows the page again with what is wrong.
func answerForm(m made, again func(faults []note) (document, error)) (document, error) {
	if m.to != "" {
		return document{status: http.StatusSeeOther, to: m.to}, nil
	}
	d, err := again(m.faults)
	d.status, d.passing = http.StatusUnprocessableEntity, true
	return d, err
}

// measured is what was read, as a body has it, from the fields of a form:
// absorbances, or L*a*b*, or a scan that was pasted.
func measured(typed url.Values) (root map[string]any, at places, faults []note, err error) {
	kinds := map[string][]sentField{
		"readings": {{"a420", "/readings/a420", aNumber}, {"a520", "/readings/a520", aNumber}, {"a620", "/readings/a620", aNumber},
			{"path_mm", "/readings/path_mm", aNumber}, {"dilution", "/readings/dilution", aNumber}},
		"cielab": {{"L", "/cielab/L", aNumber}, {"a", "/cielab/a", aNumber}, {"b", "/cielab/b", aNumber}, {"path_mm", "/cielab/path_mm", aNumber}},
	}
	kind := "readings"
	switch {
	case strings.TrimSpace(typed.Get("scan")) != "":
		kind = "scan"
	case typed.Get("L")+typed.Get("a")+typed.Get("b") != "":
		kind = "cielab"
	}
	if kind != "scan" {
		root, at = sent{fields: kinds[kind]}.body(typed.Get)
		return root, at, nil, nil
	}
	m, list, err := readScan(typed.Get("scan"))
	if err != nil || len(list) > 0 {
		at.add("", "scan")
		for _, f := range list {
			faults = append(faults, note{Field: "scan", Message: strings.TrimSpace(f.Location + " " + f.Message)})
		}
		return nil, at, faults, err
	}
	data, err := json.Marshal(m)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("pages: scan: %w", err)
	}
	if err := json.Unmarshal(data, &root); err != nil {
		return nil, nil, nil, fmt.Errorf("pages: scan: %w", err)
	}
	extra, at := sent{fields: []sentField{{"path_mm", "/spectrum/path_mm", aNumber}, {"dilution", "/spectrum/dilution", aNumber}}}.body(typed.Get)
	if spectrum, ok := root["spectrum"].(map[string]any); ok {
		if more, ok := extra["spectrum"].(map[string]any); ok {
			for k, v := range more {
				spectrum[k] = v
			}
		}
	}
	at.add("/spectrum", "scan")
	return root, at, nil, nil
}
