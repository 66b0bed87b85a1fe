package record

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
)

// PanelAnswerKind is how judges answer.
type PanelAnswerKind string

// The ways of answering.
const (
	ByRanks  PanelAnswerKind = "ranks"
	ByScores PanelAnswerKind = "scores"
)

// PanelMost is what the glass with rank 1, or with the highest score, has most of.
type PanelMost string

// What may be asked. The words of a question are the leader's own; this says
// what the answers mean.
const (
	MostPreferred PanelMost = "preferred"
	MostDeep      PanelMost = "deepest"
	MostClose     PanelMost = "closest"
)

const (
	// fewestPanelGlasses is how many glasses a comparison takes.
	fewestPanelGlasses = 2
	// fewestPanelJudges is how many judges make a panel.
	fewestPanelJudges = 2
	// mostPanelJudges is how many judges one panel takes: several times a large
	// table of tasters.
	mostPanelJudges = 100
)

// PanelScale is the scale that scores are given on.
type PanelScale struct {
	From float64 `json:"from" minimum:"-1000" maximum:"1000" doc:"The lowest score: least of what is asked for."`
	To   float64 `json:"to" minimum:"-1000" maximum:"1000" doc:"The highest score: most of it."`
}

// PanelFields are what a panel is set up with, beside its glasses and judges.
type PanelFields struct {
	Name     string          `json:"name,omitempty" maxLength:"200" doc:"What the panel is called, for its leader. Judges do not see it."`
	Question string          `json:"question" minLength:"1" maxLength:"500" doc:"What judges are asked, in the leader's words. Judges read it: it must not tell what is in the glasses."`
	Answer   PanelAnswerKind `json:"answer" enum:"ranks,scores" doc:"Whether glasses are ranked, 1 for the one that has most of what is asked for, or each gets a score."`
	Ties     *bool           `json:"ties,omitempty" doc:"Whether several glasses may share a rank. No where left out. Scores may always be equal."`
	Most     PanelMost       `json:"most,omitempty" enum:"preferred,deepest,closest" doc:"What rank 1, or the highest score, stands for: the glass that is liked most, has the deepest colour, or comes closest to a reference that is shown. preferred where left out."`
	Scale    *PanelScale     `json:"scale,omitempty" doc:"Of scores: the ends of the scale. 0 to 10 where left out."`
	PerJudge int             `json:"per_judge,omitempty" minimum:"2" maximum:"100" doc:"How many of the glasses each judge gets; all where left out. With fewer, the glasses are shared out so that pairs of glasses meet with one judge equally often, as far as the number of judges lets them."`
	Leader   string          `json:"leader,omitempty" maxLength:"200" doc:"Who leads the session, and knows which glass is which."`
}

// TiesAllowed reports whether two glasses of one judge may be equal.
func (p PanelFields) TiesAllowed() bool {
	return p.Answer == ByScores || p.Ties != nil && *p.Ties
}

// PanelJudgeBody is a judge who is asked to the panel.
type PanelJudgeBody struct {
	Name string `json:"name" minLength:"1" maxLength:"200" doc:"What the judge is called, each by another name."`
}

// PanelBody is a new panel.
type PanelBody struct {
	PanelFields
	Glasses []string         `json:"glasses,omitempty" minItems:"2" maxItems:"100" doc:"Labels of the trial's glasses that are judged; all where left out."`
	Judges  []PanelJudgeBody `json:"judges" minItems:"1" maxItems:"100" doc:"Who judges, two or more."`
}

// Check implements calc.Request.
func (b PanelBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.Question) == "" {
		f.Addf("/question", b.Question, "say what judges are asked, such as \"Which colour do you like most?\"")
	}
	switch {
	case b.Answer == ByRanks && b.Scale != nil:
		f.Addf("/scale", nil, "ranks have no scale: leave it out, or ask for scores")
	case b.Answer == ByScores && b.Ties != nil && !*b.Ties:
		f.Addf("/ties", false, "scores may always be equal: leave \"ties\" out, or ask for ranks")
	}
	if s := b.Scale; s != nil && !(s.From < s.To) {
		f.Addf("/scale/to", s.To, "the scale ends where it begins or below, at %g: the highest score lies above the lowest", s.From)
	}
	seen := map[string]int{}
	for i, label := range b.Glasses {
		if first, twice := seen[label]; twice {
			f.Addf(pointerTo("/glasses", i), label, "this glass stands here twice, first as number %d", first+1)
			continue
		}
		seen[label] = i
	}
	if n := len(b.Judges); n < fewestPanelJudges {
		f.Addf("/judges", n, "a panel has %d to %d judges", fewestPanelJudges, mostPanelJudges)
		return
	}
	checkJudges(b.Judges, nil, f)
}

// checkJudges appends what is wrong with judges who join those that are there.
func checkJudges(list []PanelJudgeBody, there []PanelJudge, f *calc.Faults) {
	if n := len(list) + len(there); n > mostPanelJudges {
		f.Addf("/judges", nil, "these are %d judges, and a panel takes at most %d: open a second panel", n, mostPanelJudges)
		return
	}
	known := map[string]bool{}
	for _, j := range there {
		known[judgeKey(j.Name)] = true
	}
	for i, j := range list {
		place := pointerTo("/judges", i) + "/name"
		unseen, hasUnseen := UnseenIn(strings.TrimSpace(j.Name))
		switch key := judgeKey(j.Name); {
		case key == "":
			f.Addf(place, j.Name, "a judge needs a name, so that answers and links are not mixed up; initials or \"Judge 3\" will do")
		case hasUnseen:
			f.Addf(place, j.Name, "a character in this name cannot be seen (%s): type the name again, in letters, digits and signs alone", fmt.Sprintf("%U", unseen))
		case known[key]:
			f.Addf(place, j.Name, "another judge has this name: give each their own, such as initials or a number after it")
		default:
			known[key] = true
		}
	}
}

func judgeKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// settled fills in what was left out.
func (p PanelFields) settled(glasses int) PanelFields {
	if p.Most == "" {
		p.Most = MostPreferred
	}
	if p.Answer == ByScores && p.Scale == nil {
		p.Scale = &PanelScale{From: 0, To: 10}
	}
	if p.PerJudge == 0 {
		p.PerJudge = glasses
	}
	return p
}

// PanelGlass is a glass as it was when the panel was opened.
type PanelGlass struct {
	Glass            string  `json:"glass" doc:"Label of the trial's glass."`
	Code             string  `json:"code" doc:"The three digits that judges know it by. Drawn by chance for this panel."`
	DoseMLPer100ML   float64 `json:"dose_ml_per_100ml" doc:"Its dose when the panel was opened, in mL per 100 mL of base."`
	UDose            float64 `json:"u_dose_ml_per_100ml" minimum:"0" doc:"Standard uncertainty (k = 1) of that dose, from the tools."`
	AdditionFraction float64 `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend then."`
}

// Panel is the record of a panel: how it was set up, which never changes, its
// judges and their answers, which only grow, and that it was closed.
type Panel struct {
	ID      string `json:"id" doc:"Identifier."`
	TrialID string `json:"trial_id" doc:"Identifier of the trial whose glasses are judged."`
	PanelFields
	Glasses   []PanelGlass  `json:"glasses" doc:"The glasses with their codes and the doses that they held when the panel was opened: later pours change nothing here. Not for judges."`
	Serving   string        `json:"serving" enum:"williams,balanced_incomplete,near_balanced" doc:"How the orders of serving were drawn: a Williams Latin square, in which each glass follows each other one equally often; balanced incomplete blocks, in which each pair of glasses is with one judge equally often; or as near to that as the numbers let it."`
	CreatedAt Instant       `json:"created_at" doc:"When it was opened."`
	Closing   *PanelClosing `json:"closing,omitempty" doc:"That the session was closed; absent while it is open."`

	// Judges are in the order in which they were asked.
	Judges []PanelJudge `json:"-"`
	// Answers are in the order in which they were recorded.
	Answers []PanelAnswer `json:"-"`
}

// PanelJudge is a judge with the order in which the glasses are served.
type PanelJudge struct {
	ID      string   `json:"id" doc:"Identifier of the judge, for the leader. It opens nothing."`
	No      int      `json:"no" doc:"Place among the panel's judges, from 1."`
	Name    string   `json:"name" doc:"What the judge is called."`
	Codes   []string `json:"codes" doc:"Codes of this judge's glasses, in the order in which they are served."`
	AddedAt Instant  `json:"added_at" doc:"When the judge was asked."`
}

// PanelClosing is that a session was closed.
type PanelClosing struct {
	PanelClosingBody
	ClosedAt Instant `json:"closed_at" doc:"When it was closed."`
}

// PanelClosingBody closes a session.
type PanelClosingBody struct {
	Without []string `json:"without,omitempty" maxItems:"100" doc:"Identifiers of the judges who have not handed in and are left out: all of them must be named, so that nobody is left out by accident."`
	By      string   `json:"by,omitempty" maxLength:"200" doc:"Who closes it."`
	Note    string   `json:"note,omitempty" maxLength:"2000" doc:"What there is to say of the session."`
}

// Check implements calc.Request.
func (b PanelClosingBody) Check(f *calc.Faults) {
	seen := map[string]int{}
	for i, id := range b.Without {
		if first, twice := seen[id]; twice {
			f.Addf(pointerTo("/without", i), id, "this judge stands here twice, first as number %d", first+1)
			continue
		}
		seen[id] = i
	}
}

// PanelJudgesBody asks further judges to a panel.
type PanelJudgesBody struct {
	Judges []PanelJudgeBody `json:"judges" minItems:"1" maxItems:"100" doc:"Who joins."`
}

// Check implements calc.Request.
func (b PanelJudgesBody) Check(f *calc.Faults) { checkJudges(b.Judges, nil, f) }

// NewPanel is a panel on glasses of a trial as they stand now, without codes and
// judges. The error is ErrArchived or a *calc.Problem.
func NewPanel(t Trial, asked PanelBody) (Panel, error) {
	p := Panel{TrialID: t.ID}
	if t.ArchivedAt != nil {
		return p, ErrArchived
	}
	progress, err := t.Progress()
	if err != nil {
		return p, err
	}
	at := map[string]GlassState{}
	for _, g := range progress.Glasses {
		at[g.Glass] = g
	}
	labels, place := asked.Glasses, "/glasses"
	if len(labels) == 0 {
		labels = t.Glasses
	}
	var f calc.Faults
	for i, label := range labels {
		g, there := at[label]
		if !there {
			f.Addf(pointerTo(place, i), label, "this trial has no such glass: want some of %s", t.named())
			continue
		}
		p.Glasses = append(p.Glasses, PanelGlass{
			Glass: label, DoseMLPer100ML: g.DoseMLPer100ML, UDose: g.UDose, AdditionFraction: g.AdditionFraction,
		})
	}
	n := len(labels)
	if n < fewestPanelGlasses {
		f.Addf(place, nil, "this is %d glass, and a comparison takes %d or more", n, fewestPanelGlasses)
	}
	p.PanelFields = asked.PanelFields.settled(n)
	if p.PerJudge > n {
		f.Addf("/per_judge", p.PerJudge, "there are %d glasses, so a judge can have no more of them", n)
	}
	return p, f.Err()
}

// Judge finds a judge of the panel by the identifier.
func (p Panel) Judge(id string) (PanelJudge, bool) {
	for _, j := range p.Judges {
		if j.ID == id {
			return j, true
		}
	}
	return PanelJudge{}, false
}

// CodeOf finds a glass of the panel by its code.
func (p Panel) CodeOf(code string) (PanelGlass, bool) {
	for _, g := range p.Glasses {
		if g.Code == code {
			return g, true
		}
	}
	return PanelGlass{}, false
}

// Has reports whether a glass of the trial is judged by the panel.
func (p Panel) Has(glass string) bool {
	for _, g := range p.Glasses {
		if g.Glass == glass {
			return true
		}
	}
	return false
}

// Joins returns nil where further judges may be asked, or else ErrPanelClosed or a
// *calc.Problem.
func (p Panel) Joins(list []PanelJudgeBody) error {
	if p.Closing != nil {
		return ErrPanelClosed
	}
	var f calc.Faults
	checkJudges(list, p.Judges, &f)
	return f.Err()
}

// Closes returns nil where the session may be closed so, or else ErrPanelClosed or a
// *calc.Problem: a judge who has not handed in must be named in without.
func (p Panel) Closes(b PanelClosingBody) error {
	if p.Closing != nil {
		return ErrPanelClosed
	}
	var f calc.Faults
	left := map[string]bool{}
	for i, id := range b.Without {
		left[id] = true
		j, there := p.Judge(id)
		switch _, handed := p.Standing(id); {
		case !there:
			f.Addf(pointerTo("/without", i), id, "no judge of this panel has this identifier")
		case handed:
			f.Addf(pointerTo("/without", i), id, "%s has handed in, and an answer is never left out: take this identifier out", j.Name)
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	var waiting []calc.Fault
	for _, j := range p.Judges {
		if _, handed := p.Standing(j.ID); !handed && !left[j.ID] {
			waiting = append(waiting, calc.Fault{Location: "/without", Value: j.ID, Message: fmt.Sprintf("%s has not handed in: wait, or close without this judge by the identifier %s", j.Name, j.ID)})
		}
	}
	if len(waiting) > 0 {
		return conflict(JudgesMissing, "Judges have not handed in", waiting, "%d of %d judges have not handed in: closing takes nothing more, so name in \"without\" those to be left out", len(waiting), len(p.Judges))
	}
	return nil
}
