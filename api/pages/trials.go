package pages

import (
	"net/http"

	"pourpath/api/bench"
	"pourpath/api/record"
)

// trialsView is the list of trials.
type trialsView struct {
	frame
	leaf[trialRow]
}

// trialRow is one trial of the list.
type trialRow struct {
	ID, Name       string
	Base, Addition string
	Glasses        int
	Begun          moment
	Entries        int
	Chosen         *doseWords
}

// trials answers with the trials, the newest first.
func (s *site) trials(r *http.Request) (document, error) {
	shown, err := leafOf(r.URL, func(t record.Trial) string { return t.ID },
		func(p record.Page) ([]record.Trial, error) { return s.config.Records.Trials(r.Context(), p) })
	if err != nil {
		return document{}, err
	}
	v := trialsView{frame: s.frame(r, "trials"), leaf: leaf[trialRow]{Older: shown.Older, Newer: shown.Newer}}
	for _, t := range shown.Items {
		row, err := s.trialRowOf(t)
		if err != nil {
			return document{}, err
		}
		v.Items = append(v.Items, row)
	}
	return s.render("trials.html", v)
}

func (s *site) trialRowOf(t record.Trial) (trialRow, error) {
	progress, err := t.Progress()
	row := trialRow{
		ID: t.ID, Name: s.trialName(t), Base: t.Base.Name, Addition: t.Addition.Name,
		Glasses: len(t.Glasses), Begun: momentOf(t.CreatedAt), Entries: len(t.Log),
	}
	if c := progress.Choice; c != nil {
		words := doseWordsOf(c.DoseMLPer100ML, c.AdditionFraction, nil)
		row.Chosen = &words
	}
	return row, err
}

// trialName is what a trial is called, or its wines where it has no name.
func (s *site) trialName(t record.Trial) string {
	if t.Name != "" {
		return t.Name
	}
	name := func(w record.TrialWine, slot string) string {
		if w.Name != "" {
			return w.Name
		}
		return s.words.Texts["yours."+slot]
	}
	return name(t.Base, baseSlot.name) + " + " + name(t.Addition, redSlot.name)
}

// doseWords is a dose in both conventions, which are never left apart.
type doseWords struct {
	Per100 digits // mL per 100 mL of base
	U      digits // standard uncertainty of that; empty where there is none
	Share  digits // % of the blend
}

func doseWordsOf(per100, fraction float64, u *float64) doseWords {
	decimals := 2
	if u != nil && *u > 0 {
		decimals = decimalsFor(*u, 2)
		if *u < 1 { // two digits of what the next pour is decided by
			decimals = min(2, decimals+1)
		}
	}
	words := doseWords{Per100: fixed(per100, decimals), Share: fixed(100*fraction, decimals)}
	if u != nil && per100 > 0 {
		words.U = figureOfU(&per100, u, decimals).U
	}
	return words
}

// shownTrial is a trial for a page.
func (s *site) shownTrial(r *http.Request) (bench.TrialAnswer, error) {
	return s.bench.Trial(r.Context(), r.PathValue("id"))
}
