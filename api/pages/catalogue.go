package pages

import (
	"encoding/json"
	"fmt"
	"html/template"
)

// catalogue holds every text of the pages. A text may have places for values,
// as fmt.Sprintf knows them.
type catalogue struct {
	Texts map[string]string   `json:"texts"`
	Lists map[string][]remark `json:"lists"`
}

// remark is a line of a list: what it is about, and what to know or do. One that
// is linked to has an ID.
type remark struct {
	ID    string `json:"id"`
	About string `json:"about"`
	Text  string `json:"text"`
}

func readCatalogue(name string) (*catalogue, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("pages: catalogue: %w", err)
	}
	var c catalogue
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("pages: catalogue %s: %w", name, err)
	}
	return &c, nil
}

// text returns a text with its values in place. A key that is not there is an
// error, never an empty line.
func (c *catalogue) text(key string, values ...any) (string, error) {
	t, ok := c.Texts[key]
	if !ok {
		return "", fmt.Errorf("pages: catalogue: no text %q", key)
	}
	if len(values) == 0 {
		return t, nil
	}
	return fmt.Sprintf(t, values...), nil
}

// list returns a list of remarks.
func (c *catalogue) list(key string) ([]remark, error) {
	l, ok := c.Lists[key]
	if !ok {
		return nil, fmt.Errorf("pages: catalogue: no list %q", key)
	}
	return l, nil
}

func (c *catalogue) functions() template.FuncMap {
	return template.FuncMap{"t": c.text, "list": c.list, "named": c.named, "label": c.label, "term": c.term}
}

// named is the name of the wine in a slot, or what a typed one is called.
func (c *catalogue) named(slot, name string) (string, error) {
	if name != "" {
		return name, nil
	}
	return c.text("yours." + slot)
}

// label is the text beside a field.
func (c *catalogue) label(name string) (string, error) {
	for _, at := range slots() {
		switch name {
		case at.name:
			return c.text("where." + name)
		case at.dose():
			return c.text("field.dose")
		}
		for _, p := range at.parts() {
			if name == at.field(p).name {
				return c.text("part." + p.end)
			}
		}
	}
	return c.text("field." + name)
}
