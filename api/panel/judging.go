package panel

import (
	"context"
	"errors"
	"strings"

	"pourpath/api/access"
	"pourpath/api/record"
	"pourpath/api/store"
)

// Judging is all that a judge is shown. Once the session is closed it is State
// alone.
type Judging struct {
	State      string                 `json:"state" enum:"open,handed_in,ended" doc:"Whether an answer is waited for, was handed in, or the session has ended."`
	Judge      string                 `json:"judge,omitempty" doc:"What the judge is called, so that two phones are not mixed up."`
	Question   string                 `json:"question,omitempty" doc:"What is asked."`
	Answer     record.PanelAnswerKind `json:"answer,omitempty" enum:"ranks,scores" doc:"How to answer."`
	Ties       bool                   `json:"ties,omitempty" doc:"Whether two glasses may be equal."`
	Most       record.PanelMost       `json:"most,omitempty" enum:"preferred,deepest,closest" doc:"What rank 1, or the highest score, stands for."`
	Scale      *record.PanelScale     `json:"scale,omitempty" doc:"Of scores: the ends of the scale."`
	Codes      []string               `json:"codes,omitempty" doc:"The glasses, in the order in which this judge is served."`
	Answers    []record.GlassAnswer   `json:"answers,omitempty" doc:"What this judge handed in and stands, in that order; absent by a link that was given out after that."`
	HandedInAt *record.Instant        `json:"handed_in_at,omitempty" doc:"When."`
}

// keyring is the keys of judges by their names while they are told.
type keyring map[string]string

// cut makes a judge a key and returns its hash.
func (k keyring) cut(name string) (hash string) {
	k[name] = access.NewKey()
	hash, _ = access.Hash(k[name]) // it is a key
	return hash
}

// change adds judges with their orders of serving, by the places of the glasses, and
// a link each.
func (k keyring) change(p record.Panel, judges []record.PanelJudgeBody, orders [][]int) store.PanelChange {
	out := store.PanelChange{Links: map[string]string{}}
	for i, j := range judges {
		one := record.PanelJudge{Name: strings.TrimSpace(j.Name)}
		for _, glass := range orders[i] {
			one.Codes = append(one.Codes, p.Glasses[glass].Code)
		}
		out.Judges = append(out.Judges, one)
		out.Links[one.Name] = k.cut(one.Name)
	}
	return out
}

// links are the links of those of the newest n judges that have a key here.
func (k keyring) links(p record.Panel, n int) []JudgeLink {
	out := []JudgeLink{}
	for _, j := range p.Judges[len(p.Judges)-n:] {
		if key, ok := k[j.Name]; ok {
			out = append(out, JudgeLink{Judge: j.ID, Name: j.Name, Key: key, Path: "/judge/" + key})
		}
	}
	return out
}

// JudgeOf finds the judge whose link has a key with this hash, as access.Hash makes it.
// Links of a session that has ended are still known, so that they can say so.
func (p *Panels) JudgeOf(ctx context.Context, keyHash string) (judgeID string, ok bool, err error) {
	_, judgeID, err = p.store.JudgeByKey(ctx, keyHash)
	if errors.Is(err, record.ErrNotFound) {
		return "", false, nil
	}
	return judgeID, err == nil, err
}

// Judging is what a judge is shown.
func (p *Panels) Judging(ctx context.Context, judgeID string) (Judging, error) {
	id, err := p.store.PanelOfJudge(ctx, judgeID)
	if err != nil {
		return Judging{}, err
	}
	panel, err := p.store.Panel(ctx, id)
	if err != nil {
		return Judging{}, err
	}
	linkMade, err := p.store.LinkMadeAt(ctx, judgeID)
	if err != nil {
		return Judging{}, err
	}
	return judging(panel, judgeID, linkMade)
}

func judging(p record.Panel, judgeID string, linkMade record.Instant) (Judging, error) {
	j, there := p.Judge(judgeID)
	switch {
	case !there:
		return Judging{}, record.ErrNotFound
	case p.Closing != nil:
		return Judging{State: "ended"}, nil
	}
	out := Judging{
		State: "open", Judge: j.Name, Question: p.Question, Answer: p.Answer, Ties: p.TiesAllowed(), Most: p.Most, Scale: p.Scale, Codes: j.Codes,
	}
	if a, ok := p.Standing(judgeID); ok {
		at := a.RecordedAt
		out.State, out.HandedInAt = "handed_in", &at
		if !a.Hides(linkMade) {
			out.Answers = a.Answers
		}
	}
	return out, nil
}

// HandIn records what a judge hands in. again is that it stands already: the same
// sent twice counts once. The error is record.ErrPanelClosed or a *calc.Problem,
// which tells what stands where something else does, unless the link is newer than that.
func (p *Panels) HandIn(ctx context.Context, judgeID string, asked record.PanelHandInBody) (out Judging, again bool, err error) {
	id, err := p.store.PanelOfJudge(ctx, judgeID)
	if err != nil {
		return out, false, err
	}
	linkMade, err := p.store.LinkMadeAt(ctx, judgeID)
	if err != nil {
		return out, false, err
	}
	_, again, err = p.take(ctx, id, func(now record.Panel) (record.PanelAnswer, bool, error) {
		return now.TakesByLink(judgeID, asked, linkMade)
	})
	if err != nil {
		return out, false, err
	}
	out, err = p.Judging(ctx, judgeID)
	return out, again, err
}
