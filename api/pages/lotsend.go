package pages

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// sendLot takes a form of a lot's page.
func (s *site) sendLot(w http.ResponseWriter, r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	form := map[string]string{"samples": "sample", "verdicts": "judge", "decisions": "decide", "statements": "issue", "bottling": "bottle", "archive": "leave"}[r.PathValue("what")]
	take := map[string]func(context.Context, string, url.Values) (string, places, error){
		"sample": s.takeSample, "judge": s.takeJudge, "decide": s.takeDecision, "issue": s.takeStatement, "bottle": s.takeBottling, "leave": s.takeArchive,
	}[form]
	if take == nil {
		return document{}, errNothingHere
	}
	return s.takeForm(w, r, taking{
		take:  func(typed url.Values) (string, places, error) { return take(r.Context(), id, typed) },
		again: func(typed url.Values, faults []note) (document, error) { return s.lotAgain(r, form, typed, faults) },
	})
}

// takeArchive takes a lot out of lists and charts.
func (s *site) takeArchive(ctx context.Context, id string, _ url.Values) (string, places, error) {
	_, err := s.release.ArchiveLot(ctx, id)
	return "/lots/" + id, nil, err
}

// takeBottling records when a lot was bottled.
func (s *site) takeBottling(ctx context.Context, id string, typed url.Values) (string, places, error) {
	root, at := fieldsOf(bottleFields).body(s.words, s.words.timed(typed, "bottled_at"))
	body, err := decoded[record.BottlingBody](root)
	if err != nil {
		return "", at, err
	}
	seen, err := strconv.ParseInt(typed.Get("lot_version"), 10, 64)
	if err != nil {
		return "", at, staleError{[]note{{key: "note.lot_moved"}}}
	}
	_, err = s.release.Bottled(ctx, id, seen, body)
	if errors.Is(err, record.ErrChanged) {
		err = staleError{[]note{{key: "note.lot_moved"}}}
	}
	return "/lots/" + id + "#bottling", at, err
}

func (s *site) takeSample(ctx context.Context, id string, typed url.Values) (string, places, error) {
	root, at, err := readBody(s.words, typed, sampleTaken, sampleState)
	if err != nil {
		return "", at, err
	}
	body, err := decodedRead[record.SampleBody](root)
	if err != nil {
		return "", at, err
	}
	sample, err := s.release.AddSample(ctx, id, body)
	return "/lots/" + id + "?sample=" + sample.ID, at, err
}

// decodedRead is decoded for a body that says what was read: what is wrong with how
// often that is said is told at the readings.
func decodedRead[T calc.Request](root map[string]any) (T, error) {
	body, err := decoded[T](root)
	if problem := calc.AsProblem(err); problem != nil {
		for i, f := range problem.Errors {
			if f.Location == "" {
				problem.Errors[i].Location = "/readings"
			}
		}
	}
	return body, err
}

// readBody is a form that says what was read, with other fields beside, as a body of
// the interface. Of the ways to say what was read those are sent that something is
// typed for.
func readBody(words *catalogue, typed url.Values, beside ...[]asked) (map[string]any, places, error) {
	given := func(fields []asked) bool {
		for _, a := range fields {
			if strings.TrimSpace(typed.Get(a.name)) != "" {
				return true
			}
		}
		return false
	}
	root, at := fieldsOf(beside...).body(words, words.timed(typed, "taken_at"))
	at.add("/readings/extra", "extra")
	merge := func(fields ...[]asked) {
		body, places := fieldsOf(fields...).body(words, typed.Get)
		at = append(at, places...)
		for name, value := range body {
			root[name] = value
		}
	}
	cell := func(kind string) {
		for _, a := range sampleCell {
			at.add(kind+a.pointer, a.name)
			if text := strings.TrimSpace(typed.Get(a.name)); text != "" {
				put(root, kind+a.pointer, words.number(text))
			}
		}
	}
	if given(sampleRead) {
		merge(sampleRead)
		if list := words.extra(typed.Get("extra")); list != nil {
			put(root, "/readings/extra", list)
		}
		cell("/readings")
	}
	if given(sampleLab[:3]) {
		merge(sampleLab)
	}
	var err error
	if pasted := typed.Get("scan"); strings.TrimSpace(pasted) != "" {
		err = scanBody(root, &at, pasted, cell)
	}
	at.add("/readings", "a420")
	at.add("/cielab", "lab_L")
	return root, at, err
}

// scanBody is what was pasted: a scan, or the three readings alone.
func scanBody(root map[string]any, at *places, pasted string, cell func(kind string)) error {
	at.add("/spectrum", "scan")
	found, faults, err := readScan(pasted)
	if err != nil {
		return err
	}
	for i, f := range faults {
		faults[i] = calc.Fault{Location: "/spectrum", Message: strings.TrimPrefix(f.Location+": "+f.Message, ": "), Value: f.Value}
	}
	if len(faults) > 0 {
		return calc.Refuse(faults...)
	}
	whole, err := object(found)
	if err != nil {
		return err
	}
	for kind, value := range whole {
		if root[kind] != nil {
			return calc.Refuse(calc.Fault{Location: "/spectrum", Message: "the same is typed above: give one of the two"})
		}
		root[kind] = value
		cell("/" + kind)
	}
	return nil
}

// onNewest does what was asked on a lot's page, unless more has come of the lot than
// that page had seen.
func (s *site) onNewest(ctx context.Context, id, seen string, do func() error) error {
	s.deciding.Lock()
	defer s.deciding.Unlock()
	if err := s.stale(ctx, id, seen); err != nil {
		return err
	}
	return do()
}

func (s *site) takeJudge(ctx context.Context, id string, typed url.Values) (string, places, error) {
	spec, version, _ := strings.Cut(typed.Get("judge_by"), " ")
	root := map[string]any{"spec": spec, "spec_version": s.words.number(version)}
	at := places{{"/spec", "judge_by"}, {"/spec_version", "judge_by"}, {"/samples", "judge_by"}}
	body, err := decoded[record.JudgeBody](root)
	if err != nil {
		return "", at, err
	}
	err = s.onNewest(ctx, id, typed.Get("seen"), func() error {
		_, err := s.release.Judge(ctx, id, body)
		return err
	})
	return "/lots/" + id + "#verdicts", at, err
}

func (s *site) takeDecision(ctx context.Context, id string, typed url.Values) (string, places, error) {
	root, at := fieldsOf(decideFields).body(s.words, typed.Get)
	at.add("/verdicts", "verdicts")
	if list := typed["verdicts"]; len(list) > 0 {
		root["verdicts"] = list
	}
	body, err := decoded[record.DecisionBody](root)
	if err != nil {
		return "", at, err
	}
	err = s.onNewest(ctx, id, typed.Get("seen"), func() error {
		_, err := s.release.Decide(ctx, id, body)
		return err
	})
	return "/lots/" + id + "#decisions", at, err
}

func (s *site) takeStatement(ctx context.Context, id string, typed url.Values) (string, places, error) {
	root, at := fieldsOf(issueFields).body(s.words, typed.Get)
	body, err := decoded[record.StatementBody](root)
	if err != nil {
		return "", at, err
	}
	err = s.onNewest(ctx, id, typed.Get("seen"), func() error {
		_, err := s.release.Issue(ctx, id, body)
		return err
	})
	return "/lots/" + id + "#statements", at, err
}

// stale refuses what was decided on a page that another has overtaken, and says
// what has come since. The sender decides again, on what there is now.
func (s *site) stale(ctx context.Context, id, seen string) error {
	now, err := s.seenOf(ctx, id)
	if err != nil || seen == "" || seen == now {
		return err
	}
	before, after := strings.Split(seen, " "), strings.Split(now, " ")
	if len(before) != len(after) {
		return staleError{[]note{{key: "note.lot_moved"}}}
	}
	var since []note
	if before[0] != after[0] {
		verdicts, err := s.config.Records.VerdictsOf(ctx, id, record.Page{Newest: true, Limit: 1})
		if err != nil {
			return err
		}
		since = append(since, note{key: "note.lot_judged", values: []any{s.words.Texts["verdict_word."+verdicts[0].Verdict], momentOf(verdicts[0].DecidedAt)}})
	}
	if before[1] != after[1] {
		d, err := s.config.Records.DecisionOf(ctx, id)
		if err != nil {
			return err
		}
		since = append(since, note{key: "note.lot_decided", values: []any{s.words.Texts["decision."+d.Decision], d.By}})
	}
	if before[2] != after[2] {
		statements, err := s.config.Records.Statements(ctx, id, 0, statementsShown)
		if err != nil {
			return err
		}
		since = append(since, note{key: "note.lot_stated", values: []any{strconv.Itoa(statements[len(statements)-1].No)}})
	}
	if since == nil {
		return fmt.Errorf("pages: a lot moved from %q to %q", seen, now)
	}
	return staleError{since}
}
