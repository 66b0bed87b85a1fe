package pages

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"pourpath/api/record"
)

// The fields of a lot's forms.
var (
	sampleTaken = []asked{
		{sentField: sentField{"stage", "/stage", aText}, as: askPick, values: []string{"", "first_bottles", "beginning", "middle", "end", "retained"}},
		{sentField: sentField{"bottle", "/bottle", aText}},
		{sentField: sentField{"storage", "/storage", aText}, like: true},
		{sentField: sentField{"taken_at", "/taken_at", aText}, like: true},
		{sentField: sentField{"instrument", "/instrument", aText}},
		{sentField: sentField{"analyst", "/analyst", aText}},
		{sentField: sentField{"temperature_c", "/temperature_c", aNumber}},
		{sentField: sentField{"same_session", "/same_session", aTruth}, as: askTick},
	}
	sampleRead = []asked{
		{sentField: sentField{"a420", "/readings/a420", aNumber}},
		{sentField: sentField{"a520", "/readings/a520", aNumber}},
		{sentField: sentField{"a620", "/readings/a620", aNumber}},
		{sentField: sentField{"extra", "", aText}, like: true},
	}
	sampleCell = []asked{
		{sentField: sentField{"path_mm", "/path_mm", aNumber}},
		{sentField: sentField{"dilution", "/dilution", aNumber}},
		{sentField: sentField{"u_absorbance", "/u_absorbance", aNumber}},
	}
	sampleScan = []asked{{sentField: sentField{"scan", "", aText}, as: askArea, like: true, wide: true}}
	sampleLab  = []asked{
		{sentField: sentField{"lab_L", "/cielab/L", aNumber}},
		{sentField: sentField{"lab_a", "/cielab/a", aNumber}},
		{sentField: sentField{"lab_b", "/cielab/b", aNumber}},
		{sentField: sentField{"lab_path_mm", "/cielab/path_mm", aNumber}},
		{sentField: sentField{"illuminant", "/cielab/illuminant", aText}, as: askPick, values: illuminants()},
		{sentField: sentField{"observer", "/cielab/observer", aText}, as: askPick, values: []string{"10", "2"}},
	}
	sampleState = stateFields("/state")

	judgeFields = []asked{
		{sentField: sentField{"judge_by", "", aText}, as: askPick, wide: true},
	}
	decideFields = []asked{
		{sentField: sentField{"decision", "/decision", aText}, as: askPick, values: []string{"", "released", "held", "rejected"}},
		{sentField: sentField{"by", "/by", aText}},
		{sentField: sentField{"reason", "/reason", aText}, as: askArea, help: true, wide: true},
	}
	bottleFields = []asked{
		{sentField: sentField{"bottled_at", "/bottled_at", aText}, like: true},
		{sentField: sentField{"by", "/by", aText}},
		{sentField: sentField{"reason", "/reason", aText}, as: askArea, wide: true},
	}
	issueFields = []asked{
		{sentField: sentField{"verdict", "/verdict", aText}, as: askPick, wide: true},
		{sentField: sentField{"issued_by", "/issued_by", aText}},
		{sentField: sentField{"note", "/note", aText}, as: askArea, wide: true},
	}
)

// forms are the forms of the page; that which was sent is as it was typed.
func (v *lotView) forms(s *site, r *http.Request, typed url.Values, faults []note) error {
	view := v.kept.spec.View.Core()
	usual := url.Values{
		"path_mm": {"10"}, "lab_path_mm": {string(plain(view.DepthMM))}, "illuminant": {string(view.Illuminant)}, "observer": {string(view.Observer)},
	}
	as := func(form string, usual url.Values) filled {
		if v.Sent == form {
			return filled{form: form, typed: typed, faults: faults}
		}
		return filled{form: form, typed: usual}
	}
	begin := maps.Clone(usual)
	if m := v.kept.spec.Reading; m != nil && m.PathMM != nil {
		begin.Set("path_mm", string(plain(*m.PathMM)))
		usual.Set("path_mm", string(plain(*m.PathMM)))
	}
	sample := as("sample", begin)
	read := sample.group("read", sampleRead)
	read.Fields = append(read.Fields, sample.group("", sampleCell).Fields...)
	scan, state := sample.folded("scan", sampleScan, usual), sample.folded("state", sampleState, usual)
	scan.About, state.About = true, true
	v.Sample = []askGroup{sample.group("taken", sampleTaken), read, scan, sample.folded("lab", sampleLab, usual), state}

	decide := as("decide", url.Values{"verdicts": v.newestVerdicts()})
	v.Decide = decide.group("decide", decideFields)
	if ticks := v.verdictTicks(decide); len(ticks) > 0 {
		v.Decide.Rows = []askRow{{Fields: ticks}}
	}
	bottle := as("bottle", url.Values{})
	v.Bottle = bottle.group("bottle", bottleFields)
	issue := as("issue", url.Values{})
	issue.options = map[string][]option{"verdict": v.verdictOptions(issue.typed.Get("verdict"))}
	v.Issue = issue.group("issue", issueFields)
	judge := as("judge", url.Values{})
	var err error
	if judge.options, err = v.judgeOptions(s, r, judge.typed.Get("judge_by")); err != nil {
		return err
	}
	v.Judge = judge.group("judge", judgeFields)
	switch v.Sent {
	case "sample":
		v.Faults = sample.told(v.Sample)
	case "decide":
		v.Faults = decide.told([]askGroup{v.Decide})
	case "bottle":
		v.Faults = bottle.told([]askGroup{v.Bottle})
	case "issue":
		v.Faults = issue.told([]askGroup{v.Issue})
	case "judge":
		v.Faults = judge.told([]askGroup{v.Judge})
	case "leave":
		v.Faults = filled{faults: faults}.told(nil)
	}
	return nil
}

// newestVerdicts are the newest verdict of each sample, in the order of the page.
func (v *lotView) newestVerdicts() (ids []string) {
	for _, one := range v.kept.verdicts {
		if v.kept.newestOf[one.SampleID].VerdictID == one.VerdictID {
			ids = append(ids, one.VerdictID)
		}
	}
	return ids
}

// verdictTicks are the verdicts that a decision may rest on: the newest of each
// sample.
func (v *lotView) verdictTicks(f filled) []askShown {
	var out []askShown
	ids := v.newestVerdicts()
	for i, id := range ids {
		a := f.show(asked{sentField: sentField{"verdicts", "", aText}, as: askTick})
		if a.ID += "-" + id; i > 0 {
			a.Faults = nil
		}
		a.Text, a.Of, a.Chosen = id, v.verdictName(id), slices.Contains(f.typed["verdicts"], id)
		out = append(out, a)
	}
	return out
}

// verdictName is a verdict in a line: the stage of its sample, what it is, and by
// which version.
func (v *lotView) verdictName(id string) string {
	i := slices.IndexFunc(v.Verdicts, func(r verdictRow) bool { return r.ID == id })
	if i < 0 {
		return id
	}
	r := v.Verdicts[i]
	words := ""
	if r.Stage != "" {
		words = v.words.Texts["stage."+r.Stage] + ": "
	}
	words += v.words.Texts["verdict_word."+r.Mark.Word]
	if r.Mark.Probability != "" {
		words += " (" + v.words.digits(r.Mark.Probability) + ")"
	}
	return words + ", " + r.SpecName + " " + strconv.Itoa(r.Version) + ", " + v.words.moment(r.At)
}

// verdictOptions are the verdicts that a statement may be about. Where there are
// several, none is chosen by default.
func (v *lotView) verdictOptions(chosen string) []option {
	var out []option
	if len(v.Verdicts) > 1 {
		out = append(out, option{Chosen: chosen == ""})
	}
	for _, r := range v.Verdicts {
		out = append(out, option{Value: r.ID, Name: v.verdictName(r.ID), Chosen: r.ID == chosen})
	}
	return out
}

// judgeOptions are the versions that the samples may be judged by again: those of
// the lot's own specification, and the newest of the others.
func (v *lotView) judgeOptions(s *site, r *http.Request, chosen string) (map[string][]option, error) {
	var out []option
	words := &saying{catalogue: s.words}
	add := func(spec record.Spec) {
		value := spec.ID + " " + strconv.Itoa(spec.Version)
		name := fmt.Sprint(words.say("spec_says.option", specName(spec), spec.Version, words.term(spec)))
		out = append(out, option{Value: value, Name: name, Chosen: value == chosen})
	}
	versions, err := s.config.Records.SpecVersions(r.Context(), v.Lot.Spec)
	if err != nil {
		return nil, err
	}
	for _, spec := range slices.Backward(versions) {
		add(spec)
	}
	others, err := s.config.Records.Specs(r.Context(), record.Page{Limit: pickable})
	for _, spec := range others {
		if spec.ID != v.Lot.Spec {
			add(spec)
		}
	}
	return map[string][]option{"judge_by": out}, errors.Join(err, words.err)
}
