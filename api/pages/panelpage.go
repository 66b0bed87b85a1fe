package pages

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"time"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// closeFields are the form that closes a session, beside the judges who are left out.
var closeFields = []asked{
	{sentField: sentField{"closed_by", "/by", aText}},
	{sentField: sentField{"closing_note", "/note", aText}, as: askArea, wide: true},
}

// withoutTicked is the field that has the judges who are left out, once each.
const withoutTicked = "panel_without"

// panelView is a panel's page for its leader.
type panelView struct {
	frame
	ID, Name, Trial, TrialName string
	Question, Leader           string
	Answer                     record.PanelAnswerKind
	Most                       record.PanelMost
	Ties                       bool
	From, To                   digits
	Serving                    string
	Opened, Now                moment
	Closed                     moment // its ISO is empty while it is open
	ClosedBy, ClosingNote      string
	HandedIn, Asked            int
	Judges                     []panelJudge
	Glasses                    []panelGlass
	Portions                   []panel.Portion
	Doubts                     []calc.Warning // of the glasses
	Join, Close                askGroup
	Missing                    []string // judges who have not handed in
	Faults                     []toldFault
	Sent, Key                  string
	Result                     *panelResult
	TooFew                     english // why there is no result
}

// panelJudge is a judge as the leader sees one.
type panelJudge struct {
	ID, Name string
	Handed   moment
	Source   string
	Served   []served
}

// served is a glass in the order of a judge.
type served struct{ Code, Glass string }

// panelGlass is a glass with its code.
type panelGlass struct {
	Code, Glass string
	doseWords
}

// panelOf is the panel that an address names, as its leader sees it.
func (s *site) panelOf(r *http.Request) (panel.Session, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return panel.Session{}, record.ErrNotFound
	}
	return s.panel.Panel(r.Context(), id)
}

// panelName is what a panel is called for its leader.
func (s *site) panelName(p panel.Session) string {
	if p.Name != "" {
		return p.Name
	}
	return s.words.Texts["panel"]
}

// panelPage answers with a panel's page.
func (s *site) panelPage(r *http.Request) (document, error) { return s.panelAgain(r, "", nil, nil) }

// panelRefused is the page with what is wrong, where that can be mended.
func (s *site) panelRefused(r *http.Request, form string, typed url.Values, err error, at places) (document, error) {
	faults, err := s.refusal(err, at)
	if err != nil {
		return document{}, err
	}
	d, err := s.panelAgain(r, form, typed, faults)
	d.status, d.passing = http.StatusUnprocessableEntity, true
	return d, err
}

// panelAgain is the page with a form as it was typed and what is wrong with it.
func (s *site) panelAgain(r *http.Request, form string, typed url.Values, faults []note) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	t, err := s.config.Records.Trial(r.Context(), p.TrialID)
	if err != nil {
		return document{}, err
	}
	v := panelView{
		frame: s.frame(r, "trials"), ID: p.ID, Name: s.panelName(p), Trial: p.TrialID, TrialName: s.trialName(t), Question: p.Question, Leader: p.Leader,
		Answer: p.Answer, Most: p.Most, Ties: p.TiesAllowed(), Serving: p.Serving, Opened: momentOf(p.CreatedAt), Now: momentOf(record.Instant{Time: time.Now().Truncate(time.Minute)}),
		HandedIn: p.HandedIn, Asked: len(p.Judges), Sent: form, Key: newKey(), Portions: p.Portions, Doubts: p.Warnings,
	}
	if p.Scale != nil {
		v.From, v.To = plain(p.Scale.From), plain(p.Scale.To)
	}
	v.people(p)
	for _, g := range p.Panel.Glasses {
		v.Glasses = append(v.Glasses, panelGlass{Code: g.Code, Glass: g.Glass, doseWords: doseWordsOf(g.DoseMLPer100ML, g.AdditionFraction, &g.UDose)})
	}
	v.forms(typed, faults)
	if c := p.Closing; c != nil {
		v.Closed, v.ClosedBy, v.ClosingNote = momentOf(c.ClosedAt), c.By, c.Note
		if err := v.result(r.Context(), s, p, t); err != nil {
			return document{}, err
		}
	}
	d, err := s.render("panel.html", v)
	d.passing = true // it says when it was made
	return d, err
}

// people are the judges, with the glasses that each is served.
func (v *panelView) people(p panel.Session) {
	glass := map[string]string{}
	for _, g := range p.Panel.Glasses {
		glass[g.Code] = g.Glass
	}
	for _, j := range p.Judges {
		row := panelJudge{ID: j.ID, Name: j.Name, Source: j.Source}
		if j.HandedInAt != nil {
			row.Handed = momentOf(*j.HandedInAt)
		} else {
			v.Missing = append(v.Missing, j.Name)
		}
		for _, code := range j.Codes {
			row.Served = append(row.Served, served{code, glass[code]})
		}
		v.Judges = append(v.Judges, row)
	}
}

// forms are those of the page; the one that was sent is as it was typed.
func (v *panelView) forms(typed url.Values, faults []note) {
	as := func(form string) filled {
		if v.Sent == form {
			return filled{form: form, typed: typed, faults: faults}
		}
		return filled{form: form, typed: url.Values{}}
	}
	join := as("judges")
	v.Join = join.group("panel_judges", panelJudges)
	closing := as("close")
	v.Close = closing.group("panel_close", closeFields)
	var ticks []askShown
	for _, j := range v.Judges {
		if j.Handed.ISO != "" {
			continue
		}
		a := closing.show(asked{sentField: sentField{withoutTicked, "", aText}, as: askTick})
		a.ID += "-" + j.ID
		if len(ticks) > 0 {
			a.Faults = nil
		}
		a.Text, a.Of, a.Chosen = j.ID, j.Name, slices.Contains(closing.typed[withoutTicked], j.ID)
		ticks = append(ticks, a)
	}
	if len(ticks) > 0 {
		v.Close.Rows = []askRow{{Name: "panel_without", Fields: ticks}}
	}
	switch v.Sent {
	case "judges":
		v.Faults = join.told([]askGroup{v.Join})
	case "close":
		v.Faults = closing.told([]askGroup{v.Close})
	default:
		v.Faults = filled{faults: faults}.told(nil)
	}
}

// panelRow is a panel in the list of a trial.
type panelRow struct {
	ID, Name        string
	Opened, Closed  moment
	HandedIn, Asked int
}

// panelsListed is how many of a trial's panels are listed, the oldest first.
const panelsListed = 100

// panelsOf are the panels of a trial.
func (s *site) panelsOf(ctx context.Context, trial string) ([]panelRow, error) {
	list, err := s.panel.PanelsOf(ctx, trial, record.Page{Limit: panelsListed})
	var out []panelRow
	for _, p := range list {
		row := panelRow{ID: p.ID, Name: s.panelName(p), Opened: momentOf(p.CreatedAt), HandedIn: p.HandedIn, Asked: len(p.Judges)}
		if p.Closing != nil {
			row.Closed = momentOf(p.Closing.ClosedAt)
		}
		out = append(out, row)
	}
	return out, err
}

// paperView is a judge's sheet that the leader types in.
type paperView struct {
	frame
	Sheet             judgingView // as the judge would have it
	ID, Name, JudgeID string
	Handed            bool // an answer stands, so that this one corrects it
	Closed            bool
	By, Reason        askShown
	Key, Corrects     string
}

// paperFields are beside the glasses.
var paperFields = []asked{
	{sentField: sentField{"typed_by", "/by", aText}},
	{sentField: sentField{"panel_reason", "/reason", aText}, wide: true, help: true},
}

// paperSheet answers with the form of a judge's paper sheet.
func (s *site) paperSheet(r *http.Request) (document, error) {
	return s.paperSheetAs(r, url.Values{}, nil)
}

func (s *site) paperSheetAs(r *http.Request, typed url.Values, faults []note) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	i := slices.IndexFunc(p.Judges, func(j panel.SessionJudge) bool { return j.ID == r.PathValue("judge") })
	if i < 0 {
		return document{}, record.ErrNotFound
	}
	j := p.Judges[i]
	now := panel.Judging{Judge: j.Name, Question: p.Question, Answer: p.Answer, Ties: p.TiesAllowed(), Most: p.Most, Scale: p.Scale, Codes: j.Codes}
	if faults, err = s.answerFaults(faults, now, typed, "note.no_rank_typed"); err != nil {
		return document{}, err
	}
	v := paperView{
		frame: s.frame(r, "trials"), Sheet: s.judgingView(now, typed, faults), ID: p.ID, Name: s.panelName(p), JudgeID: j.ID,
		Handed: j.HandedInAt != nil, Closed: p.Closing != nil, Key: newKey(), Corrects: j.AnswerID,
	}
	f := filled{form: "paper", typed: typed, faults: faults}
	v.By, v.Reason = f.show(paperFields[0]), f.show(paperFields[1])
	d, err := s.render("panelsheet.html", v)
	d.passing = true
	return d, err
}

// sendPaperSheet records what the leader typed for a judge.
func (s *site) sendPaperSheet(w http.ResponseWriter, r *http.Request) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	j, there := p.Judge(r.PathValue("judge"))
	if !there {
		return document{}, record.ErrNotFound
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			list, at := answersBody(s.words, j.Codes, p.Answer == record.ByScores, typed)
			root, own := fieldsOf(paperFields).body(s.words, typed.Get)
			root["answers"], root["judge"] = list, j.ID
			if id := typed.Get("corrects"); id != "" {
				root["corrects"] = id
			}
			body, err := decoded[record.PanelSheetBody](root)
			if err == nil {
				_, _, err = s.panel.Enter(r.Context(), p.ID, body)
			}
			if problem := calc.AsProblem(err); problem != nil && problem.Type == record.HandedIn {
				// What stands is not told before the session is closed.
				err = staleError{[]note{{key: "note.panel_handed_in"}}}
			}
			return "/panels/" + p.ID + "#judges", append(at, own...), err
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.paperSheetAs(r, typed, faults) },
	})
}

// panelNote is what the state of a panel refuses; ok is false for anything else.
func panelNote(err error) (n note, ok bool) {
	switch {
	case errors.Is(err, record.ErrPanelClosed):
		return note{key: "note.panel_closed"}, true
	case errors.Is(err, record.ErrPanelOpen):
		return note{key: "note.panel_open"}, true
	}
	return note{}, false
}
