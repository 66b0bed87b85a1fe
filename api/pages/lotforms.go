package pages

import (
	"net/http"
	"net/url"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// The forms of a lot's page, by the end of their address.
const (
	sampleForm    = "samples"
	decideForm    = "decisions"
	judgeForm     = "verdicts"
	statementForm = "statements"
)

var (
	sampleFields = []sentField{
		{"stage", "/stage", aText}, {"bottle", "/bottle", aText}, {"storage", "/storage", aText}, {"taken_at", "/taken_at", aText}, {"instrument", "/instrument", aText}, {"analyst", "/analyst", aText},
		{"temperature_c", "/temperature_c", aNumber}, {"free_so2", "/state/free_so2_mg_per_l", aNumber}, {"total_so2", "/state/total_so2_mg_per_l", aNumber},
		{"co2", "/state/co2_mg_per_l", aNumber}, {"filtered", "/state/filtered", aTruth}, {"acetaldehyde", "/state/acetaldehyde_added", aTruth},
	}
	decideFields    = []sentField{{"decision", "/decision", aText}, {"by", "/by", aText}, {"reason", "/reason", aText}}
	judgeFields     = []sentField{{"judge_spec", "/spec", aText}, {"judge_version", "/spec_version", aNumber}}
	statementFields = []sentField{{"verdict", "/verdict", aText}, {"issued_by", "/issued_by", aText}, {"note", "/note", aText}}
)

// forms are those of the page that need nothing looked up.
func (v *lotView) forms(of func(string) (url.Values, []note)) {
	typed, faults := of(sampleForm)
	if typed.Get("path_mm") == "" {
		typed.Set("path_mm", "10")
	}
	v.Sample = []formGroup{
		{"sample", append([]formField{choiceOf(typed, faults, "stage", "", "first_bottles", "beginning", "middle", "end", "retained")}, fieldsOf(typed, faults, "text", "bottle", "storage")...)},
		{"read", fieldsOf(typed, faults, "decimal", "a420", "a520", "a620", "path_mm", "dilution")},
		{"or_lab", fieldsOf(typed, faults, "decimal", "L", "a", "b")},
		{"or_scan", []formField{fieldsOf(typed, faults, "area", "scan")[0].helped()}},
		{"how", append([]formField{fieldsOf(typed, faults, "text", "taken_at")[0].helped()}, fieldsOf(typed, faults, "text", "instrument", "analyst")...)},
		{"state", append(fieldsOf(typed, faults, "decimal", "free_so2", "total_so2", "co2"), choiceOf(typed, faults, "filtered", "", "true", "false"), choiceOf(typed, faults, "acetaldehyde", "", "true", "false"))},
	}
	typed, faults = of(decideForm)
	v.Decide = []formGroup{{"decide", append([]formField{choiceOf(typed, faults, "decision", "released", "held", "rejected")}, fieldsOf(typed, faults, "text", "by", "reason")...)}}
	typed, faults = of(statementForm)
	var verdicts []option
	for _, row := range v.Verdicts {
		verdicts = append(verdicts, option{Value: row.ID, Name: row.At.Text + ", " + row.Spec + " " + strconv.Itoa(row.Version) + ": " + row.Verdict})
	}
	v.Issue = []formGroup{{"issue", append([]formField{pickOf(typed, faults, "verdict", verdicts)}, fieldsOf(typed, faults, "text", "issued_by", "note")...)}}
}

// judgeForm asks by which specification samples are to be judged again.
func (v *lotView) judgeForm(s *site, r *http.Request, of func(string) (url.Values, []note)) error {
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Newest: true, Limit: pickable})
	typed, faults := of(judgeForm)
	v.Judge = []formGroup{{"judge", append([]formField{pickOf(typed, faults, "judge_spec", specOptions(specs))}, fieldsOf(typed, faults, "decimal", "judge_version")...)}}
	return err
}

// lotSend takes a form of a lot's page.
func (s *site) lotSend(w http.ResponseWriter, r *http.Request) (document, error) {
	id, what := r.PathValue("id"), r.PathValue("what")
	send, ok := map[string]func(*http.Request, string, url.Values) (made, error){
		sampleForm: s.addSample, decideForm: s.decide, judgeForm: s.judgeAgain, statementForm: s.issue,
	}[what]
	if !ok || uuid.Validate(id) != nil {
		return document{}, errNothingHere
	}
	typed, err := posted(w, r)
	if err != nil {
		return document{}, err
	}
	m, err := s.once(typed, func() (made, error) { return send(r, id, typed) })
	if err != nil {
		return document{}, err
	}
	return answerForm(m, func(faults []note) (document, error) { return s.lotAgain(r, what, typed, faults) })
}

func (s *site) addSample(r *http.Request, id string, typed url.Values) (made, error) {
	root, at := sent{fields: sampleFields}.body(typed.Get)
	read, places, faults, err := measured(typed)
	if err != nil || len(faults) > 0 {
		return made{faults: faults}, err
	}
	for k, v := range read {
		root[k] = v
	}
	return sendBody(root, append(at, places...), func(body record.SampleBody) (string, error) {
		_, err := s.release.AddSample(r.Context(), id, body)
		return "/lots/" + id, err
	})
}

// decide keeps a decision; a release rests on the newest verdicts of the samples.
func (s *site) decide(r *http.Request, id string, typed url.Values) (made, error) {
	root, at := sent{fields: decideFields}.body(typed.Get)
	ids, err := s.release.NewestVerdicts(r.Context(), id)
	if err != nil {
		return made{}, err
	}
	if len(ids) > 0 {
		root["verdicts"] = ids
	}
	at.add("/verdicts", "decision")
	return sendBody(root, at, func(body record.DecisionBody) (string, error) {
		_, err := s.release.Decide(r.Context(), id, body)
		return "/lots/" + id + "#decisions", err
	})
}

func (s *site) judgeAgain(r *http.Request, id string, typed url.Values) (made, error) {
	root, at := sent{fields: judgeFields}.body(typed.Get)
	return sendBody(root, at, func(body record.JudgeBody) (string, error) {
		_, err := s.release.Judge(r.Context(), id, body)
		return "/lots/" + id + "#verdicts", err
	})
}

func (s *site) issue(r *http.Request, id string, typed url.Values) (made, error) {
	root, at := sent{fields: statementFields}.body(typed.Get)
	return sendBody(root, at, func(body record.StatementBody) (string, error) {
		_, err := s.release.Issue(r.Context(), id, body)
		return "/lots/" + id + "#statements", err
	})
}
