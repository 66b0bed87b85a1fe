package panel

import (
	"pourpath/api/record"
	sensory "pourpath/colour/panel"
)

// PanelShown is a panel as its leader sees it. While it is open it does not have
// what judges answered: a session that is closed when the answers please proves
// nothing.
type PanelShown struct {
	record.Panel
	State    string               `json:"state" enum:"open,closed" doc:"Whether judges may hand in."`
	Judges   []PanelJudgeShown    `json:"judges" doc:"The judges in the order in which they were asked."`
	HandedIn int                  `json:"handed_in" doc:"How many of them have handed in."`
	Balance  PanelBalance         `json:"balance" doc:"How even the orders of serving are."`
	Answers  []record.PanelAnswer `json:"answers,omitempty" doc:"What was handed in, corrected answers too, in the order in which it was recorded; absent while the session is open."`
}

// PanelJudgeShown is a judge as the leader sees one.
type PanelJudgeShown struct {
	record.PanelJudge
	HandedInAt *record.Instant `json:"handed_in_at,omitempty" doc:"When the answer that stands was recorded; absent until then."`
	AnswerID   string          `json:"answer_id,omitempty" doc:"Identifier of the answer that stands, to correct it by."`
	Source     string          `json:"source,omitempty" enum:"link,sheet" doc:"Whether the judge handed it in by link, or the leader typed it."`
}

// PanelSpread is the least and the most of some counts.
type PanelSpread struct {
	Least int `json:"least" doc:"The least."`
	Most  int `json:"most" doc:"The most."`
}

// PanelBalance says how even the orders of serving are: a count whose least and
// most are the same is balanced.
type PanelBalance struct {
	Positions PanelSpread `json:"positions" doc:"How often a glass stands at a place in the order."`
	CarryOver PanelSpread `json:"carry_over" doc:"How often a glass comes right after another one."`
	Judges    PanelSpread `json:"judges" doc:"How many judges a glass is with."`
	Together  PanelSpread `json:"together" doc:"How many judges two glasses are with together."`
	FullFor   []int       `json:"full_for" doc:"The numbers of judges at which the design is complete, up to the first that is no less than there are; empty where none is known."`
}

// PanelOpened is a panel with the links of its new judges, which are told once.
type PanelOpened struct {
	PanelShown
	Links []PanelLink `json:"links" doc:"A link for each judge who was added. The keys are not stored and cannot be told again: a judge who loses one gets another."`
}

// PanelLink is a judge's link.
type PanelLink struct {
	Judge string `json:"judge" doc:"Identifier of the judge."`
	Name  string `json:"name" doc:"What the judge is called."`
	Key   string `json:"key" doc:"The key, good for this session and judge alone."`
	Path  string `json:"path" doc:"The address that the judge opens, below that of the service."`
}

// shown is a panel for its leader.
func shown(p record.Panel, err error) (PanelShown, error) {
	if err != nil {
		return PanelShown{}, err
	}
	out := PanelShown{Panel: p, State: "open", Judges: make([]PanelJudgeShown, len(p.Judges))}
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
	balance, err := sensory.ServingOf(ordersOf(p), len(p.Glasses), p.PerJudge)
	if err != nil {
		return out, err
	}
	out.Balance = PanelBalance{
		Positions: PanelSpread(balance.Positions), CarryOver: PanelSpread(balance.Carried),
		Judges: PanelSpread(balance.Served), Together: PanelSpread(balance.Met), FullFor: append([]int{}, balance.FullFor...),
	}
	return out, nil
}
