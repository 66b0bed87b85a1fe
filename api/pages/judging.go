package pages

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/access"
	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// judgePage is where the links of judges begin.
const judgePage = "/judge/"

// The judge's pages have no frame: whoever judges blind is led nowhere else. What
// they show is made of panel.Judging and of what the judge typed, and of nothing else.

func (s *site) judgingRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+judgePage+"{key}", s.answerWriter(s.judgeLink))
	mux.HandleFunc("POST "+judgePage+"{key}", s.answerWriter(s.beginJudging))
	mux.HandleFunc("GET "+access.JudgingPage, s.answerWriter(s.judging))
	mux.HandleFunc("POST "+access.JudgingPage, s.answerWriter(s.handIn))
}

// judgingView is the judge's page.
type judgingView struct {
	State    string // "open", "handed_in", "ended", "stands": something else was handed in before, or "another": the form is of another judge than the link
	Begun    bool   // the form was sent before, so that the hints were read
	Late     bool   // what was just sent came after the end
	Judge    string
	Question string
	Scores   bool
	Ties     bool
	Most     record.PanelMost
	From, To digits // of the scale
	Last     int    // of the ranks
	Glasses  []judgedGlass
	Faults   []toldFault
}

// judgedGlass is a glass as a judge knows it.
type judgedGlass struct {
	Code   string
	Ranks  []rankChoice // to choose from, where ranks are asked for
	Rank   string       // as it was typed
	Score  said         // as it was typed
	Note   string
	Faults []said
}

// rankChoice is one rank to choose.
type rankChoice struct {
	Rank   int
	Chosen bool
}

// Remarks reports whether anything is typed beside ranks or scores.
func (v judgingView) Remarks() bool {
	return slices.ContainsFunc(v.Glasses, func(g judgedGlass) bool { return g.Note != "" })
}

// judgeLink is what a link leads to. It uses nothing up and tells nothing: whatever
// looks at links before they are opened comes by here too.
func (s *site) judgeLink(w http.ResponseWriter, r *http.Request) (document, error) {
	now, known, err := s.judged(r)
	switch {
	case err != nil:
		return document{}, err
	case !known:
		return s.noJudge(w)
	case now.State == "ended":
		return s.outsidePage(w, http.StatusOK, outsideView{Kind: "judge_ended"})
	}
	return s.outsidePage(w, http.StatusOK, outsideView{Kind: "judge"})
}

// beginJudging gives a judge's browser the key of the link, and leads to the page.
func (s *site) beginJudging(w http.ResponseWriter, r *http.Request) (document, error) {
	if access.VisitorOf(r.Context()).Judge == "" {
		return s.noJudge(w)
	}
	access.SetJudge(w, r, r.PathValue("key"))
	return document{status: http.StatusSeeOther, to: access.JudgingPage}, nil
}

// judged is what the judge whose key came along is shown; known is false where none
// did.
func (s *site) judged(r *http.Request) (now panel.Judging, known bool, err error) {
	judge := access.VisitorOf(r.Context()).Judge
	if judge == "" {
		return now, false, nil
	}
	now, err = s.panel.Judging(r.Context(), judge)
	return now, true, err
}

// noJudge answers whoever comes with a key that opens nothing, or with none.
func (s *site) noJudge(w http.ResponseWriter) (document, error) {
	return s.outsidePage(w, http.StatusUnauthorized, outsideView{Kind: "judge_unknown"})
}

func (s *site) judgingAs(status int, v judgingView) (document, error) {
	d, err := s.render("judging.html", v)
	d.status, d.passing = status, true
	return d, err
}

// judging answers with what a judge is asked, or with what became of it.
func (s *site) judging(w http.ResponseWriter, r *http.Request) (document, error) {
	now, known, err := s.judged(r)
	if err != nil {
		return document{}, err
	}
	if !known {
		return s.noJudge(w)
	}
	return s.judgingAs(http.StatusOK, s.judgingView(now, url.Values{}, nil))
}

// judgingView is the page with what was typed and what is wrong with it.
func (s *site) judgingView(now panel.Judging, typed url.Values, faults []note) judgingView {
	v := judgingView{
		State: now.State, Judge: now.Judge, Question: now.Question, Scores: now.Answer == record.ByScores, Ties: now.Ties, Most: now.Most, Last: len(now.Codes),
	}
	if now.Scale != nil {
		v.From, v.To = plain(now.Scale.From), plain(now.Scale.To)
	}
	v.Glasses = judgedGlasses(now.Codes, v.Scores, typed, faults)
	for _, n := range faults {
		told := toldFault{Message: n.Message}
		if _, code, ofGlass := strings.Cut(n.Field, "-"); ofGlass {
			told.Href, told.Label = "#glass-"+code, code
		}
		v.Faults = append(v.Faults, told)
	}
	return v
}

// judgedGlasses are the glasses of a judge in the order of serving, as they were
// filled in.
func judgedGlasses(codes []string, scores bool, typed url.Values, faults []note) []judgedGlass {
	var out []judgedGlass
	for _, code := range codes {
		g := judgedGlass{Code: code, Rank: typed.Get("rank-" + code), Score: entered(typed.Get("score-" + code)), Note: typed.Get("note-" + code)}
		if !scores {
			for rank := 1; rank <= len(codes); rank++ {
				g.Ranks = append(g.Ranks, rankChoice{rank, typed.Get("rank-"+code) == strconv.Itoa(rank)})
			}
		}
		for _, n := range faults {
			if _, of, _ := strings.Cut(n.Field, "-"); of == code {
				g.Faults = append(g.Faults, n.Message)
			}
		}
		out = append(out, g)
	}
	return out
}

// answersBody is a judge's form as a part of a body of the interface. Of what it has
// for glasses that are none of the judge's it takes nothing.
func answersBody(words *catalogue, codes []string, scores bool, typed url.Values) ([]any, places) {
	list := []any{}
	var at places
	name, pointer := "rank", "/rank"
	if scores {
		name, pointer = "score", "/score"
	}
	for i, code := range codes {
		one, here := map[string]any{"code": code}, "/answers/"+strconv.Itoa(i)
		if text := strings.TrimSpace(typed.Get(name + "-" + code)); text != "" {
			one[name] = words.number(text)
		}
		if text := strings.TrimSpace(typed.Get("note-" + code)); text != "" {
			one["note"] = text
		}
		at.add(here+pointer, name+"-"+code)
		at.add(here+"/note", "note-"+code)
		at.add(here, name+"-"+code)
		list = append(list, one)
	}
	return list, at
}

// answerFaults puts what is wrong with a judge's answers, where something is missing or
// no number, into words for whoever fills in the form; missing is the text for a rank.
func (s *site) answerFaults(faults []note, now panel.Judging, typed url.Values, missing string) ([]note, error) {
	for i, n := range faults {
		name, _, ofGlass := strings.Cut(n.Field, "-")
		text := strings.TrimSpace(typed.Get(n.Field))
		switch {
		case !ofGlass:
		case name == "rank" && text == "":
			faults[i].key, faults[i].values = missing, []any{len(now.Codes)}
		case name == "rank" && !isWhole(text):
			faults[i].key, faults[i].values = "note.rank_typed", []any{len(now.Codes)}
		case name == "score" && text == "":
			faults[i].key, faults[i].values = "note.no_score", []any{plain(now.Scale.From), plain(now.Scale.To)}
		case name == "score" && !s.words.isNumber(text):
			faults[i].key, faults[i].values = "note.score_typed", []any{plain(now.Scale.From), plain(now.Scale.To)}
		}
	}
	return s.told(faults)
}

func isWhole(text string) bool {
	_, err := strconv.Atoi(text)
	return err == nil
}

func (c *catalogue) isNumber(text string) bool {
	_, ok := c.float(text)
	return ok
}

// handIn takes what a judge says, once.
func (s *site) handIn(w http.ResponseWriter, r *http.Request) (document, error) {
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	now, known, err := s.judged(r)
	switch {
	case err != nil:
		return document{}, err
	case !known:
		return s.noJudge(w)
	case now.State == "ended":
		return s.judgingAs(http.StatusConflict, judgingView{State: now.State, Late: true})
	case r.PostForm.Has("judge") && r.PostForm.Get("judge") != now.Judge:
		// Judges who share a browser: the page is of one, the link that was opened last, in
		// another tab, of the next.
		return s.judgingAs(http.StatusConflict, judgingView{State: "another", Judge: r.PostForm.Get("judge")})
	}
	list, at := answersBody(s.words, now.Codes, now.Answer == record.ByScores, r.PostForm)
	body, err := decoded[record.PanelHandInBody](map[string]any{"answers": list})
	if err == nil {
		_, _, err = s.panel.HandIn(r.Context(), access.VisitorOf(r.Context()).Judge, body)
	}
	problem := calc.AsProblem(err)
	switch {
	case err == nil:
		return document{status: http.StatusSeeOther, to: access.JudgingPage}, nil
	case errors.Is(err, record.ErrPanelClosed):
		return s.judgingAs(http.StatusConflict, judgingView{State: "ended", Late: true})
	case problem != nil && problem.Type == record.HandedIn:
		return s.judgingAs(http.StatusConflict, judgingView{State: "stands"})
	}
	faults, err := s.refusal(err, at)
	if err == nil {
		faults, err = s.answerFaults(faults, now, r.PostForm, "note.no_rank")
	}
	if err != nil {
		return document{}, err
	}
	v := s.judgingView(now, r.PostForm, faults)
	v.Begun = true
	return s.judgingAs(cmp.Or(problem.Status, http.StatusUnprocessableEntity), v)
}
