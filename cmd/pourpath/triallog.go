package main

import (
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/record"
)

// logCommand adds one kind of entry to a trial's log.
type logCommand struct {
	word, short string
	example     []string
	flags       []bodyFlag
	decode      func([]byte) (record.LogEntry, error)
}

// Flags that several kinds of entry have.
var (
	glassFlag = aText("glass", "`LABEL` of the glass")
	keyFlag   = aText("key", "`KEY` of your own, another for each entry: the same key counts once")
	saidFlags = []bodyFlag{
		aText("tool", "`NAME` of the tool it was measured with"), aText("who", "`NAME` of who did it"),
		aText("at", "`TIME` when it was done, where that is not now (RFC 3339, or a date)"),
	}
	readingOf = []bodyFlag{
		aNumber("a420", "absorbance at 420 nm, as read", "readings", "a420"), aNumber("a520", "absorbance at 520 nm, as read", "readings", "a520"),
		aNumber("a620", "absorbance at 620 nm, as read", "readings", "a620"),
		aNumber("path-mm", "optical path of the cell, `MM` (10)", "readings", "path_mm"), aNumber("dilution", "total volume divided by wine volume (1)", "readings", "dilution"),
		aNumber("minutes-since-blending", "`MINUTES` from the last pour to the reading"), aNumber("temperature-c", "temperature of the sample in `°C`"),
		aText("instrument", "`NAME` of the instrument"), aText("analyst", "`NAME` of who read it"), aText("taken-at", "`TIME` of the reading, where that is not now"),
	}
)

// logCommands lists them in the order in which a bench uses them.
func logCommands() []logCommand {
	flags := func(first ...bodyFlag) []bodyFlag { return append(first, keyFlag) }
	return []logCommand{
		{
			"pour", "Log a pour of the addition into a glass", []string{"--glass", "B", "--volume-ml", "2", "--stated-total-ml", "10"},
			flags(append([]bodyFlag{
				glassFlag, aNumber("volume-ml", "addition that was poured, `ML`"), aNumber("stated-total-ml", "what you take for the sum of all pours into the glass, `ML`"),
				aNumber("fills", "in how many fills of the tool"),
			}, saidFlags...)...), record.EntryOf[record.PourBody],
		},
		{
			"withdraw", "Log what was taken out of a glass", []string{"--glass", "B", "--volume-ml", "15", "--why", "tasting"},
			flags(append([]bodyFlag{
				glassFlag, aNumber("volume-ml", "blend that was taken out, `ML`"), aText("why", "tasting, reading or other"), aNumber("fills", "in how many fills of the tool"),
			}, saidFlags...)...), record.EntryOf[record.WithdrawalBody],
		},
		{
			"read", "Log a reading of a glass", []string{"--glass", "B", "--a420", "0.196", "--a520", "0.216", "--a620", "0.043", "--minutes-since-blending", "20"},
			flags(append([]bodyFlag{glassFlag, aNumber("stated-dose-ml-per-100ml", "what you take for the glass's dose, mL per 100 mL of base")}, readingOf...)...),
			record.EntryOf[record.MeasurementBody],
		},
		{
			"undo", "Take an entry back, by a further entry", []string{"--entry", "3", "--why", "it went into glass C"},
			flags(aNumber("entry", "`NUMBER` of the entry"), aText("why", "why it is taken back"), aText("by", "`NAME` of who takes it back")), record.EntryOf[record.UndoBody],
		},
		{
			"note", "Log a note or a score of a glass", []string{"--glass", "B", "--note", "bright, a little short", "--score", "71", "--scale", "liking, 0 to 100"},
			flags(glassFlag, aText("note", "what was noted"), aNumber("score", "a score, 0 to 100"), aText("scale", "what the score is of"), aText("who", "`NAME` of who noted it")),
			record.EntryOf[record.NoteBody],
		},
		{
			"choose", "Choose a dose, by its glass or as a number", []string{"--glass", "B", "--reasons", "closest to the target, and liked best"},
			flags(glassFlag, aNumber("dose-ml-per-100ml", "instead of a glass: the dose, mL per 100 mL of base"), aText("reasons", "why this one"), aText("who", "`NAME` of who chose")),
			record.EntryOf[record.ChoiceBody],
		},
		{
			"check", "Log the final check of the chosen dose", []string{"--volume-ml", "250", "--a420", "0.196", "--a520", "0.216", "--a620", "0.043"},
			flags(append([]bodyFlag{
				aNumber("volume-ml", "blend that was poured fresh, `ML`: 250 or more"), aTruth("clear", "`true` or false: whether it stayed clear after a night in the cold", "looked_again", "clear"),
				aText("look-note", "what was seen then", "looked_again", "note"),
				aText("look-at", "`TIME` of that look, where that is not now", "looked_again", "at"), aText("tool", "`NAME` of the tool it was measured with"), aText("who", "`NAME` of who poured it"),
			}, readingOf...)...), record.EntryOf[record.FinalCheckBody],
		},
	}
}

func (l logCommand) command(s *session) *cobra.Command {
	f := form{use: "trial " + l.word, of: aTrial, example: l.example, flags: l.flags}
	long := l.short + ". The entry is given as flags, or as JSON with -f or on standard input, as\nthe service takes it"
	if strings.HasPrefix(l.word, "read") || l.word == "check" {
		long += ": a scan or L*a*b* goes that way"
	}
	c := s.ofTrial(l.word, l.short, long+".", func(c *cobra.Command, b *bench.Bench, id string) error {
		data, err := f.request(s, c)
		if err != nil || data == nil {
			return err
		}
		entry, err := l.decode(data)
		if err != nil {
			return err
		}
		added, err := b.Add(c.Context(), id, entry)
		return s.answered(err, added, func(p *page) { p.logged(added) })
	})
	f.add(s, c)
	return c
}
