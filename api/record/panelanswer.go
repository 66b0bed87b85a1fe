package record

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// Errors of panels. They are matched with errors.Is.
var (
	// ErrPanelClosed: the session is over and takes nothing more.
	ErrPanelClosed = errors.New("the session has ended and takes nothing more")
	// ErrPanelOpen: the result is told once the session is closed.
	ErrPanelOpen = errors.New("the session is still open: close it first, the result is told after that")
	// ErrNoJudge: a key opens nothing.
	ErrNoJudge = errors.New("no judge is known by this key: it is missing or mistyped, or a newer one was given out; ask whoever leads the session for another link")
)

// The kinds of problem that a panel's state makes.
const (
	// HandedIn: the judge has handed in something else.
	HandedIn = "/problems/handed-in"
	// JudgesMissing: judges have not handed in.
	JudgesMissing = "/problems/judges-missing"
)

// conflict is the problem of a request that the state of a panel refuses.
func conflict(kind, title string, list []calc.Fault, format string, args ...any) *calc.Problem {
	return &calc.Problem{Type: kind, Title: title, Status: http.StatusConflict, Detail: fmt.Sprintf(format, args...), Errors: list}
}

// GlassAnswer is what a judge says of one glass.
type GlassAnswer struct {
	Code  string   `json:"code" maxLength:"10" doc:"Code of the glass."`
	Rank  *int     `json:"rank,omitempty" minimum:"1" maximum:"100" doc:"Where ranks are asked for: 1 for the glass that has most of what is asked for."`
	Score *float64 `json:"score,omitempty" minimum:"-1000" maximum:"1000" doc:"Where scores are asked for."`
	Note  string   `json:"note,omitempty" maxLength:"1000" doc:"What else the judge says of the glass."`
}

// PanelHandInBody is what a judge hands in: all of the judge's glasses at once.
type PanelHandInBody struct {
	Answers []GlassAnswer `json:"answers" maxItems:"100" doc:"One for each of the judge's glasses."`
}

// Check implements calc.Request. The rest is known only of the judge: see Panel.Takes.
func (PanelHandInBody) Check(*calc.Faults) {}

// PanelSheetBody is what the leader types for a judge: a paper sheet, or what is
// right in place of an answer that stands.
type PanelSheetBody struct {
	Judge string `json:"judge" maxLength:"100" doc:"Identifier of the judge."`
	PanelHandInBody
	By       string `json:"by,omitempty" maxLength:"200" doc:"Who typed it."`
	Corrects string `json:"corrects,omitempty" maxLength:"100" doc:"Identifier of the answer that stands and is corrected by this one. Both are kept."`
	Reason   string `json:"reason,omitempty" maxLength:"2000" doc:"Why it is corrected; needed with corrects."`
}

// Check implements calc.Request.
func (b PanelSheetBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.Judge) == "" {
		f.Addf("/judge", b.Judge, "whose sheet is it? Give the judge's identifier")
	}
	switch {
	case b.Corrects != "" && strings.TrimSpace(b.Reason) == "":
		f.Addf("/reason", nil, "say why the answer is corrected, such as \"two digits were swapped in typing\"")
	case b.Corrects == "" && b.Reason != "":
		f.Addf("/corrects", nil, "a reason goes with a correction: name the answer that stands")
	}
}

// PanelAnswer is the record of what a judge answered. It is never changed: a
// correction is another one, which names it.
type PanelAnswer struct {
	ID           string        `json:"id" doc:"Identifier."`
	JudgeID      string        `json:"judge" doc:"Identifier of the judge."`
	No           int           `json:"no" doc:"Place among the judge's answers, from 1; the newest counts."`
	Source       string        `json:"source" enum:"link,sheet" doc:"Whether the judge handed it in by link, or the leader typed it."`
	Answers      []GlassAnswer `json:"answers" doc:"One for each of the judge's glasses, in the order in which they were served."`
	By           string        `json:"by,omitempty" doc:"Who typed it."`
	Corrects     string        `json:"corrects,omitempty" doc:"Identifier of the answer that it corrects."`
	Reason       string        `json:"reason,omitempty" doc:"Why."`
	AfterClosing bool          `json:"after_closing,omitempty" doc:"Whether it was corrected after the codes were known."`
	RecordedAt   Instant       `json:"recorded_at" doc:"When the record was made."`
}

// The sources of answers.
const (
	ByLink  = "link"
	BySheet = "sheet"
)

// Standing is the answer of a judge that counts; ok is false where there is none.
func (p Panel) Standing(judge string) (answer PanelAnswer, ok bool) {
	for _, a := range p.Answers {
		if a.JudgeID == judge && a.No > answer.No {
			answer, ok = a, true
		}
	}
	return answer, ok
}

// Hides reports whether an answer that stands is kept from whoever asks by a judge's
// link that was given out at a time: one that is newer than the answer may be in the
// leader's hands, who must not know answers before the session is closed.
func (a PanelAnswer) Hides(linkMade Instant) bool { return !linkMade.Before(a.RecordedAt.Time) }

// hidesFromSheet reports whether it is kept from the leader: what a judge handed in is
// while the session is open, what the leader typed is not.
func (p Panel) hidesFromSheet(a PanelAnswer) bool { return p.Closing == nil && a.Source == ByLink }

// TakesByLink is the record of what a judge hands in by a link that was given out at a
// time. again is that it is what stands already, so that nothing is to be recorded. The
// error is ErrPanelClosed, ErrNotFound for no such judge, or a *calc.Problem with the
// place of each fault, or with what stands unless that is hidden.
func (p Panel) TakesByLink(judge string, asked PanelHandInBody, linkMade Instant) (answer PanelAnswer, again bool, err error) {
	return p.takes(PanelSheetBody{Judge: judge, PanelHandInBody: asked}, ByLink, func(a PanelAnswer) bool { return a.Hides(linkMade) })
}

// TakesSheet is TakesByLink of what the leader types for a judge.
func (p Panel) TakesSheet(asked PanelSheetBody) (answer PanelAnswer, again bool, err error) {
	return p.takes(asked, BySheet, p.hidesFromSheet)
}

// takes compares nothing with an answer that is hidden: whether a guess is right would
// tell what it is.
func (p Panel) takes(asked PanelSheetBody, source string, hidden func(PanelAnswer) bool) (answer PanelAnswer, again bool, err error) {
	j, there := p.Judge(asked.Judge)
	switch {
	case !there && source == ByLink:
		return answer, false, ErrNotFound
	case !there:
		return answer, false, calc.Refuse(calc.Fault{Location: "/judge", Value: asked.Judge, Message: "no judge of this panel has this identifier"})
	case p.Closing != nil && asked.Corrects == "":
		return answer, false, ErrPanelClosed
	}
	var f calc.Faults
	list := p.whole(j, asked.Answers, &f)
	if err := f.Err(); err != nil {
		return answer, false, err
	}
	answer = PanelAnswer{
		JudgeID: j.ID, No: 1, Source: source, Answers: list, By: asked.By, Corrects: asked.Corrects, Reason: asked.Reason, AfterClosing: p.Closing != nil,
	}
	stands, handed := p.Standing(j.ID)
	blind := handed && hidden(stands)
	same := handed && !blind && alike(stands.Answers, list)
	switch {
	case !handed && asked.Corrects != "":
		return answer, false, calc.Refuse(calc.Fault{Location: "/corrects", Value: asked.Corrects, Message: j.Name + " has handed in nothing yet: leave this out"})
	case !handed:
		return answer, false, nil
	case same && (asked.Corrects == "" || asked.Corrects == stands.Corrects):
		return stands, true, nil
	case asked.Corrects != stands.ID:
		return answer, false, stands.conflict(asked.Corrects, blind)
	case same:
		return answer, false, calc.Refuse(calc.Fault{Location: "/answers", Message: "this is what stands already: there is nothing to correct"})
	}
	answer.No = stands.No + 1
	return answer, false, nil
}

// conflict is the problem of an answer that another one stands in the way of, which it
// tells unless that is hidden.
func (a PanelAnswer) conflict(corrects string, hidden bool) error {
	var list []calc.Fault
	if !hidden {
		for _, g := range a.Answers {
			list = append(list, calc.Fault{Location: "/answers", Value: g.said(), Message: fmt.Sprintf("what stands of glass %s: %s", g.Code, g.words())})
		}
	}
	how := "an answer was handed in before, at %s, and it stands: whoever leads the session can have it corrected"
	if corrects != "" {
		how = "the answer that stands, of %s, is another one than \"corrects\" names: look at it first"
	}
	return conflict(HandedIn, "An answer was handed in before", list, how, a.RecordedAt)
}

func (g GlassAnswer) said() any {
	if g.Rank != nil {
		return *g.Rank
	}
	if g.Score != nil {
		return *g.Score
	}
	return nil
}

func (g GlassAnswer) words() string {
	if g.Rank != nil {
		return "rank " + strconv.Itoa(*g.Rank)
	}
	if g.Score != nil {
		return fmt.Sprintf("score %g", *g.Score)
	}
	return "nothing"
}

// alike reports whether two answers, in one order of glasses, say the same.
func alike(a, b []GlassAnswer) bool {
	return slices.EqualFunc(a, b, func(a, b GlassAnswer) bool {
		return a.Code == b.Code && a.Note == b.Note && a.said() == b.said()
	})
}

// whole looks at a judge's answers and puts them in the order in which the
// glasses were served.
func (p Panel) whole(j PanelJudge, list []GlassAnswer, f *calc.Faults) []GlassAnswer {
	out := make([]GlassAnswer, len(j.Codes))
	at := map[string]int{}
	for i, a := range list {
		place := pointerTo("/answers", i)
		served := slices.Index(j.Codes, a.Code)
		first, twice := at[a.Code]
		switch {
		case served < 0:
			f.Addf(place+"/code", a.Code, "this is none of this judge's glasses, which are %s", strings.Join(j.Codes, ", "))
		case twice:
			f.Addf(place+"/code", a.Code, "glass %s stands here twice, first as number %d", a.Code, first+1)
		default:
			at[a.Code] = i
			a.Note = strings.TrimSpace(a.Note)
			out[served] = a
			p.checkOne(place, a, len(j.Codes), f)
		}
	}
	var missing []string
	for _, code := range j.Codes {
		if _, there := at[code]; !there {
			missing = append(missing, code)
		}
	}
	if len(missing) > 0 {
		f.Addf("/answers", nil, "%s: nothing is said of %s. Every glass needs an answer", count(len(missing), "glass is missing", "glasses are missing"), strings.Join(missing, ", "))
	}
	if p.Answer == ByRanks && !p.TiesAllowed() {
		checkTies(list, f)
	}
	return out
}

// checkOne looks at what is said of one glass of n.
func (p Panel) checkOne(place string, a GlassAnswer, n int, f *calc.Faults) {
	switch {
	case p.Answer == ByRanks && a.Score != nil:
		f.Addf(place+"/score", *a.Score, "ranks are asked for here: give a \"rank\" from 1 to %d", n)
	case p.Answer == ByRanks && a.Rank == nil:
		f.Addf(place+"/rank", nil, "glass %s has no rank: give one from 1 to %d", a.Code, n)
	case p.Answer == ByRanks && (*a.Rank < 1 || *a.Rank > n):
		f.Addf(place+"/rank", *a.Rank, "glass %s: a rank lies from 1 to %d, the number of glasses", a.Code, n)
	case p.Answer == ByScores && a.Rank != nil:
		f.Addf(place+"/rank", *a.Rank, "scores are asked for here: give a \"score\" from %g to %g", p.Scale.From, p.Scale.To)
	case p.Answer == ByScores && a.Score == nil:
		f.Addf(place+"/score", nil, "glass %s has no score: give one from %g to %g", a.Code, p.Scale.From, p.Scale.To)
	case p.Answer == ByScores && (*a.Score < p.Scale.From || *a.Score > p.Scale.To):
		f.Addf(place+"/score", *a.Score, "glass %s: a score lies from %g to %g", a.Code, p.Scale.From, p.Scale.To)
	}
}

// checkTies appends ranks that stand twice.
func checkTies(list []GlassAnswer, f *calc.Faults) {
	first := map[int]string{}
	for i, a := range list {
		if a.Rank == nil {
			continue
		}
		if other, twice := first[*a.Rank]; twice && other != a.Code {
			f.Addf(pointerTo("/answers", i)+"/rank", *a.Rank, "glasses %s and %s have one rank, and each needs its own here: decide between them", other, a.Code)
			continue
		}
		first[*a.Rank] = a.Code
	}
}

// count is a number with the words for one or several.
func count(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}
