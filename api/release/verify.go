package release

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strconv"
	"sync"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// Recomputed is what computing stored verdicts anew came to.
type Recomputed struct {
	Verdicts int         `json:"verdicts" doc:"How many were computed anew."`
	Same     int         `json:"same" doc:"How many have the same figures: every field, numbers within a relative 1e-9 or 1e-12, which processors may differ by in the last bits; warnings by their codes, as their words may be put better."`
	Differ   []Differing `json:"differ" doc:"Those that do not, the first 100."`
	Differed int         `json:"differed" doc:"How many do not."`
	Program  string      `json:"program" doc:"Version of the program that computed them."`
	Next     string      `json:"next,omitempty" doc:"Give this as after for those that follow; absent at the end."`
}

// Differing is a verdict that is not found again.
type Differing struct {
	VerdictID   string   `json:"verdict_id" doc:"Identifier of the verdict."`
	SampleID    string   `json:"sample_id" doc:"Identifier of the sample."`
	LotID       string   `json:"lot_id" doc:"Identifier of the lot."`
	Program     string   `json:"program" doc:"Version of the program that gave it."`
	Problem     string   `json:"problem,omitempty" doc:"Why it cannot be computed any more."`
	Differences []Change `json:"differences" doc:"What differs, the first 20 places."`
}

// Change is a place at which two answers differ.
type Change struct {
	Location   string `json:"location" doc:"JSON Pointer into the verdict."`
	Stored     any    `json:"stored" doc:"What the verdict has."`
	Recomputed any    `json:"recomputed" doc:"What was computed anew."`
}

// VerifyBody asks for stored verdicts to be computed anew.
type VerifyBody struct {
	Lot   string `json:"lot,omitempty" maxLength:"100" doc:"Identifier of a lot; all lots where left out."`
	After string `json:"after,omitempty" maxLength:"100" doc:"What the answer before gave as next."`
	Limit int    `json:"limit,omitempty" minimum:"1" maximum:"100000" default:"10000" doc:"The most verdicts to compute."`
}

// Check implements calc.Request.
func (VerifyBody) Check(*calc.Faults) {}

const (
	mostDiffering  = 100
	mostChanges    = 20
	verdictsAtOnce = 1000
	usualLimit     = 10000
)

// Verify computes stored verdicts anew from what is stored with them and says
// which are not found again. It holds a thousand at a time and tells, after each,
// how many are done; told may be nil. A Limit of 0 is that of a request that says
// none, below 0 none at all.
func (r *Release) Verify(ctx context.Context, ask VerifyBody, told func(done int)) (Recomputed, error) {
	out := Recomputed{Differ: []Differing{}, Program: r.version}
	if ask.Limit == 0 {
		ask.Limit = usualLimit
	}
	for after := ask.After; ; {
		n := verdictsAtOnce
		if ask.Limit > 0 {
			n = min(n, ask.Limit-out.Verdicts)
		}
		page, err := r.page(ctx, ask.Lot, record.Page{After: after, Limit: n + 1})
		if err != nil {
			return out, err
		}
		more := len(page) > n
		page = page[:min(len(page), n)]
		if err := r.recompute(ctx, page, &out); err != nil {
			return out, err
		}
		if told != nil {
			told(out.Verdicts)
		}
		if !more {
			return out, nil
		}
		after = page[len(page)-1].VerdictID
		if ask.Limit > 0 && out.Verdicts >= ask.Limit {
			out.Next = after
			return out, nil
		}
	}
}

func (r *Release) page(ctx context.Context, lot string, p record.Page) ([]record.Verdict, error) {
	if lot != "" {
		return r.store.VerdictsOf(ctx, lot, p)
	}
	return r.store.Verdicts(ctx, p)
}

// recompute computes a page of verdicts on all processors.
func (r *Release) recompute(ctx context.Context, page []record.Verdict, out *Recomputed) error {
	if len(page) == 0 {
		return nil
	}
	ids := make([]string, len(page))
	for i, v := range page {
		ids[i] = v.SampleID
	}
	samples, err := r.store.SampleBodies(ctx, ids)
	if err != nil {
		return err
	}
	found, errs := make([]*Differing, len(page)), make([]error, len(page))
	var working sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		working.Go(func() {
			for i := w; i < len(page); i += workers {
				found[i], errs[i] = r.differing(ctx, page[i], samples[page[i].SampleID])
			}
		})
	}
	working.Wait()
	if err := errors.Join(errs...); err != nil {
		return err
	}
	for _, d := range found {
		out.Verdicts++
		if d == nil {
			out.Same++
			continue
		}
		out.Differed++
		if len(out.Differ) < mostDiffering {
			out.Differ = append(out.Differ, *d)
		}
	}
	return nil
}

// differing computes a verdict anew; nil where it is found again.
func (r *Release) differing(ctx context.Context, v record.Verdict, sample record.SampleBody) (*Differing, error) {
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("release: %w", err)
	}
	out := &Differing{VerdictID: v.VerdictID, SampleID: v.SampleID, LotID: v.LotID, Program: v.Program, Differences: []Change{}}
	spec, err := r.ready(ctx, v.Spec, v.SpecVersion)
	if err != nil {
		return nil, err
	}
	// The quick way finds nearly all again; what it does not is computed as it was.
	for _, check := range []func(calc.Wine, bool) (calc.CheckResponse, error){spec.QuickCheck, spec.Check} {
		out.Problem, out.Differences = "", []Change{}
		answer, err := check(sample.Wine(""), sample.SameSession)
		if problem := calc.AsProblem(err); problem != nil {
			out.Problem = problem.Detail
			continue
		}
		if err != nil {
			return nil, err
		}
		if err := out.hold(v, answer, v.Program == r.version); err != nil {
			return nil, err
		}
		if len(out.Differences) == 0 {
			return nil, nil //nolint:nilnil // nothing differs but last bits
		}
	}
	return out, nil
}

// hold notes what differs between a verdict and what was computed anew.
func (d *Differing) hold(v record.Verdict, answer calc.CheckResponse, sameProgram bool) error {
	stored := v.Computed()
	if reflect.DeepEqual(stored, answer) {
		return nil
	}
	was, err := tree(stored)
	if err != nil {
		return err
	}
	is, err := tree(answer)
	if err != nil {
		return err
	}
	d.compare("", was, is, sameProgram)
	return nil
}

func tree(v any) (out any, err error) {
	text, err := jsonText(v)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	return out, err
}

// lastBits is the relative difference that counts as none, and nothing the
// absolute one: what rounding leaves of a figure that is 0 but for it.
const lastBits, nothing = 1e-9, 1e-12

// compare notes where two answers differ. What another version of the program
// did not know yet (absent, null) is no difference.
func (d *Differing) compare(place string, was, is any, sameProgram bool) {
	if was == nil && !sameProgram || len(d.Differences) >= mostChanges {
		return
	}
	note := func() { d.Differences = append(d.Differences, Change{Location: place, Stored: was, Recomputed: is}) }
	switch was := was.(type) {
	case map[string]any:
		other, ok := is.(map[string]any)
		if !ok {
			note()
			return
		}
		names := map[string]bool{}
		for name := range was {
			names[name] = true
		}
		for name := range other {
			names[name] = true
		}
		for _, name := range sorted(names) {
			if name == "message" && was["code"] != nil { // the words of a warning, which has a code
				continue
			}
			d.compare(place+"/"+name, was[name], other[name], sameProgram)
		}
	case []any:
		other, ok := is.([]any)
		if !ok || len(other) != len(was) {
			note()
			return
		}
		for i := range was {
			d.compare(place+"/"+strconv.Itoa(i), was[i], other[i], sameProgram)
		}
	case float64:
		other, ok := is.(float64)
		if !ok || math.Abs(was-other) > math.Max(nothing, lastBits*math.Max(math.Abs(was), math.Abs(other))) {
			note()
		}
	default:
		if was != is {
			note()
		}
	}
}

func sorted(set map[string]bool) []string {
	out := make([]string, 0, len(set))
	for name := range set {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// ready is one version of a specification, ready to judge by.
func (r *Release) ready(ctx context.Context, id string, version int) (calc.Checker, error) {
	if c, ok := r.checkers.Get(fmt.Sprintf("%s %d", id, version)); ok {
		return c, nil
	}
	spec, err := r.store.SpecVersion(ctx, id, version)
	if err != nil {
		return calc.Checker{}, err
	}
	return r.checker(spec)
}
