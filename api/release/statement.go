package release

import (
	"context"
	"errors"
	"strings"

	"pourpath/api/record"
)

// Issue adds a statement about a lot to the register. The error is a
// *calc.Problem where it is not clear which verdict is to be stated.
func (r *Release) Issue(ctx context.Context, lotID string, body record.StatementBody) (record.Statement, error) {
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return record.Statement{}, err
	}
	verdict, err := r.stated(ctx, lotID, body.Verdict)
	if err != nil {
		return record.Statement{}, err
	}
	content, err := r.content(ctx, lot, verdict)
	if err != nil {
		return record.Statement{}, err
	}
	content.IssuedBy, content.Note = body.IssuedBy, body.Note
	return r.store.AddStatement(ctx, lotID, verdict.VerdictID, func(no int, at record.Instant) ([]byte, error) {
		content.No, content.IssuedAt = no, at
		return jsonText(content)
	})
}

// stated is the verdict that a statement is about.
func (r *Release) stated(ctx context.Context, lotID, id string) (record.Verdict, error) {
	if id != "" {
		verdict, err := r.store.Verdict(ctx, id)
		if errors.Is(err, record.ErrNotFound) || err == nil && verdict.LotID != lotID {
			return verdict, refuse("/verdict", id, "this lot has no such verdict")
		}
		return verdict, err
	}
	all, err := r.store.VerdictsOf(ctx, lotID, record.Page{Limit: 20, Newest: true})
	switch {
	case err != nil:
		return record.Verdict{}, err
	case len(all) == 0:
		return record.Verdict{}, refuse("/verdict", nil, "no sample of this lot was judged yet: there is nothing to state")
	case len(all) > 1:
		var ids []string
		for _, v := range all {
			ids = append(ids, v.VerdictID+" ("+v.Verdict+", "+v.DecidedAt.String()+")")
		}
		return record.Verdict{}, refuse("/verdict", nil, "this lot has several verdicts, which one is to be stated? The newest are: %s", strings.Join(ids, ", "))
	}
	return all[0], nil
}

// content is what a statement of a verdict says, but for its number, its time,
// and who issues it.
func (r *Release) content(ctx context.Context, lot record.Lot, verdict record.Verdict) (record.StatementContent, error) {
	out := record.StatementContent{Lot: lot, Verdict: verdict, Limits: record.WhatItDoesNotSay, Program: r.version}
	var err error
	if out.Sample, err = r.store.Sample(ctx, verdict.SampleID); err != nil {
		return out, err
	}
	if out.Spec, err = r.store.SpecVersion(ctx, verdict.Spec, verdict.SpecVersion); err != nil {
		return out, err
	}
	if out.Decision, err = r.store.DecisionOf(ctx, lot.ID); err != nil {
		return out, err
	}
	out.Checks, err = r.store.ChecksAt(ctx, out.Sample.Instrument, out.Sample.At())
	return out, err
}

// Statement returns the newest statement about a lot; where none was issued, a
// draft of the newest verdict, which is not in the register. It returns
// record.ErrNotJudged where there is neither.
func (r *Release) Statement(ctx context.Context, lotID string) (record.Statement, error) {
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return record.Statement{}, err
	}
	newest, err := r.store.StatementOf(ctx, lotID)
	if !errors.Is(err, record.ErrNotFound) {
		return newest, err
	}
	verdicts, err := r.store.VerdictsOf(ctx, lotID, record.Page{Limit: 1, Newest: true})
	switch {
	case err != nil:
		return record.Statement{}, err
	case len(verdicts) == 0:
		return record.Statement{}, record.ErrNotJudged
	}
	content, err := r.content(ctx, lot, verdicts[0])
	if err != nil {
		return record.Statement{}, err
	}
	content.IssuedAt = r.store.Now()
	text, err := jsonText(content)
	return record.Statement{Draft: true, LotID: lotID, VerdictID: verdicts[0].VerdictID, IssuedAt: content.IssuedAt, Content: text}, err
}
