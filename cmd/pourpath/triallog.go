package main

import (
	"encoding/json"
	"math"
	"os"
	"strconv"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

// logCommand adds one kind of entry to a trial's log. Its flags are the fields of
// the body that the interface takes for it, so that the same things are refused in
// the same words, at the same places.
type logCommand struct {
	use, short, example string
	flags               []bodyFlag
	decode              func([]byte) (record.LogEntry, error)
}

// bodyFlag is a flag and its place in a body.
type bodyFlag struct {
	name, help string
	place      []string
	shape      flagShape
}

type flagShape int

const (
	number flagShape = iota
	words
	truth
)

// aNumber and others are flags whose place is their name, or the one that is given.
func aNumber(name, help string, place ...string) bodyFlag { return flagOf(name, help, number, place) }
func aText(name, help string, place ...string) bodyFlag   { return flagOf(name, help, words, place) }

func flagOf(name, help string, shape flagShape, place []string) bodyFlag {
	if place == nil {
		field := []byte(name)
		for i, c := range field {
			if c == '-' {
				field[i] = '_'
			}
		}
		place = []string{string(field)}
	}
	return bodyFlag{name, help, place, shape}
}

// logCommands lists them in the order in which a bench uses them.
func logCommands() []logCommand {
	glass := aText("glass", "`LABEL` of the glass")
	said := []bodyFlag{
		aText("tool", "`NAME` of the tool it was measured with"), aText("who", "`NAME` of who did it"), aText("at", "`TIME`, where that is not now (RFC 3339, or a date)"),
	}
	key := aText("key", "`KEY` of the sender's own: the same key counts once")
	reading := []bodyFlag{
		aNumber("a420", "absorbance at 420 nm, as read", "readings", "a420"), aNumber("a520", "absorbance at 520 nm", "readings", "a520"), aNumber("a620", "absorbance at 620 nm", "readings", "a620"),
		aNumber("path-mm", "optical path of the cell, `MM` (10)", "readings", "path_mm"), aNumber("dilution", "total volume divided by wine volume (1)", "readings", "dilution"),
		aNumber("temperature-c", "temperature of the sample in `°C`"), aText("instrument", "`NAME` of the instrument"), aText("analyst", "`NAME` of who read it"),
	}
	join := func(lists ...[]bodyFlag) (out []bodyFlag) {
		for _, l := range lists {
			out = append(out, l...)
		}
		return append(out, key)
	}
	return []logCommand{
		{"pour", "Log a pour of the addition into a glass", "--glass B --volume-ml 2 --stated-total-ml 10",
			join([]bodyFlag{glass, aNumber("volume-ml", "addition that was poured, `ML`"), aNumber("stated-total-ml", "what somebody takes for the sum of all pours into the glass, `ML`"), aNumber("fills", "in how many fills of the tool")}, said),
			entryOf[record.PourBody]},
		{"withdraw", "Log what was taken out of a glass", "--glass B --volume-ml 15 --why tasting",
			join([]bodyFlag{glass, aNumber("volume-ml", "blend that was taken out, `ML`"), aText("why", "tasting, reading or other")}, said), entryOf[record.WithdrawalBody]},
		{"read", "Log a reading of a glass", "--glass B --a420 0.196 --a520 0.216 --a620 0.043 --minutes-since-blending 20",
			join([]bodyFlag{glass}, reading, []bodyFlag{aNumber("minutes-since-blending", "minutes from the last pour to the reading"), aNumber("stated-dose-ml-per-100ml", "what somebody takes for the glass's dose")}), entryOf[record.MeasurementBody]},
		{"undo", "Take an entry back, by a counter-entry", "--entry 3 --why 'it went into glass C'",
			join([]bodyFlag{aNumber("entry", "`NUMBER` of the entry"), aText("why", "why it is taken back"), aText("by", "`NAME` of who takes it back")}), entryOf[record.UndoBody]},
		{"note", "Log a note or a score of a glass", "--glass B --note 'bright, a little short' --score 71",
			join([]bodyFlag{glass, aText("note", "what was noted"), aNumber("score", "a score, 0 to 100"), aText("scale", "what the score is of"), aText("who", "`NAME` of who noted it")}), entryOf[record.NoteBody]},
		{"choose", "Choose a dose, by its glass or as a number", "--glass B --reasons 'closest to the target, and liked best'",
			join([]bodyFlag{glass, aNumber("dose-ml-per-100ml", "instead of a glass: the dose, mL per 100 mL of base"), aText("reasons", "why this one"), aText("who", "`NAME` of who chose")}), entryOf[record.ChoiceBody]},
		{"check", "Log the final check of the chosen dose", "--volume-ml 250 --a420 0.196 --a520 0.216 --a620 0.043",
			join([]bodyFlag{aNumber("volume-ml", "blend that was poured fresh, `ML`: 250 or more")}, reading, []bodyFlag{
				{"clear", "true or false: whether it stayed clear overnight in the cold", []string{"looked_again", "clear"}, truth},
				aText("look-note", "what was seen then", "looked_again", "note"), aText("look-at", "`TIME` of that look, where that is not now", "looked_again", "at"), aText("tool", "`NAME` of the tool"), aText("who", "`NAME` of who poured it"),
			}), entryOf[record.FinalCheckBody]},
	}
}

func entryOf[B interface {
	calc.Request
	Entry() record.LogEntry
}](data []byte) (record.LogEntry, error) {
	body, err := calc.DecodeWhole[B](data)
	if err != nil {
		return record.LogEntry{}, err
	}
	return body.Entry(), nil
}

func (l logCommand) command(s *session) *cobra.Command {
	typed := make([]string, len(l.flags))
	c := s.ofTrial(l.use, l.short, l.short+". With -f the whole entry is read as JSON, as the service takes it; a scan or\nL*a*b* goes that way.", func(c *cobra.Command, b *bench.Bench, id string) error {
		data, err := l.body(s, c, typed)
		if err != nil {
			return err
		}
		entry, err := l.decode(data)
		if err != nil {
			return err
		}
		added, err := b.Add(c.Context(), id, entry)
		return s.answered(err, added, func(p *page) { p.logged(added) })
	})
	c.Example = "  pourpath trial " + l.use + " 'First ladder' " + l.example
	c.Flags().StringVarP(&s.file, "file", "f", "", "read the entry from `FILE`; - is standard input")
	l.add(c, typed)
	return c
}

// add adds the flags to a command; what is typed already is what they have where
// they are left out.
func (l logCommand) add(c *cobra.Command, typed []string) {
	for i, f := range l.flags {
		c.Flags().StringVar(&typed[i], f.name, typed[i], f.help)
	}
}

// body is the entry as JSON: that of -f, or what the flags make.
func (l logCommand) body(s *session, c *cobra.Command, typed []string) ([]byte, error) {
	if s.file != "" {
		return readFile(s, s.file)
	}
	root := map[string]any{}
	for i, f := range l.flags {
		if !c.Flags().Changed(f.name) {
			continue
		}
		at := root
		for _, name := range f.place[:len(f.place)-1] {
			next, ok := at[name].(map[string]any)
			if !ok {
				next = map[string]any{}
				at[name] = next
			}
			at = next
		}
		at[f.place[len(f.place)-1]] = f.value(typed[i])
	}
	return json.Marshal(root)
}

// value is what was typed, as JSON has it; what is no number stays text, so that
// the check of the body names it.
func (f bodyFlag) value(text string) any {
	switch f.shape {
	case number:
		if x, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(x) && !math.IsInf(x, 0) {
			return json.RawMessage(strconv.FormatFloat(x, 'g', -1, 64))
		}
	case truth:
		if b, err := strconv.ParseBool(text); err == nil {
			return b
		}
	case words:
	}
	return text
}

// readFile reads a request from a file; - is standard input.
func readFile(s *session, name string) ([]byte, error) {
	if name == "-" {
		return readAll(s.in, "standard input")
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return readAll(file, name)
}
