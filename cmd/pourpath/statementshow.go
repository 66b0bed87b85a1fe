package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// statementSaid finds the statement that a person means: by its number, or else
// the newest one about a lot.
func statementSaid(c *cobra.Command, r *release.Release, said string) (record.Statement, error) {
	if no, err := strconv.Atoi(said); err == nil {
		e, err := r.Registered(c.Context(), no)
		switch {
		case err == nil && e.Fault != "":
			return e.Statement, fmt.Errorf("statement %d: %w: %s", no, record.ErrDamaged, e.Fault)
		case !errors.Is(err, record.ErrNotFound):
			return e.Statement, err
		}
	}
	id, err := lotID(c.Context(), r, said)
	if err != nil {
		return record.Statement{}, noStatement(said, err)
	}
	st, err := r.Statement(c.Context(), id)
	if errors.Is(err, record.ErrNotJudged) {
		return st, usage("no sample of the lot %q was judged yet: there is nothing to state", said)
	}
	return st, err
}

// noStatement says of a number that it is neither in the register nor a lot.
func noStatement(said string, err error) error {
	if _, number := strconv.Atoi(said); number != nil {
		return err
	}
	return usage("there is no statement number %s, and no lot of that name; pourpath statement list has those there are", said)
}

// unchanged writes JSON in one line, so that the content of a statement is byte
// for byte what its checksum is over.
func unchanged(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// stated prints a statement.
func (s *session) stated(st record.Statement) error {
	if s.asJSON {
		return unchanged(s.out, st)
	}
	paper, err := release.Paper(st, nil)
	if err != nil {
		return err
	}
	finding, err := paper.Finding(nil)
	if err != nil {
		return err
	}
	var says record.StatementContent
	if err := json.Unmarshal(st.Content, &says); err != nil {
		return fmt.Errorf("content of statement %d: %w", st.No, err)
	}
	p := s.page()
	if st.Draft {
		p.linef("Draft: it was not issued and is not in the register")
	} else {
		p.linef("Statement %d", st.No)
	}
	p.linef("%s", finding)
	for _, l := range [][2]string{
		{"Lot", paper.Lot.Name + after(" · ", paper.Lot.Wine) + after(" · bottled ", paper.Lot.Bottled)}, {"Sample", paper.Lot.Sample}, {"Read", paper.Lot.Taken},
		{"Specification", paper.Spec.Name + ", version " + paper.Spec.Version + after(", approved by ", paper.Spec.ApprovedBy)},
		{"Method", paper.Method}, {"Instrument", paper.Instrument.Name + ", check: " + string(paper.Instrument.State)}, {"Decided", paper.Decision},
		{"Note", paper.Note}, {"Issued", paper.Issued + after(" by ", paper.IssuedBy)}, {"Program", paper.Version},
		{"SHA-256", st.SHA256}, {"Follows", st.Previous},
	} {
		if l[1] != "" {
			p.linef("  %-14s %s", l[0], l[1])
		}
	}
	showCheck(p, calc.CheckRequest{}, says.Verdict.CheckResponse)
	p.linef("%s", says.Limits)
	return p.err
}
