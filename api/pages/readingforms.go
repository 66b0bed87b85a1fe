package pages

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// The fields of a reading's forms, beside those of what was read, which are the same
// as a sample's.
var (
	readingTaken = []asked{
		{sentField: sentField{"taken_at", "/taken_at", aText}, like: true, help: true},
		{sentField: sentField{"instrument", "/instrument", aText}},
		{sentField: sentField{"analyst", "/analyst", aText}},
		{sentField: sentField{"replicate", "/replicate", aNumber}, help: true},
	}
	readingHow = []asked{
		{sentField: sentField{"diluent", "/diluent", aText}, as: askPick, values: []string{"", "water", "model_wine", "acid", "wine", "other"}},
		{sentField: sentField{"blank", "/blank", aText}},
		{sentField: sentField{"temperature_c", "/temperature_c", aNumber}},
		{sentField: sentField{"minutes_since_blending", "/minutes_since_blending", aNumber}},
	}
	whyCorrected = []asked{{sentField: sentField{"correct_reason", "/reason", aText}, as: askArea, like: true, wide: true}}
)

// readingUsual is an empty form of a reading.
func readingUsual() url.Values {
	return url.Values{"path_mm": {"10"}, "lab_path_mm": {"10"}, "illuminant": {usualLamp}, "observer": {"10"}}
}

// readingView is the page of one reading, or of a new one.
type readingView struct {
	frame
	Wine     record.Wine
	Archived archivedNote // the wine
	Reading  *record.Reading
	At       moment // of the reading
	Readings leaf[readingRow]
	Standing string
	Why      archivedNote // the reading is archived
	Key      string
	Groups   []askGroup
	Typed    bool // what was typed of it is shown, also where it comes too late
	Leave    askGroup
	Back     askGroup
	Faults   []toldFault
}

// newReading answers with the form of a new reading of a wine.
func (s *site) newReading(r *http.Request) (document, error) {
	w, err := s.wineOf(r)
	if err != nil {
		return document{}, err
	}
	return s.newReadingAgain(r, w, readingUsual(), nil)
}

func (s *site) newReadingAgain(r *http.Request, w record.Wine, typed url.Values, faults []note) (document, error) {
	v := readingView{frame: s.frame(r, "wines"), Wine: w, Archived: archivedNoteOf(w), Key: newKey(), Typed: len(faults) > 0}
	f := filled{form: "reading", typed: typed, faults: faults}
	v.Groups = readingGroups(f)
	v.Faults = f.told(v.Groups)
	d, err := s.render("reading.html", v)
	d.passing = true // it has a key for one reading
	return d, err
}

// readingGroups are the parts of the form of a reading. Those of a scan and of a
// colour are folded while nothing is typed there.
func readingGroups(f filled) []askGroup {
	read := f.group("read", append(append([]asked{}, sampleRead...), sampleCell...))
	scan := f.folded("scan", sampleScan, nil)
	scan.About = true
	return []askGroup{read, scan, f.folded("lab", sampleLab, readingUsual()), f.group("when", readingTaken), f.folded("how", readingHow, nil)}
}

// addReading keeps a new reading of a wine.
func (s *site) addReading(w http.ResponseWriter, r *http.Request) (document, error) {
	wine, err := s.wineOf(r)
	if err != nil {
		return document{}, err
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			at, err := s.keepReading(r.Context(), wine.ID, typed, nil)
			return "/wines/" + wine.ID + "#readings", at, wineRefusal(err)
		},
		again: func(typed url.Values, faults []note) (document, error) {
			return s.newReadingAgain(r, wine, typed, faults)
		},
	})
}

// keepReading keeps what a form says was read, in place of old where that is not nil.
func (s *site) keepReading(ctx context.Context, wineID string, typed url.Values, old *record.Reading) (places, error) {
	root, at, err := readBody(s.words, typed, readingTaken, readingHow)
	if err != nil {
		return at, err
	}
	if old != nil {
		root["supersedes"] = old.ID
		at.add("/reason", "correct_reason")
		if reason := strings.TrimSpace(lines(typed.Get("correct_reason"))); reason != "" {
			root["reason"] = reason
		}
	}
	body, err := decodedRead[record.ReadingBody](root)
	if err != nil {
		return at, err
	}
	_, err = s.config.Records.AddReading(ctx, wineID, record.Reading{
		Measurement: body.Measurement, Circumstances: body.Circumstances, Supersedes: body.Supersedes, Reason: body.Reason,
	})
	return at, err
}

// readingOf is the reading that an address names, and its wine.
func (s *site) readingOf(r *http.Request) (record.Reading, record.Wine, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return record.Reading{}, record.Wine{}, record.ErrNotFound
	}
	one, err := s.config.Records.Reading(r.Context(), id)
	if err != nil {
		return one, record.Wine{}, err
	}
	w, err := s.config.Records.Wine(r.Context(), one.WineID)
	return one, w, err
}

// reading answers with the page of one reading.
func (s *site) reading(r *http.Request) (document, error) { return s.readingAgain(r, "", nil, nil) }

func (s *site) readingAgain(r *http.Request, sent string, typed url.Values, faults []note) (document, error) {
	one, wine, err := s.readingOf(r)
	if err != nil {
		return document{}, err
	}
	shown, err := s.shelf.Show(r.Context(), wine)
	if err != nil {
		return document{}, err
	}
	v := readingView{
		frame: s.frame(r, "wines"), Wine: wine, Archived: archivedNoteOf(wine), Reading: &one, At: momentOf(one.At()), Key: newKey(),
		Readings: readingRows(leaf[record.Reading]{Items: []record.Reading{one}}, shown), Standing: standing(one, shown),
	}
	v.Readings.Items[0].MayCorrect = false // its form is on this page
	if one.ArchivedAt != nil {
		v.Why = archivedNote{At: momentOf(*one.ArchivedAt), Reason: one.ArchiveReason}
	}
	as := func(form string, begin url.Values) filled {
		if form == sent {
			return filled{form: form, typed: typed, faults: faults}
		}
		return filled{form: form, typed: begin}
	}
	correct, leave, back := as("correct", readingTyped(one)), as("leave", url.Values{}), as("back", url.Values{})
	v.Groups = append(readingGroups(correct), correct.group("why", whyCorrected))
	v.Leave, v.Back = leave.group("leave", whyArchived), back.group("back", whyBroughtBack)
	switch sent {
	case "correct":
		v.Typed = true
		v.Faults = correct.told(v.Groups)
	case "leave":
		v.Faults = leave.told([]askGroup{v.Leave})
	case "back":
		v.Faults = back.told([]askGroup{v.Back})
	}
	d, err := s.render("reading.html", v)
	d.passing = true // it has keys for one change each
	return d, err
}

// changeReading takes a form of a reading: its correction, or whether it counts.
func (s *site) changeReading(w http.ResponseWriter, r *http.Request) (document, error) {
	one, _, err := s.readingOf(r)
	if err != nil {
		return document{}, err
	}
	take, form := s.standOf(r.Context(), one, r.PathValue("what"))
	if take == nil {
		return document{}, errNothingHere
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			at, err := take(typed)
			return "/wines/" + one.WineID + "#readings", at, wineRefusal(err)
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.readingAgain(r, form, typed, faults) },
	})
}

// standOf is what a form of a reading's page does, and its name; nil where there is
// no such form.
func (s *site) standOf(ctx context.Context, one record.Reading, what string) (take func(url.Values) (places, error), form string) {
	switch what {
	case "correct":
		return func(typed url.Values) (places, error) { return s.keepReading(ctx, one.WineID, typed, &one) }, "correct"
	case "archive":
		return func(typed url.Values) (places, error) {
			reason, err := whyGiven(typed, "archive_reason")
			if err == nil {
				_, err = s.config.Records.ArchiveReading(ctx, one.ID, reason)
			}
			return places{{"/reason", "archive_reason"}}, err
		}, "leave"
	case "unarchive":
		return func(typed url.Values) (places, error) {
			reason, err := whyTyped(typed, "back_reason")
			if err == nil {
				_, err = s.config.Records.BringBackReading(ctx, one.ID, reason)
			}
			return places{{"/reason", "back_reason"}}, err
		}, "back"
	}
	return nil, ""
}

// readingTyped is a reading as the form has it, with the digits that it was given
// with.
func readingTyped(r record.Reading) url.Values {
	typed := readingUsual()
	set := func(name, text string) {
		if text != "" {
			typed.Set(name, text)
		}
	}
	number := func(name string, x *float64) {
		if x != nil {
			typed.Set(name, string(plain(*x)))
		}
	}
	cell := func(u *float64) {
		pathMM, dilution := r.Cell()
		typed.Set("path_mm", string(plain(pathMM)))
		if dilution != 1 {
			typed.Set("dilution", string(plain(dilution)))
		}
		number("u_absorbance", u)
	}
	switch {
	case r.Readings != nil:
		typed.Set("a420", string(plain(r.Readings.A420)))
		typed.Set("a520", string(plain(r.Readings.A520)))
		typed.Set("a620", string(plain(r.Readings.A620)))
		var further []string
		for _, e := range r.Readings.Extra {
			further = append(further, string(plain(e.NM)+": "+plain(e.Absorbance)))
		}
		set("extra", strings.Join(further, "  "))
		cell(r.Readings.UAbsorbance)
	case r.Spectrum != nil:
		typed.Set("scan", scanText(r.Spectrum))
		cell(r.Spectrum.UAbsorbance)
	case r.CIELAB != nil:
		c := r.CIELAB
		typed.Set("lab_L", string(decimal(c.L)))
		typed.Set("lab_a", string(decimal(c.A)))
		typed.Set("lab_b", string(decimal(c.B)))
		typed.Set("lab_path_mm", string(plain(c.PathMM)))
		set("illuminant", string(c.Illuminant))
		set("observer", string(c.Observer))
	}
	typed.Set("taken_at", instantTyped(r.At())) // a correction is of what was read then
	set("instrument", r.Instrument)
	set("analyst", r.Analyst)
	set("diluent", string(r.Diluent))
	set("blank", r.Blank)
	number("temperature_c", r.TemperatureC)
	number("minutes_since_blending", r.MinutesSinceBlending)
	if r.Replicate != nil {
		typed.Set("replicate", strconv.Itoa(*r.Replicate))
	}
	return typed
}

// instantTyped is a time as a form has it, as short as it can be without loss.
func instantTyped(i record.Instant) string {
	layout := time.RFC3339Nano
	switch {
	case i.Midnight():
		layout = time.DateOnly
	case i.Equal(i.Truncate(time.Minute)):
		layout = "2006-01-02 15:04"
	}
	return i.UTC().Format(layout)
}

// scanText is a scan as it could have been pasted.
func scanText(s *calc.Spectrum) string {
	var out strings.Builder
	ordinate, values := "absorbance", s.Absorbance
	if len(s.TransmittancePercent) > 0 {
		ordinate, values = "transmittance %", s.TransmittancePercent
	}
	out.WriteString("nm\t" + ordinate + "\n")
	for i, nm := range s.NM {
		fmt.Fprintf(&out, "%s\t%s\n", plain(nm), plain(values[i]))
	}
	return out.String()
}
