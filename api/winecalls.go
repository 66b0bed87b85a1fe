package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/shelf"
)

const exampleWine = `{"name": "Tank 4", "kind": "white", "lot": "2026-04", "vintage": 2026, "readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021, "path_mm": 10}}`

// WineAnswer is a wine that was added, with what must be known of its reading.
type WineAnswer struct {
	shelf.Wine
	Warnings []calc.Warning `json:"warnings,omitempty" doc:"What must be known of the reading that came with it: the checks of its instrument. It is kept all the same."`
}

type (
	wineAsSeen struct {
		ByID
		Precondition
	}
	wineByID struct {
		ByID
		Precondition
		Sent
	}
)

// winesAsked is what a list of wines is asked for.
type winesAsked struct {
	Listing
	Named string `query:"named" doc:"Only wines that have each of these words in their name or lot, whatever the letter case."`
}

// wineCalls are the calls about wines.
func (s *service) wineCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/wines", id: "add-wine", tag: tagRecords, summary: "Add a wine",
		description: "A wine, with what was read of it where something was.",
		body:        reflect.TypeFor[record.WineBody](), example: exampleWine,
		status: http.StatusCreated, answer: reflect.TypeFor[WineAnswer](), handle: s.addWine,
	})
	registerRecord(s, api, recordOp[winesAsked]{
		method: http.MethodGet, path: "/v1/wines", id: "list-wines", tag: tagRecords, summary: "List wines",
		description: "Wines in the order in which they were added.",
		answer:      reflect.TypeFor[listOf[shelf.Wine]](), handle: s.listWines,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/wines/{id}", id: "wine", tag: tagRecords, summary: "One wine",
		description: "A wine with the colour of its current reading: the newest that is neither superseded nor archived, replicates averaged.",
		answer:      reflect.TypeFor[shelf.Wine](), handle: s.oneWine,
	})
	registerRecord(s, api, recordOp[wineByID]{
		method: http.MethodPut, path: "/v1/wines/{id}", id: "change-wine", tag: tagRecords, summary: "Change a wine",
		description: "Replaces what is said of the wine; its readings stay. What is left out is cleared.",
		body:        reflect.TypeFor[record.WineFields](), example: `{"name": "Tank 4", "kind": "white", "lot": "2026-04", "stock_l": 1200}`,
		answer: reflect.TypeFor[shelf.Wine](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed, http.StatusPreconditionRequired},
		handle: s.changeWine,
	})
}

// wineStanding are the calls that archive a wine and bring it back.
func (s *service) wineStanding(api huma.API) {
	registerRecord(s, api, recordOp[wineAsSeen]{
		method: http.MethodDelete, path: "/v1/wines/{id}", id: "archive-wine", tag: tagRecords, summary: "Archive a wine",
		description: "Takes the wine out of lists, without saying why. It and its readings stay readable. Without If-Match the present version is archived.",
		answer:      reflect.TypeFor[shelf.Wine](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed},
		handle: func(ctx context.Context, in *wineAsSeen) (*reply, error) {
			return s.archiveWine(ctx, in.ID, in.Precondition, "")
		},
	})
	registerRecord(s, api, recordOp[wineByID]{
		method: http.MethodPost, path: "/v1/wines/{id}/archive", id: "archive-wine-with-reason", tag: tagRecords, summary: "Archive a wine and say why",
		description: "Takes the wine out of lists. It and its readings stay readable. Without If-Match the present version is archived.",
		body:        reflect.TypeFor[Archiving](), example: `{"reason": "bottled: the tank is empty"}`,
		answer: reflect.TypeFor[shelf.Wine](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed},
		handle: func(ctx context.Context, in *wineByID) (*reply, error) {
			why, err := calc.DecodeWhole[Archiving](in.RawBody)
			if err != nil {
				return nil, err
			}
			return s.archiveWine(ctx, in.ID, in.Precondition, why.Reason)
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/wines/{id}/unarchive", id: "unarchive-wine", tag: tagRecords, summary: "Bring back an archived wine",
		description: "Puts the wine back into lists; its readings count again but for those that were archived themselves. That it was archived, and why, stays on record.",
		body:        reflect.TypeFor[BringingBack](), example: `{"reason": "the wrong wine was archived"}`,
		answer: reflect.TypeFor[shelf.Wine](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			why, err := calc.DecodeWhole[BringingBack](in.RawBody)
			if err != nil {
				return nil, err
			}
			wine, err := s.config.Records.BringBackWine(ctx, in.ID, why.Reason)
			if err != nil {
				return nil, err
			}
			return s.wineReply(ctx, wine)
		},
	})
}

func (s *service) addWine(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.WineBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	var first *record.Reading
	if r, ok := asked.Reading(); ok {
		first = &r
	}
	wine, read, err := s.config.Records.CreateWine(ctx, asked.WineFields, first)
	if err != nil {
		return nil, err
	}
	var answer WineAnswer
	if answer.Wine, err = s.shelf.Show(ctx, wine); err != nil {
		return nil, err
	}
	if read != nil {
		if answer.Warnings, err = s.release.OfReading(ctx, *read); err != nil {
			return nil, err
		}
	}
	out, err := jsonReply(answer, wine.Version)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/wines/" + wine.ID
	return out, nil
}

func (s *service) wineReply(ctx context.Context, w record.Wine) (*reply, error) {
	answer, err := s.shelf.Show(ctx, w)
	if err != nil {
		return nil, err
	}
	return jsonReply(answer, w.Version)
}

func (s *service) oneWine(ctx context.Context, in *ByID) (*reply, error) {
	wine, err := s.config.Records.Wine(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	return s.wineReply(ctx, wine)
}

func (s *service) listWines(ctx context.Context, in *winesAsked) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	p.Named = in.Named
	limit := p.Limit
	p.Limit++
	wines, err := s.shelf.Wines(ctx, p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(wines, limit, func(w shelf.Wine) string { return w.ID }), 0)
}

func (s *service) changeWine(ctx context.Context, in *wineByID) (*reply, error) {
	version, err := in.version()
	if err != nil {
		return nil, err
	}
	fields, err := calc.DecodeWhole[record.WineFields](in.RawBody)
	if err != nil {
		return nil, err
	}
	wine, err := s.config.Records.ChangeWine(ctx, in.ID, version, fields)
	if err != nil {
		return nil, err
	}
	return s.wineReply(ctx, wine)
}

func (s *service) archiveWine(ctx context.Context, id string, p Precondition, reason string) (*reply, error) {
	wine, err := s.config.Records.Wine(ctx, id)
	if err != nil {
		return nil, err
	}
	version := wine.Version
	if p.IfMatch != "" {
		if version, err = p.version(); err != nil {
			return nil, err
		}
	}
	if wine, err = s.config.Records.ArchiveWine(ctx, id, version, reason); err != nil {
		return nil, err
	}
	return s.wineReply(ctx, wine)
}
