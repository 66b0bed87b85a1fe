package panel

import (
	"pourpath/api/calc"
	"pourpath/api/record"
	sensory "pourpath/colour/panel"
)

// Session is a panel as its leader sees it. While it is open it does not have
// what judges answered: a session that is closed when the answers please proves
// nothing.
type Session struct {
	record.Panel
	State    string               `json:"state" enum:"open,closed" doc:"Whether judges may hand in."`
	Judges   []SessionJudge       `json:"judges" doc:"The judges in the order in which they were asked."`
	HandedIn int                  `json:"handed_in" doc:"How many of them have handed in."`
	Balance  ServingBalance       `json:"balance" doc:"How even the orders of serving are."`
	Portions []Portion            `json:"portions" doc:"How much of each glass's blend its judges take together."`
	Warnings []calc.Warning       `json:"warnings" doc:"What may not be meant of the glasses: nothing was poured into one, or two hold the same dose. The panel is open all the same."`
	Answers  []record.PanelAnswer `json:"answers,omitempty" doc:"What was handed in, corrected answers too, in the order in which it was recorded; absent while the session is open."`
}

// SessionJudge is a judge as the leader sees one.
type SessionJudge struct {
	record.PanelJudge
	HandedInAt *record.Instant `json:"handed_in_at,omitempty" doc:"When the answer that stands was recorded; absent until then."`
	AnswerID   string          `json:"answer_id,omitempty" doc:"Identifier of the answer that stands, to correct it by."`
	Source     string          `json:"source,omitempty" enum:"link,sheet" doc:"Whether the judge handed it in by link, or the leader typed it."`
}

// CountSpread is the least and the most of some counts.
type CountSpread struct {
	Least int `json:"least" doc:"The least."`
	Most  int `json:"most" doc:"The most."`
}

// ServingBalance says how even the orders of serving are: a count whose least and
// most are the same is balanced.
type ServingBalance struct {
	Positions CountSpread `json:"positions" doc:"How often a glass stands at a place in the order."`
	CarryOver CountSpread `json:"carry_over" doc:"How often a glass comes right after another one."`
	Judges    CountSpread `json:"judges" doc:"How many judges a glass is with."`
	Together  CountSpread `json:"together" doc:"How many judges two glasses are with together."`
	FullFor   []int       `json:"full_for" doc:"The numbers of judges at which the design is complete, up to the first that is no less than there are; empty where none is known."`
}

// SessionOpened is a panel with the links of its new judges, which are told once.
type SessionOpened struct {
	Session
	Links []JudgeLink `json:"links" doc:"A link for each judge who was added. The keys are not stored and cannot be told again: a judge who loses one gets another."`
}

// JudgeLink is a judge's link.
type JudgeLink struct {
	Judge string `json:"judge" doc:"Identifier of the judge."`
	Name  string `json:"name" doc:"What the judge is called."`
	Key   string `json:"key" doc:"The key, good for this session and judge alone."`
	Path  string `json:"path" doc:"The address that the judge opens, below that of the service."`
}

// shown is a panel for its leader.
func shown(p record.Panel, err error) (Session, error) {
	if err != nil {
		return Session{}, err
	}
	out := Session{Panel: p, State: "open", Warnings: glassDoubts(p.Glasses), Judges: make([]SessionJudge, len(p.Judges))}
	if p.Closing != nil {
		out.State, out.Answers = "closed", append([]record.PanelAnswer{}, p.Answers...)
	}
	for i, j := range p.Judges {
		out.Judges[i].PanelJudge = j
		if a, ok := p.Standing(j.ID); ok {
			at := a.RecordedAt
			out.Judges[i].HandedInAt, out.Judges[i].AnswerID, out.Judges[i].Source = &at, a.ID, a.Source
			out.HandedIn++
		}
	}
	orders := ordersOf(p)
	out.Portions = portionsOf(p.Glasses, servedOf(orders, len(p.Glasses)))
	balance, err := sensory.ServingOf(orders, len(p.Glasses), p.PerJudge)
	if err != nil {
		return out, err
	}
	out.Balance = ServingBalance{
		Positions: CountSpread(balance.Positions), CarryOver: CountSpread(balance.Carried),
		Judges: CountSpread(balance.Served), Together: CountSpread(balance.Met), FullFor: append([]int{}, balance.FullFor...),
	}
	return out, nil
}
