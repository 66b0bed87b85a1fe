package pages

import (
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"pourpath/api/tongue"
)

// catalogue is a language of the pages: how it writes numbers and times, and every
// text. A text may have places for values, as fmt.Sprintf knows them.
type catalogue struct {
	code    string // of the file, the cookie and the form
	tag     language.Tag
	Writing writing                      `json:"writing"`
	Texts   map[string]string            `json:"texts"`
	Plurals map[string]map[string]string `json:"plurals"` // by the form of the first whole number that is put in: "one" or "other"
	Lists   map[string][]remark          `json:"lists"`

	// says what the interface says in English; nil where that is the language.
	tongue *tongue.Tongue
}

// writing is how a language writes what is no text.
type writing struct {
	Name    string `json:"name"`    // of the language, in itself
	Decimal string `json:"decimal"` // mark
	Group   string `json:"group"`   // between thousands, from five digits on
	Day     string `json:"day"`     // layouts as package time has them
	Time    string `json:"time"`
}

// remark is a line of a list: what it is about, and what to know or do. One that
// is linked to has an ID.
type remark struct {
	ID    string `json:"id"`
	About string `json:"about"`
	Text  string `json:"text"`
}

// inEnglish is the language that is taken where none of the others is wanted, and
// that in which the interface says things.
const inEnglish = "en"

// readCatalogues reads every language that there is a file of, English first. A
// further one needs its file and nothing else.
func readCatalogues() ([]*catalogue, error) {
	names, err := fs.Glob(files, "text/*.json")
	if err != nil {
		return nil, fmt.Errorf("pages: catalogues: %w", err)
	}
	var all []*catalogue
	for _, name := range names {
		one, err := readCatalogue(name)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b *catalogue) int {
		switch {
		case a.code == inEnglish:
			return -1
		case b.code == inEnglish:
			return 1
		}
		return strings.Compare(a.code, b.code)
	})
	return all, nil
}

func readCatalogue(name string) (*catalogue, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("pages: catalogue: %w", err)
	}
	c := catalogue{code: strings.TrimSuffix(path.Base(name), path.Ext(name))}
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("pages: catalogue %s: %w", name, err)
	}
	if c.tag, err = language.Parse(c.Texts["lang"]); err != nil {
		return nil, fmt.Errorf("pages: catalogue %s: its language: %w", name, err)
	}
	c.tongue, _ = tongue.In(c.code)
	return &c, nil
}

// text returns a text with its values in place, each as the language writes it. A
// key that is not there is an error, never an empty line.
func (c *catalogue) text(key string, values ...any) (string, error) {
	t, err := c.form(key, values)
	if err != nil || len(values) == 0 {
		return t, err
	}
	placed := make([]any, len(values))
	for i, v := range values {
		placed[i] = c.placed(v)
	}
	return fmt.Sprintf(t, placed...), nil
}

// form is the text of a key, in the form that its number asks for.
func (c *catalogue) form(key string, values []any) (string, error) {
	if t, ok := c.Texts[key]; ok {
		return t, nil
	}
	forms, ok := c.Plurals[key]
	if !ok {
		return "", fmt.Errorf("pages: catalogue: no text %q", key)
	}
	for _, v := range values {
		if n, whole := v.(int); whole {
			if plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0) == plural.One {
				return forms["one"], nil
			}
			return forms["other"], nil
		}
	}
	return "", fmt.Errorf("pages: catalogue: %q needs a whole number to choose its form by", key)
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
	functions := template.FuncMap{"t": c.marked, "list": c.list, "named": c.named, "label": c.label, "papers": c.papers, "term": c.term}
	maps.Copy(functions, c.writers())
	return functions
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

// saying puts texts together; the first error stays.
type saying struct {
	*catalogue
	err error
}

// say is a text as templates show it; empty where there is none.
func (s *saying) say(key string, values ...any) any {
	words, err := s.marked(key, values...)
	if err != nil && s.err == nil {
		s.err = err
	}
	return words
}
