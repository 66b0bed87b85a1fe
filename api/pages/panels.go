package pages

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
	sensory "pourpath/colour/panel"
)

func (s *site) panelRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /trials/{id}/panels/new", s.answer(s.newPanel))
	mux.HandleFunc("POST /trials/{id}/panels", s.answerWriter(s.openPanel))
	mux.HandleFunc("GET /panels/{id}", s.answer(s.panelPage))
	s.pictureRoutes(mux, "/panels/{id}/preference", s.panelPicture)
	mux.HandleFunc("GET /panels/{id}/links", s.answer(s.panelLinks))
	mux.HandleFunc("POST /panels/{id}/{what}", s.answerWriter(s.sendPanel))
	mux.HandleFunc("GET /panels/{id}/judges/{judge}", s.answer(s.paperSheet))
	mux.HandleFunc("POST /panels/{id}/judges/{judge}", s.answerWriter(s.sendPaperSheet))
	mux.HandleFunc("POST /panels/{id}/judges/{judge}/link", s.answerWriter(s.renewLink))
	s.judgingRoutes(mux)
}

// The fields of a new panel.
var (
	panelQuestion = []asked{
		{sentField: sentField{"question", "/question", aText}, wide: true, help: true},
		{sentField: sentField{"panel_most", "/most", aText}, as: askPick, values: []string{"preferred", "deepest", "closest"}},
		{sentField: sentField{"answer", "/answer", aText}, as: askPick, values: []string{"ranks", "scores"}},
		{sentField: sentField{"ties", "/ties", aTruth}, as: askTick},
		{sentField: sentField{"scale_from", "/scale/from", aNumber}},
		{sentField: sentField{"scale_to", "/scale/to", aNumber}},
	}
	panelShare  = []asked{{sentField: sentField{"per_judge", "/per_judge", aNumber}, help: true, wide: true}}
	panelJudges = []asked{{sentField: sentField{"judges", "", aText}, as: askArea, wide: true, help: true}}
	panelAbout  = []asked{
		{sentField: sentField{"panel_name", "/name", aText}},
		{sentField: sentField{"leader", "/leader", aText}},
	}
)

// glassesTicked is the field that has the glasses, once each.
const glassesTicked = "panel_glasses"

// newPanelView is the form of a new panel.
type newPanelView struct {
	frame
	Trial, Name string
	Archived    bool
	Groups      []askGroup
	Faults      []toldFault
	Key         string
	Outlook     *panelOutlook
}

// panelOutlook is what is told of a panel before it is opened.
type panelOutlook struct {
	panel.Prospect
	Next  int // the number of judges that completes the design; 0 where none is known
	Of100 int // people of 100 who must put a glass that stands out above any other; 0: not even all would do
	Ends  int // the same of the preferred end of the doses, where preference changes evenly
	Seen  string
}

// newPanel answers with the form, as a trial suggests it.
func (s *site) newPanel(r *http.Request) (document, error) {
	t, err := s.trialOf(r)
	if err != nil {
		return document{}, err
	}
	say := &saying{catalogue: s.words}
	typed := url.Values{"answer": {"ranks"}, "panel_most": {"preferred"}, "scale_from": {"0"}, "scale_to": {"10"}, "question": {fmt.Sprint(say.say("panel.usual_question"))}, glassesTicked: t.Glasses}
	return s.newPanelAs(r, t, typed, nil, nil)
}

// trialOf is the stored trial that an address names.
func (s *site) trialOf(r *http.Request) (record.Trial, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return record.Trial{}, record.ErrNotFound
	}
	return s.config.Records.Trial(r.Context(), id)
}

// newPanelAs is the form as it was typed, with what is wrong or what is known of such
// a panel.
func (s *site) newPanelAs(r *http.Request, t record.Trial, typed url.Values, faults []note, outlook *panelOutlook) (document, error) {
	v := newPanelView{frame: s.frame(r, "trials"), Trial: t.ID, Name: s.trialName(t), Archived: t.ArchivedAt != nil, Key: newKey(), Outlook: outlook}
	f := filled{form: "panel", typed: typed, faults: faults}
	glasses := askGroup{Key: "panel_glasses"}
	ticks, err := s.glassTicks(t, f)
	if err != nil {
		return document{}, err
	}
	glasses.Rows = []askRow{{Fields: ticks}}
	v.Groups = []askGroup{f.group("panel_question", panelQuestion), glasses, f.group("panel_judges", slices.Concat(panelJudges, panelShare)), f.group("panel_about", panelAbout)}
	v.Faults = f.told(v.Groups)
	d, err := s.render("panelnew.html", v)
	d.passing = true
	return d, err
}

// glassTicks are the glasses of a trial, each with the dose that it holds.
func (s *site) glassTicks(t record.Trial, f filled) ([]askShown, error) {
	progress, err := t.Progress()
	if err != nil {
		return nil, err
	}
	say := &saying{catalogue: s.words}
	var out []askShown
	for i, g := range progress.Glasses {
		a := f.show(asked{sentField: sentField{glassesTicked, "", aText}, as: askTick})
		a.ID += "-" + strconv.Itoa(i)
		if i > 0 {
			a.Faults = nil
		}
		words := doseWordsOf(g.DoseMLPer100ML, g.AdditionFraction, &g.UDose)
		a.Of = fmt.Sprint(say.say("panel.glass_tick", g.Glass, words.Per100, words.Share))
		a.Text, a.Chosen = g.Glass, slices.Contains(f.typed[glassesTicked], g.Glass)
		out = append(out, a)
	}
	return out, say.err
}

// panelBody is the form of a new panel as a body of the interface.
func panelBody(words *catalogue, typed url.Values) (map[string]any, places) {
	root, at := fieldsOf(panelQuestion, panelShare, panelAbout).body(words, typed.Get)
	if root["answer"] == string(record.ByScores) {
		delete(root, "ties") // scores may always be alike
	} else {
		delete(root, "scale")
	}
	root["glasses"] = append([]string{}, typed[glassesTicked]...) // none is at fault, and not all
	at.add("/glasses", glassesTicked)
	root["judges"] = judgesTyped(typed.Get("judges"))
	at.add("/judges", "judges")
	return root, at
}

// judgesTyped are judges, one a line.
func judgesTyped(text string) []any {
	list := []any{}
	for line := range strings.Lines(text) {
		if name := strings.TrimSpace(line); name != "" {
			list = append(list, map[string]any{"name": name})
		}
	}
	return list
}

// whoseFault names the judge in what is wrong with one of several.
func (s *site) whoseFault(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil {
		return err
	}
	for i, f := range problem.Errors {
		if name, ok := f.Value.(string); ok && strings.HasPrefix(f.Location, "/judges/") && name != "" {
			problem.Errors[i].Message = fmt.Sprintf("%q: %s", name, f.Message)
		}
	}
	return err
}

// openPanel opens a panel whose outlook was seen; else it shows that first.
func (s *site) openPanel(w http.ResponseWriter, r *http.Request) (document, error) {
	t, err := s.trialOf(r)
	if err != nil {
		return document{}, err
	}
	var outlook *panelOutlook
	d, err := s.takeForm(w, r, taking{
		take: func(typed url.Values) (to string, at places, err error) {
			to, at, outlook, err = s.takePanel(r.Context(), t.ID, typed)
			return to, at, s.whoseFault(err)
		},
		again: func(typed url.Values, faults []note) (document, error) {
			return s.newPanelAs(r, t, typed, faults, outlook)
		},
	})
	if outlook != nil { // nothing was refused
		d.status = http.StatusOK
	}
	return d, err
}

// errLookFirst is that nothing is wrong, and what is known of the panel is to be seen
// before it is opened.
var errLookFirst = staleError{}

func (s *site) takePanel(ctx context.Context, trial string, typed url.Values) (string, places, *panelOutlook, error) {
	root, at := panelBody(s.words, typed)
	body, err := decoded[record.PanelBody](root)
	if err != nil {
		return "", at, nil, err
	}
	prospect, err := s.panel.Prospect(ctx, trial, body)
	if err != nil {
		return "", at, nil, err
	}
	outlook := outlookOf(prospect, body.Glasses)
	if typed.Get("seen") != outlook.Seen {
		return "", at, outlook, errLookFirst
	}
	made, err := s.panel.Open(ctx, trial, body)
	if err != nil {
		return "", at, nil, err
	}
	s.links.hold(made.ID, made.Links)
	return "/panels/" + made.ID + "/links", at, nil, nil
}

// outlookOf is a prospect in words; Seen tells it from that of another panel.
func outlookOf(p panel.Prospect, glasses []string) *panelOutlook {
	out := &panelOutlook{Prospect: p, Of100: of100(p.Power.OneGlass), Ends: of100(p.Power.Ends)}
	if n := len(p.Serving.FullFor); n > 0 {
		out.Next = p.Serving.FullFor[n-1]
	}
	out.Seen = fmt.Sprintf("%q %d %d", glasses, p.PerJudge, p.Judges)
	return out
}

// of100 is a share as people of a hundred; 0 for none.
func of100(share *float64) int {
	if share == nil {
		return 0
	}
	return int(*share*100 + 0.5)
}

// All reports whether each judge gets every glass.
func (p panelOutlook) All() bool { return p.Serving.Kind == sensory.Williams }

// sendPanel takes the forms of a panel's page.
func (s *site) sendPanel(w http.ResponseWriter, r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	form := r.PathValue("what")
	take := map[string]func(context.Context, string, url.Values) (string, places, error){"judges": s.takeJudges, "close": s.takeClosing}[form]
	if take == nil {
		return document{}, errNothingHere
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			to, at, err := take(r.Context(), id, typed)
			return to, at, s.whoseFault(err)
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.panelAgain(r, form, typed, faults) },
	})
}

// takeJudges asks further judges.
func (s *site) takeJudges(ctx context.Context, id string, typed url.Values) (string, places, error) {
	at := places{{"/judges", "judges"}}
	body, err := decoded[record.PanelJudgesBody](map[string]any{"judges": judgesTyped(typed.Get("judges"))})
	if err != nil {
		return "", at, err
	}
	made, err := s.panel.Join(ctx, id, body)
	if err == nil {
		s.links.hold(id, made.Links)
	}
	return "/panels/" + id + "/links", at, err
}

// takeClosing closes the session.
func (s *site) takeClosing(ctx context.Context, id string, typed url.Values) (string, places, error) {
	root, at := fieldsOf(closeFields).body(s.words, typed.Get)
	at.add("/without", withoutTicked)
	if list := typed[withoutTicked]; len(list) > 0 {
		root["without"] = list
	}
	body, err := decoded[record.PanelClosingBody](root)
	if err == nil {
		_, err = s.panel.Close(ctx, id, body)
	}
	if problem := calc.AsProblem(err); problem != nil && problem.Type == record.JudgesMissing {
		// In the words of the page, which has a tick for each judge.
		return "", at, staleError{[]note{{Field: withoutTicked, key: "note.panel_missing"}}}
	}
	return "/panels/" + id + "#result", at, err
}
