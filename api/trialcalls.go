package api

import (
	"context"
	"errors"
	"net/http"
	"reflect"
	"strconv"

	"github.com/danielgtaylor/huma/v2"
	lru "github.com/hashicorp/golang-lru/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

// TrialAnswer is a trial with what its log has come to.
type TrialAnswer struct {
	record.Trial
	Glasses      []record.GlassState  `json:"glasses" doc:"The glasses in the order in which they were declared, with what is in them now."`
	Entries      []record.Logged      `json:"entries" doc:"Pours and withdrawals in the order in which they were recorded, each with what the glass held after it."`
	Measurements []record.Logged      `json:"measurements" doc:"What was read of glasses, in the order in which it was recorded, each with what the glass held then. no is its place among all entries."`
	Ladder       *calc.LadderResponse `json:"ladder,omitempty" doc:"As /v1/ladder answers for the doses in the glasses, in their order, recalibrated by the measurements. A rung's dose_ml is what its dose is in base_ml of base. Absent where nothing was read of a wine."`
	Warnings     []calc.Warning       `json:"warnings" doc:"What must be known of the trial."`
}

// trialAnswers remembers answers by the trial and the length of its log: but for
// being archived, a trial changes only by a further entry.
type trialAnswers = lru.Cache[string, TrialAnswer]

// rememberedTrials is how many: more than the longest page of a list has.
const rememberedTrials = 1024

func newTrialAnswers() *trialAnswers {
	cache, err := lru.New[string, TrialAnswer](rememberedTrials)
	if err != nil { // only for a size below 1
		panic(err)
	}
	return cache
}

const (
	exampleTrial = `{"name": "First ladder", "base": {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}},
 "addition": {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},
 "base_ml": 100, "target": {"cielab": {"L": 85, "a": 16, "b": 4}, "tolerance": {"delta_e_00": 3}}, "glasses": ["A", "B", "C"]}`
	examplePour        = `{"glass": "B", "volume_ml": 2, "stated_total_ml": 10, "tool": "5 mL syringe", "key": "7c1d"}`
	exampleWithdrawal  = `{"glass": "B", "volume_ml": 15, "why": "tasting"}`
	exampleMeasurement = `{"glass": "B", "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10}, "minutes_since_blending": 20}`
)

// trialCalls are the calls about trials.
func (s *service) trialCalls(api huma.API) {
	registerRecord(s, api, recordOp[Body]{
		method: http.MethodPost, path: "/v1/trials", id: "add-trial", tag: tagRecords, summary: "Begin a trial",
		description: "A base, an addition and the glasses that it will be poured into. What stored wines and a stored target are at this moment is copied into the trial and used from then on.",
		body:        reflect.TypeFor[record.TrialBody](), example: exampleTrial,
		status: http.StatusCreated, answer: reflect.TypeFor[TrialAnswer](), handle: s.addTrial,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/trials", id: "list-trials", tag: tagRecords, summary: "List trials",
		description: "Trials in the order in which they were begun.",
		answer:      reflect.TypeFor[listOf[TrialAnswer]](), handle: s.listTrials,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/trials/{id}", id: "trial", tag: tagRecords, summary: "One trial",
		description: "A trial with its glasses, its log, and the ladder as it is predicted from the wines and from what was measured.",
		answer:      reflect.TypeFor[TrialAnswer](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return s.trialReply(s.config.Records.Trial(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodDelete, path: "/v1/trials/{id}", id: "archive-trial", tag: tagRecords, summary: "Archive a trial",
		description: "Takes the trial out of lists; it stays readable and takes no more entries.",
		answer:      reflect.TypeFor[TrialAnswer](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return s.trialReply(s.config.Records.ArchiveTrial(ctx, in.ID))
		},
	})
	logCall[record.PourBody](s, api, "pours", recordOp[toWine]{
		id: "add-pour", summary: "Log a pour", example: examplePour,
		description: "Addition poured into a glass. The dose is computed from what is in the glass. A stated total that contradicts the log is warned of (total_mismatch) with the likeliest slip, and the pour is kept.",
	})
	logCall[record.WithdrawalBody](s, api, "withdrawals", recordOp[toWine]{
		id: "add-withdrawal", summary: "Log a withdrawal", example: exampleWithdrawal,
		description: "Blend taken out of a glass: a sip, a cell filled for a reading. The rest keeps its dose, and later pours count for more.",
	})
	logCall[record.MeasurementBody](s, api, "measurements", recordOp[toWine]{
		id: "add-measurement", summary: "Log a measurement", example: exampleMeasurement,
		description: "What was read of the blend in a glass, at the dose that it holds. The trial's ladder is recalibrated to it.",
	})
}

// logCall registers a call that adds to a trial's log.
func logCall[B interface {
	calc.Request
	Entry() record.LogEntry
}](s *service, api huma.API, path string, op recordOp[toWine]) {
	op.method, op.path, op.tag = http.MethodPost, "/v1/trials/{id}/"+path, tagRecords
	op.body, op.answer, op.status = reflect.TypeFor[B](), reflect.TypeFor[record.Logged](), http.StatusCreated
	op.errors = []int{http.StatusConflict}
	op.handle = func(ctx context.Context, in *toWine) (*reply, error) {
		asked, err := calc.DecodeWhole[B](in.RawBody)
		if err != nil {
			return nil, err
		}
		trial, err := s.config.Records.AddEntry(ctx, in.ID, asked.Entry())
		if err != nil {
			return nil, err
		}
		last, err := trial.Last()
		if err != nil {
			return nil, err
		}
		out, err := jsonReply(last, 0)
		if err != nil {
			return nil, err
		}
		out.Location = "/v1/trials/" + trial.ID
		return out, nil
	}
	registerRecord(s, api, op)
}

// mayBeUnread is the cellar of trials: a wine that nothing was read of yet has
// only a name, and the trial is kept without a ladder.
type mayBeUnread struct{ *store.Store }

func (m mayBeUnread) StoredWine(ctx context.Context, id string) (calc.StoredWine, error) {
	stored, err := m.Store.StoredWine(ctx, id)
	if !errors.Is(err, calc.ErrNoReading) {
		return stored, err
	}
	wine, err := m.Store.Wine(ctx, id)
	return calc.StoredWine{Wine: calc.Wine{Name: wine.Name}, ReadingIDs: []string{}}, err
}

// begun is the trial that a body asks for, with the data of what it names.
func (s *service) begun(ctx context.Context, asked record.TrialBody) (record.Trial, error) {
	t := record.Trial{TrialFields: asked.TrialFields, Glasses: asked.Glasses}
	places := []struct {
		at   string
		wine *record.TrialWine
	}{{"/base", &t.Base}, {"/addition", &t.Addition}}
	var f calc.Faults
	for _, p := range places {
		if p.wine.ID == "" {
			continue
		}
		in := calc.Wine{Name: p.wine.Name, ID: &p.wine.ID}
		used, err := calc.LookupWine(ctx, mayBeUnread{s.config.Records}, p.at, &in, &f)
		if err != nil {
			return t, err
		}
		p.wine.Name, p.wine.Readings, p.wine.Spectrum, p.wine.CIELAB = in.Name, in.Readings, in.Spectrum, in.CIELAB
		t.ReadingsUsed = append(t.ReadingsUsed, used...)
	}
	used, err := calc.LookupTarget(ctx, s.config.Records, "/target", t.Target, &f)
	if err := errors.Join(err, f.Err()); err != nil {
		return t, err
	}
	t.ReadingsUsed = append(t.ReadingsUsed, used...)
	for _, p := range places {
		if p.wine.Known() {
			calc.CheckForBlend(p.at, p.wine.Wine(), &f)
		}
	}
	calc.CheckTarget(t.Target, t.View, &f)
	t.TargetID = copied(t.Target)
	return t, f.Err()
}

// copied takes the identifiers off a target whose data were looked up, so that
// what is kept of it is the data. It returns the stored target's.
func copied(t *calc.Target) (id string) {
	if t == nil {
		return ""
	}
	if t.ID != nil {
		id, t.ID = *t.ID, nil
	}
	if t.Wine != nil {
		t.Wine.ID = nil
	}
	return id
}

func (s *service) addTrial(ctx context.Context, in *Body) (*reply, error) {
	asked, err := calc.DecodeWhole[record.TrialBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	trial, err := s.begun(ctx, asked)
	if err != nil {
		return nil, err
	}
	added, err := s.config.Records.CreateTrial(ctx, trial)
	out, err := s.trialReply(added, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/trials/" + added.ID
	return out, nil
}

func (s *service) trialReply(t record.Trial, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	answer, err := s.trialAnswer(t)
	if err != nil {
		return nil, err
	}
	return jsonReply(answer, 0)
}

func (s *service) trialAnswer(t record.Trial) (TrialAnswer, error) {
	key := t.ID + " " + strconv.Itoa(len(t.Log))
	if known, ok := s.trials.Get(key); ok {
		known.Trial = t
		return known, nil
	}
	progress, err := t.Progress()
	if err != nil {
		return TrialAnswer{}, err
	}
	out := TrialAnswer{
		Trial: t, Glasses: progress.Glasses, Entries: []record.Logged{}, Measurements: []record.Logged{}, Warnings: []calc.Warning{},
	}
	for _, e := range progress.Log {
		if e.Kind == record.Measuring {
			out.Measurements = append(out.Measurements, e)
		} else {
			out.Entries = append(out.Entries, e)
		}
	}
	if err := out.predict(progress); err != nil {
		return out, err
	}
	s.trials.Add(key, out)
	return out, nil
}

// predict adds the trial's ladder, or says why there is none.
func (a *TrialAnswer) predict(p record.Progress) error {
	none := func(why string) {
		a.Warnings = append(a.Warnings, calc.Warning{
			Code: "no_ladder", Message: "There is no predicted ladder: " + why + ". The log is kept all the same.",
		})
	}
	question, ok := a.Trial.Ladder(p)
	if !ok {
		none("nothing was read of the base or of the addition when the trial began")
		return nil
	}
	answer, err := calc.Ladder(question)
	switch problem := calc.AsProblem(err); {
	case problem != nil:
		none(problem.Detail)
	case err != nil:
		return err
	default:
		a.Ladder = &answer
	}
	return nil
}

func (s *service) listTrials(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	trials, err := s.config.Records.Trials(ctx, p)
	if err != nil {
		return nil, err
	}
	page := paged(trials, limit, func(t record.Trial) string { return t.ID })
	out := listOf[TrialAnswer]{Items: make([]TrialAnswer, len(page.Items)), Next: page.Next}
	for i, t := range page.Items {
		if out.Items[i], err = s.trialAnswer(t); err != nil {
			return nil, err
		}
	}
	return jsonReply(out, 0)
}
