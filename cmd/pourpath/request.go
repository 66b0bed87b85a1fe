package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

// asking says how the request of a command is asked for.
type asking struct {
	// use is the command's words.
	use string
	// example is a whole request that works, as JSON.
	example string
	// typed, where set, returns the request that flags hold, or nil when none
	// of them was given.
	typed func(*cobra.Command) ([]byte, error)
}

// request returns the request's bytes, or nil after it printed an example to a
// person who gave none.
func (s *session) request(c *cobra.Command, a asking) ([]byte, error) {
	if a.typed != nil {
		if data, err := a.typed(c); data != nil || err != nil {
			return data, err
		}
	}
	switch {
	case s.file == "" && terminal(s.in):
		s.complain("No request was given. Here is an example; save it, change it, and give it with\n  pourpath %s -f FILE\n", a.use)
		_, err := fmt.Fprintln(s.out, a.example)
		return nil, err
	case s.file == "" || s.file == "-":
		return readAll(s.in, "standard input")
	}
	file, err := os.Open(s.file)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return readAll(file, s.file)
}

// readAll reads a request, and no more than shows that it is too long.
func readAll(r io.Reader, name string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, calc.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if data == nil {
		data = []byte{}
	}
	return data, nil
}

// form is a request that may be typed as flags. They are fields of the body that
// the interface takes, so that the same things are refused in the same words, at
// the same places.
type form struct {
	// use is the command's words.
	use string
	// of is what the command is about; zero for nothing.
	of subject
	// example are flags with their values that make a request that works.
	example []string
	flags   []bodyFlag
}

// subject is what a command is about: as its help calls it, and one by its name.
type subject struct{ what, named string }

var (
	aTrial = subject{"TRIAL", "First ladder"}
	aLot   = subject{"LOT", "L-2026-31"}
	aSpec  = subject{"SPEC", "House rosé"}
)

// bodyFlag is a flag and its place in a body.
type bodyFlag struct {
	name, help string
	place      []string
	shape      flagShape
	usual      string // what it is where it is not given; empty leaves it out
}

type flagShape int

const (
	number flagShape = iota
	words
	truth
	list    // words with commas between them
	numbers // numbers with commas between them
	objects // name=value with commas between them; the flag may be given again
)

// aNumber, aText and aTruth are flags whose place is their name, or the one that is
// given.
func aNumber(name, help string, place ...string) bodyFlag { return flagOf(name, help, number, place) }
func aText(name, help string, place ...string) bodyFlag   { return flagOf(name, help, words, place) }
func aTruth(name, help string, place ...string) bodyFlag  { return flagOf(name, help, truth, place) }

func aList(name, help string, place ...string) bodyFlag  { return flagOf(name, help, list, place) }
func aRange(name, help string, place ...string) bodyFlag { return flagOf(name, help, numbers, place) }

func flagOf(name, help string, shape flagShape, place []string) bodyFlag {
	if place == nil {
		place = []string{strings.ReplaceAll(name, "-", "_")}
	}
	return bodyFlag{name: name, help: help, place: place, shape: shape}
}

// put puts what was typed into a body.
func (f bodyFlag) put(body map[string]any, text string) {
	last := len(f.place) - 1
	for _, name := range f.place[:last] {
		next, ok := body[name].(map[string]any)
		if !ok {
			next = map[string]any{}
			body[name] = next
		}
		body = next
	}
	body[f.place[last]] = f.value(text)
}

// value is what was typed, as JSON has it; what is no number stays text, so that
// the check of the body names it.
func (f bodyFlag) value(text string) any {
	switch f.shape {
	case number:
		return numberIn(text)
	case truth:
		if b, err := strconv.ParseBool(text); err == nil {
			return b
		}
	case list:
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
	case numbers:
		members := []any{}
		for _, part := range strings.Split(text, ",") {
			members = append(members, numberIn(part))
		}
		return members
	case words, objects:
	}
	return text
}

// numberIn is a number with the digits that were typed, as JSON has it: how many
// there are behind the point says how sure a stated colour is.
func numberIn(text string) any {
	text = strings.TrimSpace(text)
	x, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || math.IsNaN(x) || math.IsInf(x, 0):
		return text
	case json.Valid([]byte(text)):
		return json.Number(text)
	}
	return x
}

// objectIn is what name=value with commas between them says.
func objectIn(text string) (map[string]any, error) {
	out := map[string]any{}
	for _, part := range strings.Split(text, ",") {
		name, value, ok := strings.Cut(part, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return nil, usage("%q is no name=value: want them with commas between, such as nm=546.1,certified=0.498,limit=0.005,reading=0.496", part)
		}
		out[name] = numberIn(value)
	}
	return out, nil
}

// add adds the flags to a command, with -f for all that they do not hold.
func (f form) add(s *session, c *cobra.Command) {
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the request from `FILE`, as JSON; - is standard input")
	for _, flag := range f.flags {
		if flag.shape == objects {
			c.Flags().StringArray(flag.name, nil, flag.help)
			continue
		}
		c.Flags().String(flag.name, flag.usual, flag.help)
	}
	line := "  pourpath " + f.use
	if f.of.named != "" {
		line += " " + quotedWord(f.of.named)
	}
	for _, word := range f.example {
		line += " " + quotedWord(word)
	}
	c.Example = line
}

// quotedWord is a word as a shell takes it.
func quotedWord(word string) string {
	if strings.ContainsAny(word, " '") {
		return "'" + word + "'"
	}
	return word
}

// request returns the request's bytes, or nil after it printed an example.
func (f form) request(s *session, c *cobra.Command) ([]byte, error) {
	example := map[string]any{}
	for i := 0; i+1 < len(f.example); i += 2 {
		for _, flag := range f.flags {
			if "--"+flag.name != f.example[i] {
				continue
			}
			if err := flag.putAll(example, []string{f.example[i+1]}); err != nil {
				return nil, err
			}
		}
	}
	text, err := json.MarshalIndent(example, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing an example: %w", err)
	}
	use := strings.TrimSpace(f.use + " " + f.of.what)
	return s.request(c, asking{use, string(text), func(c *cobra.Command) ([]byte, error) { return f.typed(s, c) }})
}

// typed is the request that the flags hold, or nil when it comes otherwise.
func (f form) typed(s *session, c *cobra.Command) ([]byte, error) {
	body := map[string]any{}
	for _, flag := range f.flags {
		given := c.Flags().Changed(flag.name)
		if given && s.file != "" {
			return nil, usage("the request is given twice: either -f, or --%s and the like", flag.name)
		}
		if !given && flag.usual == "" {
			continue
		}
		texts, err := flag.given(c)
		if err == nil {
			err = flag.putAll(body, texts)
		}
		if err != nil {
			return nil, err
		}
	}
	if s.file != "" || len(body) == 0 {
		return nil, nil
	}
	return json.Marshal(body)
}

// given is what was typed for the flag.
func (f bodyFlag) given(c *cobra.Command) ([]string, error) {
	if f.shape == objects {
		return c.Flags().GetStringArray(f.name)
	}
	text, err := c.Flags().GetString(f.name)
	return []string{text}, err
}

// putAll is put for a flag that may be given several times.
func (f bodyFlag) putAll(body map[string]any, texts []string) error {
	if f.shape != objects {
		for _, text := range texts {
			f.put(body, text)
		}
		return nil
	}
	members := make([]any, len(texts))
	for i, text := range texts {
		member, err := objectIn(text)
		if err != nil {
			return err
		}
		members[i] = member
	}
	body[f.place[len(f.place)-1]] = members
	return nil
}
