package record

import (
	"strings"

	"pourpath/api/calc"
)

// DecisionBody is what was decided about a lot. A verdict is a finding; what is
// done about it is decided by a person.
type DecisionBody struct {
	Decision string   `json:"decision" enum:"released,held,rejected" doc:"What was decided."`
	Verdicts []string `json:"verdicts,omitempty" maxItems:"1000" doc:"Identifiers of the verdicts that it rests on; needed for a release."`
	By       string   `json:"by" minLength:"1" maxLength:"200" doc:"Who decided."`
	At       *Instant `json:"at,omitempty" doc:"When, where that is not when it is recorded (RFC 3339, or a date)."`
	Reason   string   `json:"reason,omitempty" maxLength:"2000" doc:"Why; needed where a lot is held or rejected, or released although the newest verdict on one of its samples is no pass."`
}

// Check implements calc.Request.
func (b DecisionBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.By) == "" {
		f.Addf("/by", b.By, "say who decided")
	}
	checkInstant("/at", b.At, f)
	seen := map[string]int{}
	for i, id := range b.Verdicts {
		if first, twice := seen[id]; twice {
			f.Addf(pointerTo("/verdicts", i), id, "this verdict stands here twice, first as number %d", first+1)
			continue
		}
		seen[id] = i
	}
	if b.Decision == "released" && len(b.Verdicts) == 0 {
		f.Addf("/verdicts", nil, "a release rests on verdicts: name those that it goes by")
	}
	if b.Decision != "released" && b.Decision != "" && strings.TrimSpace(b.Reason) == "" {
		f.Addf("/reason", nil, "say why the lot is %s", b.Decision)
	}
}

// Decision is the record of a decision. A later one takes its place and leaves it
// as it is.
type Decision struct {
	ID    string `json:"id" doc:"Identifier."`
	LotID string `json:"lot_id" doc:"Identifier of the lot."`
	DecisionBody
	RecordedAt Instant `json:"recorded_at" doc:"When the record was made."`
}
