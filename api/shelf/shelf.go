// Package shelf shows stored wines with the colour of their current readings:
// what the API and the pages tell of a wine.
package shelf

import (
	"context"
	"strings"

	lru "github.com/hashicorp/golang-lru/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

// Wine is a wine with the colour of its current reading.
type Wine struct {
	record.Wine
	Colour       *calc.WineColour   `json:"colour,omitempty" doc:"Its colour under D65, 10°, for 10 mm, from its current reading; absent where nothing was read of it, or what was read is no colour of a wine."`
	ReadingsUsed []string           `json:"readings_used,omitempty" doc:"Identifiers of the readings that the colour was computed from: the newest that counts, or its replicates."`
	ReadAt       *record.Instant    `json:"read_at,omitempty" doc:"When the current reading was taken, or else recorded."`
	Replicates   *record.Statistics `json:"replicates,omitempty" doc:"How the replicates scatter, where there are several."`
}

// remembered is how many computed colours are kept: enough for several of the
// longest pages of a list.
const remembered = 4096

// Shelf computes colours and remembers them by the readings they are made of,
// which never change. It may be used concurrently.
type Shelf struct {
	store   *store.Store
	colours *lru.Cache[string, Wine]
}

// New returns the shelf of a store.
func New(s *store.Store) *Shelf {
	colours, err := lru.New[string, Wine](remembered)
	if err != nil { // only for a size below 1
		panic(err)
	}
	return &Shelf{store: s, colours: colours}
}

// Wine returns a wine; record.ErrNotFound where there is none.
func (s *Shelf) Wine(ctx context.Context, id string) (Wine, error) {
	w, err := s.store.Wine(ctx, id)
	if err != nil {
		return Wine{}, err
	}
	return s.Show(ctx, w)
}

// Wines lists wines.
func (s *Shelf) Wines(ctx context.Context, p record.Page) ([]Wine, error) {
	list, err := s.store.Wines(ctx, p)
	if err != nil {
		return nil, err
	}
	out := make([]Wine, len(list))
	for i, w := range list {
		if out[i], err = s.Show(ctx, w); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Show adds to a wine what its current reading says of its colour.
func (s *Shelf) Show(ctx context.Context, w record.Wine) (Wine, error) {
	set, err := s.store.Current(ctx, w.ID)
	if err != nil || len(set) == 0 {
		return Wine{Wine: w}, err
	}
	ids := make([]string, len(set))
	for i, r := range set {
		ids[i] = r.ID
	}
	key := strings.Join(ids, " ")
	shown, known := s.colours.Get(key)
	if !known {
		if shown, err = colourOf(w.Name, set); err != nil {
			return Wine{Wine: w}, err
		}
		s.colours.Add(key, shown)
	}
	shown.Wine = w
	return shown, nil
}

// colourOf computes what a set of readings shows. A colour that was imported as
// it stood in a report may be none that a wine can have: its reading stays, and
// there is no computed colour.
func colourOf(name string, set []record.Reading) (out Wine, err error) {
	stored, statistics, err := record.Combine(name, set)
	if err != nil {
		return out, err
	}
	at := set[0].At()
	out.ReadingsUsed, out.Replicates, out.ReadAt = stored.ReadingIDs, statistics, &at
	answer, err := calc.Colour(calc.ColourRequest{Wine: stored.Wine})
	switch {
	case err == nil:
		out.Colour = &answer.Colour
	case calc.AsProblem(err) != nil:
		err = nil
	}
	return out, err
}
