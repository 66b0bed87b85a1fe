package labfile

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
)

// refuse makes the problem of a file that cannot be read at all.
func refuse(format string, args ...any) *calc.Problem {
	return calc.Refuse(calc.Fault{Message: fmt.Sprintf(format, args...)})
}

// wrap gives a reader's error its context; a Problem stays what it is.
func wrap(doing string, err error) error {
	if err == nil || calc.AsProblem(err) != nil {
		return err
	}
	return fmt.Errorf("labfile: %s: %w", doing, err)
}

// warnings collects warnings, each code once.
type warnings struct {
	list []calc.Warning
	seen map[string]bool
}

func (w *warnings) addf(code, format string, args ...any) {
	if w.seen[code] {
		return
	}
	if w.seen == nil {
		w.seen = map[string]bool{}
	}
	w.seen[code] = true
	w.list = append(w.list, calc.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
}

// quoted puts a text of the file into a message, cut to what fits one.
func quoted(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}

// listed joins names for a message, cut to a number that fits one.
func listed(names []string) string {
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
