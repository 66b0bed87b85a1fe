package record

import (
	"slices"

	"pourpath/api/calc"
)

// Judgement is what a sample was found to be, with all that this was found by: the
// specification's version, the sample, and the program.
type Judgement struct {
	VerdictID   string  `json:"verdict_id" doc:"Identifier of the verdict."`
	Spec        string  `json:"spec" doc:"Identifier of the specification."`
	SpecVersion int     `json:"spec_version" doc:"Its version."`
	Program     string  `json:"program" doc:"Version of the program that judged."`
	DecidedAt   Instant `json:"decided_at" doc:"When it was judged."`
	calc.CheckResponse

	// Later is set where a verdict is shown, and never stored.
	Later []calc.Warning `json:"later_warnings,omitempty" doc:"What came out since of the instrument that the sample was read with: a check that failed after it. The verdict stays as it was."`

	// Noted are the last of the warnings: those that do not follow from
	// specification and sample but from what else was recorded when it was judged,
	// such as the instrument's checks.
	Noted []calc.Warning `json:"-"`
}

// Judged makes a judgement of a calculation's answer and what else is to be told.
func Judged(spec Spec, program string, answer calc.CheckResponse, noted []calc.Warning) Judgement {
	answer.Warnings = append(slices.Clone(answer.Warnings), noted...)
	return Judgement{Spec: spec.ID, SpecVersion: spec.Version, Program: program, CheckResponse: answer, Noted: noted}
}

// Computed is the calculation's answer alone: what judging again gives again.
func (j Judgement) Computed() calc.CheckResponse {
	out := j.CheckResponse
	out.Warnings = out.Warnings[:len(out.Warnings)-len(j.Noted)]
	return out
}

// Verdict is the record of a verdict. A sample may have several, by other
// versions of a specification or of the program; none is ever changed.
type Verdict struct {
	LotID    string `json:"lot_id" doc:"Identifier of the lot."`
	SampleID string `json:"sample_id" doc:"Identifier of the sample."`
	Judgement
}

// JudgeBody asks for samples that are stored to be judged again.
type JudgeBody struct {
	Spec        string   `json:"spec,omitempty" maxLength:"100" doc:"Identifier of the specification; the lot's own where left out."`
	SpecVersion int      `json:"spec_version,omitempty" minimum:"1" doc:"Its version; needed with the lot's own specification, else its newest where left out."`
	Samples     []string `json:"samples,omitempty" maxItems:"1000" doc:"Identifiers of the samples; all of the lot where left out."`
}

// Check implements calc.Request.
func (b JudgeBody) Check(f *calc.Faults) {
	if b.Spec == "" && b.SpecVersion == 0 {
		f.Addf("/spec_version", nil, "by which version are the samples to be judged? Give \"spec_version\", or another \"spec\"")
	}
	if b.Samples != nil && len(b.Samples) == 0 {
		f.Addf("/samples", nil, "the list is empty: name samples, or leave it out for all")
	}
}
