package pages

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/colour/cie"
)

// lotView is the page of a lot.
type lotView struct {
	frame
	Lot                      record.Lot
	SpecName                 string
	Bottled, Begun, Archived moment
	ArchivedWines            []archivedNote
	Decision                 *decisionShown
	Chosen                   *verdictShown // the verdict that is shown whole; nil where nothing was judged
	Run                      record.RunAdvice
	RunDecided               bool // somebody has decided about the lot since its newest sample came
	Samples                  leaf[sampleRow]
	Verdicts                 []verdictRow
	MoreVerdicts             bool
	Decisions                []decisionShown // the newest first
	Statements               []issuedRow
	Key, Seen                string
	Sample                   []askGroup
	Judge, Decide, Issue     askGroup
	Bottle                   askGroup // when it was bottled, told or corrected later
	Bottlings                []bottlingSaid
	Doubts                   []calc.Warning
	Sent                     string // the form that was refused; empty where none was
	Faults                   []toldFault

	kept  lotKept
	words *catalogue
}

// lotKept is what the page is made of.
type lotKept struct {
	spec     record.Spec
	verdicts []record.Verdict // the newest first
	newestOf map[string]record.Verdict
	countOf  map[string]int
}

// decisionShown is a decision about a lot.
type decisionShown struct {
	Decision, By, Reason string
	At                   moment
	Verdicts             int
}

// issuedRow is a statement about a lot.
type issuedRow struct {
	No       int
	IssuedAt moment
}

// sampleRow is a sample of the list.
type sampleRow struct {
	ID, Stage, Bottle string
	At                moment
	Taken             bool
	Days              digits // since bottling
	Read              said
	Instrument        string
	Analyst           string
	State             string
	Shown             cie.Screen
	L, A, B           figure
	Verdict           verdictMark
	Verdicts          int
	Later             bool // a check of its instrument failed since
	Here              bool
}

// verdictRow is a verdict of the list of all.
type verdictRow struct {
	ID, SampleID, Stage string
	SpecName, SpecID    string
	Version             int
	Mark                verdictMark
	Program             string
	At                  moment
	Here                bool
}

// How much of a lot its page holds.
const (
	verdictsShown   = 200
	statementsShown = 100
)

// bottlingSaid is when a lot was bottled, as it was told after it was set up.
type bottlingSaid struct {
	At, Recorded moment
	By, Reason   string
}

// lot answers with the page of a lot.
func (s *site) lot(r *http.Request) (document, error) {
	return s.lotAgain(r, "", nil, nil)
}

// lotAgain is the page with what is wrong with a form that was sent, and what was
// typed there.
func (s *site) lotAgain(r *http.Request, form string, typed url.Values, faults []note) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	lot, err := s.config.Records.Lot(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	v := &lotView{frame: s.frame(r, "lots"), Lot: lot, Begun: momentOf(lot.CreatedAt), Key: newKey(), Sent: form, words: s.words}
	if lot.BottledAt != nil {
		v.Bottled = momentOf(*lot.BottledAt)
	}
	for _, b := range lot.Bottlings {
		v.Bottlings = append(v.Bottlings, bottlingSaid{At: momentOf(b.BottledAt), By: b.By, Reason: b.Reason, Recorded: momentOf(b.RecordedAt)})
	}
	if v.Doubts, err = s.release.Doubts(r.Context(), lot); err != nil {
		return document{}, err
	}
	if lot.ArchivedAt != nil {
		v.Archived = momentOf(*lot.ArchivedAt)
	}
	if v.kept.spec, err = s.config.Records.SpecVersion(r.Context(), lot.Spec, lot.SpecVersion); err != nil {
		return document{}, err
	}
	v.SpecName = specName(v.kept.spec)
	if v.ArchivedWines, err = s.archivedAmong(r.Context(), append(winesUsed(v.kept.spec.ReadingsUsed), lot.Wine)...); err != nil {
		return document{}, err
	}
	for _, part := range []func(*site, *http.Request) error{v.judged, v.samples, v.decided, v.chosen} {
		if err := part(s, r); err != nil {
			return document{}, err
		}
	}
	if v.Run, err = s.release.Run(r.Context(), id); err != nil {
		return document{}, err
	}
	if v.RunDecided, err = s.decidedSince(r.Context(), lot.ID); err != nil {
		return document{}, err
	}
	if v.Seen, err = s.seenOf(r.Context(), id); err != nil {
		return document{}, err
	}
	if err := v.forms(s, r, typed, faults); err != nil {
		return document{}, err
	}
	d, err := s.render("lot.html", v)
	d.passing = true // it has keys for one sample, decision and statement
	return d, err
}

// decidedSince reports whether a lot was decided about after its newest sample was
// recorded: what to do with its run is settled then.
func (s *site) decidedSince(ctx context.Context, lot string) (bool, error) {
	newest := record.Page{Newest: true, Limit: 1}
	decisions, err := s.config.Records.DecisionsOf(ctx, lot, newest)
	if err != nil || len(decisions) == 0 {
		return false, err
	}
	samples, err := s.config.Records.SamplesOf(ctx, lot, newest)
	if err != nil {
		return false, err
	}
	return len(samples) == 0 || !samples[0].RecordedAt.After(decisions[0].RecordedAt.Time), nil
}

// judged adds the verdicts of the lot.
func (v *lotView) judged(s *site, r *http.Request) error {
	list, err := s.config.Records.VerdictsOf(r.Context(), v.Lot.ID, record.Page{Newest: true, Limit: verdictsShown + 1})
	if err != nil {
		return err
	}
	if len(list) > verdictsShown {
		list, v.MoreVerdicts = list[:verdictsShown], true
	}
	v.kept.verdicts, v.kept.newestOf, v.kept.countOf = list, map[string]record.Verdict{}, map[string]int{}
	names := map[string]string{v.Lot.Spec: v.SpecName}
	for _, one := range list {
		if _, later := v.kept.newestOf[one.SampleID]; !later {
			v.kept.newestOf[one.SampleID] = one
		}
		v.kept.countOf[one.SampleID]++
		if names[one.Spec] == "" {
			spec, err := s.config.Records.SpecVersion(r.Context(), one.Spec, one.SpecVersion)
			if err != nil {
				return err
			}
			names[one.Spec] = specName(spec)
		}
		v.Verdicts = append(v.Verdicts, verdictRow{
			ID: one.VerdictID, SampleID: one.SampleID, SpecName: names[one.Spec], SpecID: one.Spec, Version: one.SpecVersion,
			Mark: markOf(one.Verdict, one.Probability), Program: one.Program, At: momentOf(one.DecidedAt),
		})
	}
	return nil
}

// samples adds the samples of the lot, the newest first.
func (v *lotView) samples(s *site, r *http.Request) error {
	shown, err := leafOf(r.URL, func(one record.Sample) string { return one.ID },
		func(p record.Page) ([]record.Sample, error) {
			return s.release.Samples(r.Context(), v.Lot.ID, p)
		})
	if err != nil {
		return err
	}
	v.Samples = leaf[sampleRow]{Older: shown.Older, Newer: shown.Newer}
	stages := map[string]string{}
	words := &saying{catalogue: s.words}
	for _, one := range shown.Items {
		newest, known := v.kept.newestOf[one.ID]
		if !known {
			if newest, err = s.config.Records.NewestVerdictOn(r.Context(), one.ID); err != nil {
				return err
			}
		}
		stages[one.ID] = string(one.Stage)
		row := sampleRow{
			ID: one.ID, Stage: string(one.Stage), Bottle: one.Bottle, At: momentOf(one.At()), Taken: one.TakenAt != nil, Read: words.readAs(one.Wine("")),
			Instrument: one.Instrument, Analyst: one.Analyst, State: release.StateWords(one.State, s.papers), Verdict: markOf(newest.Verdict, newest.Probability),
			Verdicts: v.kept.countOf[one.ID], Later: len(one.Later) > 0,
		}
		f := figuresOf(&one.Colour)
		row.Shown, row.L, row.A, row.B = f.Shown, f.L, f.A, f.B
		if one.DaysSinceBottling != nil {
			row.Days = fixed(*one.DaysSinceBottling, 0)
		}
		v.Samples.Items = append(v.Samples.Items, row)
	}
	for i := range v.Verdicts {
		v.Verdicts[i].Stage = stages[v.Verdicts[i].SampleID]
	}
	return words.err
}

func shownDecision(d record.Decision) *decisionShown {
	at := d.RecordedAt
	if d.At != nil {
		at = *d.At
	}
	return &decisionShown{Decision: d.Decision, By: d.By, Reason: d.Reason, At: momentOf(at), Verdicts: len(d.Verdicts)}
}

// decided adds the decisions and statements about the lot.
func (v *lotView) decided(s *site, r *http.Request) error {
	list, err := s.config.Records.DecisionsOf(r.Context(), v.Lot.ID, record.Page{Limit: pickable})
	if err != nil {
		return err
	}
	for _, d := range slices.Backward(list) {
		v.Decisions = append(v.Decisions, *shownDecision(d))
	}
	if len(v.Decisions) > 0 {
		v.Decision = &v.Decisions[0]
	}
	statements, err := s.config.Records.Statements(r.Context(), v.Lot.ID, 0, statementsShown)
	for _, st := range statements {
		v.Statements = append(v.Statements, issuedRow{No: st.No, IssuedAt: momentOf(st.IssuedAt)})
	}
	return err
}

// chosen adds the verdict that is shown whole: the one that the address asks for,
// else the newest on its sample, else the newest of the lot.
func (v *lotView) chosen(s *site, r *http.Request) error {
	query := r.URL.Query()
	var one record.Verdict
	var err error
	switch verdict, sample := query.Get("verdict"), query.Get("sample"); {
	case verdict != "" && uuid.Validate(verdict) == nil:
		one, err = s.config.Records.Verdict(r.Context(), verdict)
	case sample != "" && uuid.Validate(sample) == nil:
		one, err = s.config.Records.NewestVerdictOn(r.Context(), sample)
	case verdict != "" || sample != "":
		return errNothingHere
	case len(v.kept.verdicts) == 0:
		return nil
	default:
		one = v.kept.verdicts[0]
	}
	if err != nil {
		return err
	}
	if one.LotID != v.Lot.ID {
		return errNothingHere
	}
	shown := []record.Verdict{one}
	if err := s.release.MarkVerdicts(r.Context(), shown); err != nil {
		return err
	}
	one = shown[0]
	if v.Chosen, err = s.verdictShownOf(r.Context(), v.Lot, one); err != nil {
		return err
	}
	for i := range v.Verdicts {
		v.Verdicts[i].Here = v.Verdicts[i].ID == one.VerdictID
	}
	for i := range v.Samples.Items {
		v.Samples.Items[i].Here = v.Samples.Items[i].ID == one.SampleID
	}
	return nil
}

// seenOf is how far a lot has come: its newest verdict, its newest decision, and
// how many statements there are about it.
func (s *site) seenOf(ctx context.Context, lotID string) (string, error) {
	verdicts, err := s.config.Records.VerdictsOf(ctx, lotID, record.Page{Newest: true, Limit: 1})
	if err != nil {
		return "", err
	}
	seen := ""
	if len(verdicts) > 0 {
		seen = verdicts[0].VerdictID
	}
	d, err := s.config.Records.DecisionOf(ctx, lotID)
	if err != nil {
		return "", err
	}
	seen += " "
	if d != nil {
		seen += d.ID
	}
	statements, err := s.config.Records.Statements(ctx, lotID, 0, statementsShown)
	return seen + " " + strconv.Itoa(len(statements)), err
}
