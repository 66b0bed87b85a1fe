package pages

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// judgingPage is the one page that a judge's link leads to.
const judgingPage = "/judging"

// The judge's pages have no frame: whoever judges blind is led nowhere else. What
// they show is made of panel.Judging and of what the judge typed, and of nothing else.

func (s *site) judgingRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /judge/{key}", s.answer(s.judgeLink))
	mux.HandleFunc("POST /judge/{key}", s.answerWriter(s.beginJudging))
	mux.HandleFunc("GET "+judgingPage, s.answer(s.judging))
	mux.HandleFunc("POST "+judgingPage, s.answerWriter(s.handIn))
}

// judgingView is the judge's page.
type judgingView struct {
	State    string // "begin", "open", "handed_in", "ended", "unknown" or "stands"
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
	Ranks  []rankChoice // where ranks are asked for
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
func (s *site) judgeLink(r *http.Request) (document, error) {
	now, err := s.judged(r, r.PathValue("key"))
	if err != nil {
		return s.noJudge(err)
	}
	if now.State == "ended" {
		return s.judgingAs(http.StatusOK, judgingView{State: now.State})
	}
	return s.judgingAs(http.StatusOK, judgingView{State: "begin"})
}

// beginJudging gives a judge's browser the key of the link, and leads to the page.
func (s *site) beginJudging(w http.ResponseWriter, r *http.Request) (document, error) {
	key := r.PathValue("key")
	if _, err := s.judged(r, key); err != nil {
		return s.noJudge(err)
	}
	setJudge(w, r, key)
	return document{status: http.StatusSeeOther, to: judgingPage}, nil
}

// judged is what a judge with a key is shown.
func (s *site) judged(r *http.Request, key string) (panel.Judging, error) {
	judge, err := s.panel.Key(r.Context(), key)
	if err != nil {
		return panel.Judging{}, err
	}
	return s.panel.Judging(r.Context(), judge)
}

// noJudge answers whoever comes with a key that opens nothing.
func (s *site) noJudge(err error) (document, error) {
	if !errors.Is(err, record.ErrNoJudge) {
		return document{}, err
	}
	return s.judgingAs(http.StatusUnauthorized, judgingView{State: "unknown"})
}

func (s *site) judgingAs(status int, v judgingView) (document, error) {
	d, err := s.render("judging.html", v)
	d.status, d.passing = status, true
	return d, err
}

// judging answers with what a judge is asked, or with what became of it.
func (s *site) judging(r *http.Request) (document, error) {
	now, err := s.judged(r, judgeKey(r))
	if err != nil {
		return s.noJudge(err)
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
		g := judgedGlass{Code: code, Score: entered(typed.Get("score-" + code)), Note: typed.Get("note-" + code)}
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

// handIn takes what a judge says, once.
func (s *site) handIn(w http.ResponseWriter, r *http.Request) (document, error) {
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	judge, err := s.panel.Key(r.Context(), judgeKey(r))
	if err != nil {
		return s.noJudge(err)
	}
	now, err := s.panel.Judging(r.Context(), judge)
	if err != nil {
		return document{}, err
	}
	if now.State == "ended" {
		return s.judgingAs(http.StatusConflict, judgingView{State: now.State, Late: true})
	}
	list, at := answersBody(s.words, now.Codes, now.Answer == record.ByScores, r.PostForm)
	body, err := decoded[record.PanelHandInBody](map[string]any{"answers": list})
	if err == nil {
		_, _, err = s.panel.HandIn(r.Context(), judge, body)
	}
	problem := calc.AsProblem(err)
	switch {
	case err == nil:
		return document{status: http.StatusSeeOther, to: judgingPage}, nil
	case errors.Is(err, record.ErrPanelClosed):
		return s.judgingAs(http.StatusConflict, judgingView{State: "ended", Late: true})
	case problem != nil && problem.Type == record.HandedIn:
		return s.judgingAs(http.StatusConflict, judgingView{State: "stands"})
	}
	faults, err := s.refusal(err, at)
	if err != nil {
		return document{}, err
	}
	v := s.judgingView(now, r.PostForm, faults)
	v.Begun = true
	return s.judgingAs(cmp.Or(problem.Status, http.StatusUnprocessableEntity), v)
}
