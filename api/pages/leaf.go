package pages

import (
	"net/url"
	"slices"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// leafRows is how many rows of a list are on one page.
const leafRows = 50

// leaf is one page of a list that runs from the newest to the oldest. Older and
// Newer are the addresses of the pages beside it; empty where there are none.
type leaf[T any] struct {
	Items        []T
	Older, Newer string
}

// The fields of a leaf's address: what comes after the record given there, and of
// which names.
const (
	olderField = "older"
	newerField = "newer"
	// namedField has words that a list is narrowed to.
	namedField = "named"
)

// leafOf reads the leaf that an address asks for. list lists records as
// record.Page wants them.
func leafOf[T any](at *url.URL, id func(T) string, list func(record.Page) ([]T, error)) (leaf[T], error) {
	query := at.Query()
	older, newer := query.Get(olderField), query.Get(newerField)
	beside := func(field string, last T) string {
		q := url.Values{field: {id(last)}}
		if named := query.Get(namedField); named != "" {
			q.Set(namedField, named)
		}
		return at.Path + "?" + q.Encode()
	}
	for _, cursor := range []string{older, newer} {
		if cursor != "" && uuid.Validate(cursor) != nil {
			return leaf[T]{}, errNothingHere
		}
	}
	if newer != "" {
		items, err := list(record.Page{After: newer, Limit: leafRows + 1})
		if err != nil {
			return leaf[T]{}, err
		}
		if len(items) > leafRows {
			items = items[:leafRows]
			slices.Reverse(items)
			return leaf[T]{Items: items, Newer: beside(newerField, items[0]), Older: beside(olderField, items[leafRows-1])}, nil
		}
		older = "" // the first leaf, filled up
	}
	items, err := list(record.Page{Newest: true, After: older, Limit: leafRows + 1})
	if err != nil {
		return leaf[T]{}, err
	}
	l := leaf[T]{Items: items}
	if len(items) > leafRows {
		l.Items = items[:leafRows]
		l.Older = beside(olderField, items[leafRows-1])
	}
	if older != "" && len(items) > 0 {
		l.Newer = beside(newerField, items[0])
	}
	return l, nil
}
