package pages

import (
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"
)

// asked is a field of a form of the release check: where it stands in the body,
// and how it is shown.
type asked struct {
	sentField
	as     askedAs
	row    string   // key of what it is about, where several have one label
	label  string   // key of that label; its name where empty
	values []string // of a choice that is always the same
	like   bool     // it has an example inside
	help   bool     // it has a line of help
	wide   bool
}

// askedAs is how a field is shown.
type askedAs string

const (
	askLine askedAs = ""
	askArea askedAs = "area"
	askPick askedAs = "pick"
	askTick askedAs = "tick"
)

// askShown is a field as it is shown.
type askShown struct {
	ID, Name, Label, Row     string
	Text                     said   // entered, where it is a number
	Of                       string // what a tick is of, where its label is not a text
	As                       askedAs
	Options                  []option
	Chosen                   bool // of a tick
	Faults                   []said
	Like, Help, Wide, Number bool
}

// DescribedBy names what describes the field.
func (a askShown) DescribedBy() string {
	var list []string
	if len(a.Faults) > 0 {
		list = append(list, a.ID+"-fault")
	}
	if a.Help {
		list = append(list, a.ID+"-help")
	}
	return strings.Join(list, " ")
}

// askGroup is a part of a form; a folded one is open where something in it is
// typed or at fault.
type askGroup struct {
	Key          string
	Fields       []askShown
	Rows         []askRow // of fields that belong together
	Folded, Open bool
	About        bool // it has a sentence about it
}

// askRow are fields in a row, under a name.
type askRow struct {
	Name   string
	Fields []askShown
}

// filled is a form as it was typed, with what is wrong.
type filled struct {
	form    string // in the ids of its fields
	typed   url.Values
	faults  []note
	options map[string][]option // of choices that depend on what is stored
}

// show shows a field.
func (f filled) show(a asked) askShown {
	text := f.typed.Get(a.name)
	out := askShown{
		ID: f.form + "-" + a.name, Name: a.name, Label: a.label, Row: a.row, Text: text, As: a.as, Options: f.options[a.name],
		Like: a.like, Help: a.help, Wide: a.wide, Number: a.shape == aNumber || a.shape == aVolume,
	}
	if out.Number {
		out.Text = entered(text)
	}
	if out.Label == "" {
		out.Label = a.name
	}
	if a.as == askTick {
		out.Chosen = text == "true"
	}
	for _, v := range a.values {
		out.Options = append(out.Options, option{Value: v, Chosen: v == text})
	}
	for _, n := range f.faults {
		if n.Field == a.name {
			out.Faults = append(out.Faults, n.Message)
		}
	}
	return out
}

// group shows a part of a form.
func (f filled) group(key string, fields []asked) askGroup {
	g := askGroup{Key: key}
	for _, a := range fields {
		g.Fields = append(g.Fields, f.show(a))
	}
	return g
}

// folded is group folded, open where something in it differs from what it has to
// begin with or is at fault.
func (f filled) folded(key string, fields []asked, usual url.Values) askGroup {
	g := f.group(key, fields)
	g.Folded, g.Open = true, f.touched(fields, usual)
	return g
}

// comma makes one of the two decimal marks.
var comma = strings.NewReplacer(",", ".")

func (f filled) touched(fields []asked, usual url.Values) bool {
	return slices.ContainsFunc(fields, func(a asked) bool {
		return comma.Replace(f.typed.Get(a.name)) != comma.Replace(usual.Get(a.name)) || slices.ContainsFunc(f.faults, func(n note) bool { return n.Field == a.name })
	})
}

// toldFault is what is wrong with a form, with the way to the field.
type toldFault struct {
	Href, Label, Row string
	Message          said
}

// told are the faults of a form, each with its field where the form shows it.
func (f filled) told(groups []askGroup) []toldFault {
	known := map[string]askShown{}
	add := func(list []askShown) {
		for _, a := range list {
			known[a.Name] = a
		}
	}
	for _, g := range groups {
		add(g.Fields)
		for _, row := range g.Rows {
			add(row.Fields)
		}
	}
	var out []toldFault
	for _, n := range f.faults {
		t := toldFault{Message: n.Message}
		if a, ok := known[n.Field]; ok {
			// To what holds the field, not to the field: in there the same press of
			// Enter that followed the link would send the form.
			t.Href, t.Label, t.Row = "#"+a.ID+"-at", a.Label, a.Row
		}
		out = append(out, t)
	}
	return out
}

// fieldsOf are the fields as a body is made of them.
func fieldsOf(lists ...[]asked) sent {
	var out sent
	for _, list := range lists {
		for _, a := range list {
			if a.pointer != "" {
				out.fields = append(out.fields, a.sentField)
			}
		}
	}
	return out
}

// spokenTime is a time as people write it, in UTC where it has no offset.
var spokenTime = regexp.MustCompile(`^(\d{4}-\d\d-\d\d)[ T](\d\d:\d\d)(:\d\d)?\s*(UTC|Z|[+-]\d\d:\d\d)?$`)

// instantText turns such a time, or one as the language writes it, into that of the
// interface; other text stays.
func (c *catalogue) instantText(text string) string {
	text = strings.TrimSpace(text)
	for layout, to := range map[string]string{c.Writing.Day: time.DateOnly, c.Writing.Day + " 15:04": time.RFC3339, c.Writing.Time: time.RFC3339} {
		if at, err := time.Parse(layout, text); err == nil {
			return at.Format(to)
		}
	}
	m := spokenTime.FindStringSubmatch(text)
	if m == nil {
		return text
	}
	seconds, offset := m[3], m[4]
	if seconds == "" {
		seconds = ":00"
	}
	if offset == "" || offset == "UTC" {
		offset = "Z"
	}
	return m[1] + "T" + m[2] + seconds + offset
}

// timed gives typed values with the times of some fields as the interface has
// them.
func (c *catalogue) timed(typed url.Values, names ...string) func(string) string {
	return func(name string) string {
		if slices.Contains(names, name) {
			return c.instantText(typed.Get(name))
		}
		return typed.Get(name)
	}
}

// longestAsked is how long a form of the release check may be, in bytes: a scan of
// 10,000 points fits.
const longestAsked = 1 << 20

// taking is a form that was sent: what it makes of it, and the page that tells what
// is wrong.
type taking struct {
	take  func(typed url.Values) (to string, at places, err error)
	again func(typed url.Values, faults []note) (document, error)
}

// takeForm takes a form once and leads to where it leads, or tells what is wrong.
func (s *site) takeForm(w http.ResponseWriter, r *http.Request, t taking) (document, error) {
	r.Body = http.MaxBytesReader(w, r.Body, longestAsked)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	typed, key := r.PostForm, ""
	if k := typed.Get("key"); k != "" {
		key = r.URL.Path + " " + k
	}
	made, err := s.once.do(key, func() (made taken, err error) {
		made.to, made.at, err = t.take(typed)
		return made, err
	})
	if err == nil {
		return document{status: http.StatusSeeOther, to: made.to}, nil
	}
	faults, err := s.refusal(err, made.at)
	if err != nil {
		return document{}, err
	}
	d, err := t.again(typed, faults)
	d.status, d.passing = http.StatusUnprocessableEntity, true
	return d, err
}
