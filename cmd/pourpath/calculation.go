package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

// calculation describes a command that answers one request.
type calculation[Req calc.Request, Res any] struct {
	use, short, long string
	// example is a whole request that works.
	example string
	answer  func(Req) (Res, error)
	// show prints an answer for people.
	show func(*page, Req, Res)
	// typed, where set, returns the request that flags hold, or nil when none
	// of them was given.
	typed func(*cobra.Command) ([]byte, error)
	// extra, where set, is done with the request before it is answered.
	extra func(Req) error
	// verdict, where set, turns an answer into an exit status.
	verdict func(Res) error
}

// command makes the command. The commands have this in common: where a request
// is read, how it is checked, and how the answer is printed.
func (k calculation[Req, Res]) command(s *session) *cobra.Command {
	c := &cobra.Command{
		Use: k.use, Short: k.short, Long: k.long, Args: noArguments,
		Example: "  pourpath " + k.use + " -f request.json\n  pourpath " + k.use + " --json < request.json",
		RunE:    func(c *cobra.Command, _ []string) error { return k.run(s, c) },
	}
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the request from `FILE`; - is standard input")
	c.Flags().BoolVar(&s.asJSON, "json", false, "print the answer, or the problem, as JSON")
	s.records.add(c)
	return c
}

func (k calculation[Req, Res]) run(s *session, c *cobra.Command) error {
	data, err := s.request(c, asking{k.use, k.example, k.typed})
	if err != nil || data == nil {
		return err
	}
	cellar := &lateCellar{flags: s.records}
	request, answer, err := calc.Answer(c.Context(), data, cellar, func(r Req) (answer Res, err error) {
		if k.extra != nil {
			if err := k.extra(r); err != nil {
				return answer, err
			}
		}
		return k.answer(r)
	})
	if err := errors.Join(err, cellar.close()); err != nil {
		return err
	}
	if s.asJSON {
		err = writeJSON(s.out, answer)
	} else {
		p := s.page()
		k.show(p, request, answer)
		err = p.err
	}
	if err == nil && k.verdict != nil {
		err = k.verdict(answer)
	}
	return err
}

func writeJSON(w io.Writer, v any) error {
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	if err == nil {
		_, err = io.WriteString(w, seenJSON(text.String()))
	}
	if err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// printProblem writes why there is no answer to standard error.
func (s *session) printProblem(command string, p *calc.Problem) {
	if s.asJSON {
		if err := writeJSON(s.err, p); err != nil {
			s.complain("%s: %v", command, err)
		}
		return
	}
	if len(p.Errors) == 0 {
		s.complain("%s: %s", command, p.Detail)
		return
	}
	s.complain("%s: %s:", command, strings.ToLower(p.Title[:1])+p.Title[1:])
	for _, f := range p.Errors {
		line := "  "
		if f.Location != "" {
			line += f.Location + ": "
		}
		line += f.Message
		if value, err := json.Marshal(f.Value); err == nil && f.Value != nil {
			line += fmt.Sprintf(" (given: %s)", value)
		}
		s.complain("%s", line)
	}
}
