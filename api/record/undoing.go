package record

import (
	"errors"
	"fmt"
	"math"

	"pourpath/api/calc"
)

// undone finds which entries of a log are taken back, and by which entry. An undo
// counts unless a later one takes it back.
func undone(log []LogEntry) map[int]int {
	by := map[int]int{}
	for i := len(log) - 1; i >= 0; i-- {
		if e := log[i]; e.Kind == Undo && by[e.No] == 0 {
			by[e.Undoes] = e.No
		}
	}
	return by
}

// acceptUndo returns nil where an entry can be taken back: it stands, all that was
// done after it was possible without it, and final checks stay checks of the dose
// that was poured for them.
func (t Trial) acceptUndo(e LogEntry, undone map[int]int) error {
	refuse := func(format string, args ...any) error {
		return calc.Refuse(calc.Fault{Location: "/entry", Value: e.Undoes, Message: fmt.Sprintf(format, args...)})
	}
	if e.Undoes < 1 || e.Undoes > len(t.Log) {
		return refuse("the log has %d entries: there is no entry %d to take back", len(t.Log), e.Undoes)
	}
	if by := undone[e.Undoes]; by != 0 {
		return refuse("entry %d is taken back already, by entry %d; to let it stand again, undo entry %d", e.Undoes, by, by)
	}
	after := t
	after.Log = append(append([]LogEntry{}, t.Log...), e)
	b, err := after.bench()
	if err != nil {
		return err
	}
	log, err := b.run()
	var no *impossible
	if errors.As(err, &no) {
		why := no.err.Error()
		if p := calc.AsProblem(no.err); p != nil && len(p.Errors) > 0 {
			why = p.Errors[0].Message
		}
		return refuse("with entry %d (%s) taken back, entry %d (%s) could not have been: %s. Take entry %d back first, if it was not so",
			e.Undoes, t.Log[e.Undoes-1].words(), no.entry.No, no.entry.words(), why, no.entry.No)
	} else if err != nil {
		return err
	}
	for _, check := range log {
		if check.Kind != Checking || check.UndoneBy != 0 {
			continue
		}
		poured, err := t.asRecorded(check.No)
		if err != nil {
			return err
		}
		if now := check.DoseMLPer100ML; math.Abs(now-poured.DoseMLPer100ML) > 1e-9*poured.DoseMLPer100ML {
			return refuse("with entry %d (%s) taken back, the final check (entry %d) would be of a dose of %.4g mL per 100 mL, and %.4g were poured for it. Take entry %d back first, if it was not so",
				e.Undoes, t.Log[e.Undoes-1].words(), check.No, now, poured.DoseMLPer100ML, check.No)
		}
	}
	return nil
}

// asRecorded is an entry with what it came to when it was recorded, whatever was
// taken back since.
func (t Trial) asRecorded(no int) (Logged, error) {
	t.Log = t.Log[:no]
	return t.Last()
}
