package record

import (
	"strings"

	"pourpath/api/calc"
)

// ImportUndoBody says why an import is undone.
type ImportUndoBody struct {
	Reason string `json:"reason" maxLength:"1000" doc:"Why, in words: why the readings of the file no longer count."`
}

// Check implements calc.Request.
func (b ImportUndoBody) Check(f *calc.Faults) {
	switch n := len([]rune(b.Reason)); {
	case strings.TrimSpace(b.Reason) == "":
		f.Addf("/reason", b.Reason, "say why the import is undone")
	case n > 1000:
		f.Addf("/reason", nil, "the reason has %d characters; at most 1000 are kept: shorten it", n)
	}
}

// ImportUndone tells that an import was undone. Nothing of it is deleted.
type ImportUndone struct {
	Reason   string  `json:"reason" doc:"Why."`
	UndoneAt Instant `json:"undone_at" doc:"When."`
	Readings int     `json:"readings" doc:"Readings that were archived by it; others of the import had been before."`
	Wines    int     `json:"wines" doc:"Wines that were archived by it: those that the import added and that nothing else uses."`
}

// Resting is what rests on the readings of an import, and keeps what it has of
// them when the import is undone.
type Resting struct {
	Kind    string `json:"kind" enum:"correction,trial,lot,statement" doc:"What it is."`
	ID      string `json:"id" doc:"Its identifier; the number, of a statement."`
	Name    string `json:"name,omitempty" doc:"What it is called; of a correction, its wine."`
	Message string `json:"message" doc:"What becomes of it when the import is undone."`
}
