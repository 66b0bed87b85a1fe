package record

import (
	"fmt"
	"slices"
	"strings"

	"pourpath/api/calc"
)

// RunAdvice is what the newest samples of a bottling run say of going on.
type RunAdvice struct {
	Advice  string   `json:"advice" enum:"stop,go_on,none" doc:"stop or go on with the run; none where no sample of the run was judged. It advises: whoever runs the line decides."`
	Rule    string   `json:"rule" enum:"newest_fails,two_without_pass,two_of_three_beyond_warning,none" doc:"The rule that says stop."`
	Reason  string   `json:"reason" doc:"Why, in words."`
	Samples []string `json:"samples" doc:"Identifiers of the samples that it goes by, the newest first."`
}

// Run holds the newest samples of a run against the stop rule. Stop when the
// newest fails; when the two newest have no pass, as two open verdicts in a row
// are no chance; or when two of the newest three are beyond one warning limit on
// one side (Western Electric's second rule, Statistical Quality Control Handbook,
// 1956, from memory; here with the specification's warning limits). Samples are
// in any order; those of no stage of the run do not count.
func Run(samples []Sample) RunAdvice {
	var run []Sample
	for _, s := range samples {
		if s.Stage.InRun() {
			run = append(run, s)
		}
	}
	slices.SortStableFunc(run, func(a, b Sample) int {
		if c := b.At().Compare(a.At().Time); c != 0 {
			return c
		}
		return strings.Compare(b.ID, a.ID)
	})
	if len(run) == 0 {
		return RunAdvice{Advice: "none", Rule: "none", Reason: "No sample of the run was judged yet.", Samples: []string{}}
	}
	ids := func(n int) (out []string) {
		for _, s := range run[:n] {
			out = append(out, s.ID)
		}
		return out
	}
	newest := run[0]
	if newest.Verdict == "fail" {
		return RunAdvice{"stop", "newest_fails", fmt.Sprintf("The newest sample (%s) is outside the specification: %s.", newest.Stage, outside(newest)), ids(1)}
	}
	if len(run) > 1 && newest.Verdict != "pass" && run[1].Verdict != "pass" {
		return RunAdvice{"stop", "two_without_pass", "The two newest samples have no pass: stop until it is known whether the lot is within the specification.", ids(2)}
	}
	three := run[:min(3, len(run))]
	if what := beyondTwice(three); what != "" {
		return RunAdvice{"stop", "two_of_three_beyond_warning", fmt.Sprintf("Two of the newest %d samples are %s: look for the cause before a sample misses the specification.", len(three), what), ids(len(three))}
	}
	if newest.Verdict != "pass" {
		return RunAdvice{"go_on", "none", "The newest sample cannot be told from the limit: go on, and read another one now. A second one without a pass says stop.", ids(1)}
	}
	return RunAdvice{"go_on", "none", "The newest sample is within the specification.", ids(1)}
}

// outside names the parts that a sample misses at face value.
func outside(s Sample) string {
	var missed []string
	for _, r := range s.Results {
		if !r.Within && r.Value != nil {
			missed = append(missed, fmt.Sprintf("%s %.4g", r.Quantity, *r.Value))
		}
	}
	if missed == nil {
		return "the probability of conforming is too small"
	}
	return strings.Join(missed, ", ")
}

// beyondTwice names a side of a warning limit that two samples or more are
// beyond; "" where there is none.
func beyondTwice(samples []Sample) string {
	count := map[string]int{}
	for _, s := range samples {
		for _, r := range s.Results {
			side := beyondSide(r)
			if side == "" {
				continue
			}
			key := side + " the warning limit of " + r.Quantity
			if count[key]++; count[key] == 2 {
				return key
			}
		}
	}
	return ""
}

func beyondSide(r calc.CheckResult) string {
	switch {
	case !r.BeyondWarning || r.Value == nil:
		return ""
	case r.WarningLower != nil && *r.Value < *r.WarningLower:
		return "below"
	}
	return "above"
}
