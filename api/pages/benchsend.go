package pages

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// sent is a form of the bench: its fields, and the body of the interface that it
// makes, so that the page refuses the same things in the same words.
type sent struct {
	fields []sentField
	decode func([]byte) (record.LogEntry, error)
}

// sentField is a field of a form and its place in the body.
type sentField struct {
	name, pointer string
	shape         sentShape
}

// sentShape is what a field's text is.
type sentShape int

const (
	aNumber sentShape = iota
	aText
	aTruth  // "true" or "false"
	aVolume // a number that is often above a thousand
)

var (
	keyed = sentField{"key", "/key", aText}
	by    = []sentField{{toolField, "/tool", aText}, {whoField, "/who", aText}, keyed}
	inIt  = sentField{glassField, "/glass", aText}
	cell  = []sentField{
		{"a420", "/readings/a420", aNumber}, {"a520", "/readings/a520", aNumber}, {"a620", "/readings/a620", aNumber},
		{"path_mm", "/readings/path_mm", aNumber}, {"temperature_c", "/temperature_c", aNumber},
	}
)

// sentForms are the forms by the end of their address.
var sentForms = map[string]sent{
	"pours": {append([]sentField{inIt, {"volume_ml", "/volume_ml", aNumber}, {"fills", "/fills", aNumber}, {"stated_total_ml", "/stated_total_ml", aNumber}}, by...),
		record.EntryOf[record.PourBody]},
	"withdrawals": {append([]sentField{inIt, {"volume_ml", "/volume_ml", aNumber}, {"why", "/why", aText}}, by...),
		record.EntryOf[record.WithdrawalBody]},
	"measurements": {append([]sentField{inIt, {"minutes", "/minutes_since_blending", aNumber}, {"stated_dose", "/stated_dose_ml_per_100ml", aNumber}, {whoField, "/analyst", aText}, keyed}, cell...),
		record.EntryOf[record.MeasurementBody]},
	"notes": {[]sentField{inIt, {"note", "/note", aText}, {"score", "/score", aNumber}, {"scale", "/scale", aText}, {whoField, "/who", aText}, keyed},
		record.EntryOf[record.NoteBody]},
	"choice": {[]sentField{inIt, {"dose", "/dose_ml_per_100ml", aNumber}, {"reasons", "/reasons", aText}, {whoField, "/who", aText}, keyed},
		record.EntryOf[record.ChoiceBody]},
	"final-check": {append([]sentField{{"volume_ml", "/volume_ml", aNumber}, {"clear", "/looked_again/clear", aTruth}, {"look_note", "/looked_again/note", aText}, {whoField, "/who", aText}, keyed}, cell...),
		record.EntryOf[record.FinalCheckBody]},
	"undo": {[]sentField{{"entry", "/entry", aNumber}, {"why", "/why", aText}, {whoField, "/by", aText}, keyed},
		record.EntryOf[record.UndoBody]},
}

// longestForm is how long a form of the bench may be, in bytes.
const longestForm = 64 << 10

// send adds what a form says to the trial's log and leads back to the page, where
// the glass stands as it then is. What is wrong is told on the page, with all that
// was typed.
func (s *site) send(w http.ResponseWriter, r *http.Request) (document, error) {
	form, ok := sentForms[r.PathValue("what")]
	if !ok {
		return document{}, errNothingHere
	}
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	place := benchPlaceOf(r.PathValue("id"), r.URL.Query())
	added, faults, err := s.log(r.Context(), place.trial, form, r.PostForm.Get)
	if err != nil {
		return document{}, err
	}
	if len(faults) > 0 {
		return s.benchAgain(r, place, r.PathValue("what"), r.PostForm, faults)
	}
	if added.Glass != "" {
		place.Glass = added.Glass
	}
	if added.Kind == record.Choosing { // what the panel led to is done
		place.Panel = ""
	}
	return document{status: http.StatusSeeOther, to: place.path("")}, nil
}

// log adds an entry; it returns what is wrong where the sender can mend it.
func (s *site) log(ctx context.Context, trial string, form sent, typed func(string) string) (record.Logged, []note, error) {
	body, at := form.body(s.words, typed)
	data, err := json.Marshal(body)
	if err != nil {
		return record.Logged{}, nil, fmt.Errorf("pages: entry: %w", err)
	}
	var added record.Logged
	entry, err := form.decode(data)
	if err == nil {
		added, err = s.bench.Add(ctx, trial, entry)
	}
	if errors.Is(err, record.ErrArchived) {
		return added, []note{{key: "note.trial_archived"}}, nil
	}
	list, err := faultsOf(err)
	if err != nil {
		return added, nil, err
	}
	faults, err := at.notes(s.words, list)
	return added, faults, err
}

// body is the form as a body of the interface, its numbers as words reads them. A field that is left empty is left
// out.
func (f sent) body(words *catalogue, typed func(string) string) (map[string]any, places) {
	root, at := map[string]any{}, places{}
	for _, field := range f.fields {
		at.add(field.pointer, field.name)
		text := strings.TrimSpace(typed(field.name))
		switch {
		case text == "":
		case field.shape == aText:
			put(root, field.pointer, text)
		case field.shape == aTruth && (text == "true" || text == "false"):
			put(root, field.pointer, text == "true")
		case field.shape == aTruth:
			put(root, field.pointer, text)
		case field.shape == aVolume:
			put(root, field.pointer, words.volume(text))
		default:
			put(root, field.pointer, words.number(text))
		}
	}
	return root, at
}

// notes are faults in the words of the interface, each at its field.
func (p places) notes(words *catalogue, list []calc.Fault) ([]note, error) {
	var out []note
	for _, f := range list {
		n := note{Field: p.field(f.Location)}
		message := english(plainPlace(n.Field, f))
		var err error
		if n.Message, err = words.refused(f, message); err != nil {
			return nil, err
		}
		out = append(out, n)
	}
	return out, nil
}

// plainPlace is what is wrong, with its place where no field of the form is at fault.
func plainPlace(field string, f calc.Fault) string {
	if field == "" {
		return strings.TrimPrefix(f.Location+": "+f.Message, ": ")
	}
	return f.Message
}

// benchAgain is the page with what is wrong with a form and what was typed there.
func (s *site) benchAgain(r *http.Request, place benchPlace, form string, typed url.Values, faults []note) (document, error) {
	t, err := s.shownTrial(r)
	if err != nil {
		return document{}, err
	}
	if label := typed.Get(glassField); label != "" {
		place.Glass = label
	}
	v, err := s.benchViewOf(r, t, place)
	if err != nil {
		return document{}, err
	}
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	v.Sent, v.typed = form, typed
	d, err := s.render("bench.html", v)
	d.status, d.passing = http.StatusUnprocessableEntity, true
	return d, err
}

// trialFile is the name of the files that a trial's ladder is saved as.
func (s *site) trialFile(t record.Trial) string { return fileName("ladder", s.trialName(t)) }

// trialPicture draws the trial's ladder.
func (s *site) trialPicture(r *http.Request) (document, error) {
	t, err := s.shownTrial(r)
	if err != nil {
		return document{}, err
	}
	figure, ok, err := s.bench.Figure(t)
	if err != nil {
		return document{}, err
	}
	if !ok {
		return document{}, errNoLadder
	}
	return picturedOf(r, figure, nil, s.trialFile(t.Trial))
}
