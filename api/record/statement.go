package record

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strings"

	"pourpath/api/calc"
)

// StatementBody asks for a statement of conformity.
type StatementBody struct {
	Verdict  string `json:"verdict,omitempty" maxLength:"100" doc:"Identifier of the verdict that is stated; it may be left out where the lot has one alone."`
	IssuedBy string `json:"issued_by" minLength:"1" maxLength:"200" doc:"Who issues it."`
	Note     string `json:"note,omitempty" maxLength:"2000" doc:"What is to stand on it besides."`
}

// Check implements calc.Request.
func (b StatementBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.IssuedBy) == "" {
		f.Addf("/issued_by", b.IssuedBy, "say who issues the statement")
	}
}

// StatementContent is all that a statement of conformity says.
type StatementContent struct {
	No       int                  `json:"no" doc:"Running number in the register; 0 for a draft."`
	Lot      Lot                  `json:"lot" doc:"The lot."`
	Sample   Sample               `json:"sample" doc:"The sample: what was read, how, with which instrument, and when. Its verdict is the first one; verdict below is the one that is stated."`
	Verdict  Verdict              `json:"verdict" doc:"The verdict with its results, their uncertainty, and the colour with its conditions."`
	Spec     Spec                 `json:"spec" doc:"The specification in the version that the verdict is by, with its decision rule."`
	Decision *Decision            `json:"decision,omitempty" doc:"What was decided about the lot by then; absent where nothing was."`
	Checks   []InstrumentCheck    `json:"instrument_checks,omitempty" doc:"The checks of the instrument that held when the sample was read."`
	Limits   StatementLimitations `json:"limitations" doc:"What it does not say."`
	IssuedBy string               `json:"issued_by,omitempty" doc:"Who issued it."`
	IssuedAt Instant              `json:"issued_at" doc:"When it was issued."`
	Note     string               `json:"note,omitempty" doc:"What else stands on it."`
	Program  string               `json:"program" doc:"Version of the program that issued it."`
}

// StatementLimitations is a sentence that stands on every statement.
type StatementLimitations string

// WhatItDoesNotSay is that sentence.
const WhatItDoesNotSay StatementLimitations = "This states the colour of the sample against the specification named here, nothing else. It says nothing of sulphur dioxide, alcohol, allergens, or whether the blend and its label are lawful: local codes and licensed practice decide."

// Statement is a statement in the register, which only grows.
type Statement struct {
	No        int             `json:"no" doc:"Running number in the register, from 1 without a gap; 0 for a draft, which is not in it."`
	Draft     bool            `json:"draft" doc:"Whether this is a draft: made for this answer alone and not issued."`
	LotID     string          `json:"lot_id" doc:"Identifier of the lot."`
	VerdictID string          `json:"verdict_id" doc:"Identifier of the verdict that is stated."`
	IssuedAt  Instant         `json:"issued_at" doc:"When it was issued; of a draft, when it was made."`
	Previous  string          `json:"previous_sha256" doc:"SHA-256 of the statement before it; empty for the first and for a draft."`
	SHA256    string          `json:"sha256" doc:"SHA-256 in hexadecimal over previous_sha256, a line feed (0A), and content byte by byte as it stands here; empty for a draft."`
	Content   json.RawMessage `json:"content" doc:"All that it says."`
}

// Chained is the checksum of a statement: over that of the one before it, a line
// feed, and the content's bytes. Who knows the newest one knows that none before
// it was changed or taken out.
func Chained(previous string, content []byte) string {
	h := sha256.New()
	h.Write([]byte(previous + "\n"))
	h.Write(content)
	return hex.EncodeToString(h.Sum(nil))
}
