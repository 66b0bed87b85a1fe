package pages

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/collate"

	"pourpath/api/record"
	"pourpath/api/shelf"
)

// winesView is the list of wines.
type winesView struct {
	frame
	leaf[wineRow]
	Named  string // the words that the list is narrowed to
	ByName bool   // in the order of names, not of time
}

// wineRow is one wine of the list.
type wineRow struct {
	ID, Name, Lot, Vintage string
	Kind                   record.Kind
	HasReading, HasColour  bool
	figures
	ReadAt moment
	Age    age // of the reading
	StockL figure
}

// wines answers with the wines, the newest first. What has the words that the list is
// narrowed to stands by name, where it is on one page: what has them is equally near to
// what was looked for.
func (s *site) wines(r *http.Request) (document, error) {
	named := strings.TrimSpace(r.URL.Query().Get(namedField))
	shown, err := leafOf(r.URL, func(w shelf.Wine) string { return w.ID }, func(p record.Page) ([]shelf.Wine, error) {
		p.Named = named
		return s.shelf.Wines(r.Context(), p)
	})
	if err != nil {
		return document{}, err
	}
	v := winesView{frame: s.frame(r, "wines"), Named: named, leaf: leaf[wineRow]{Older: shown.Older, Newer: shown.Newer}}
	if v.ByName = named != "" && shown.Older == "" && shown.Newer == ""; v.ByName {
		order := collate.New(s.words.tag, collate.Numeric, collate.IgnoreCase)
		slices.SortStableFunc(shown.Items, func(a, b shelf.Wine) int { return order.CompareString(a.Name, b.Name) })
	}
	now := s.config.Records.Now().Time
	for _, w := range shown.Items {
		v.Items = append(v.Items, wineRowOf(w, now))
	}
	for _, column := range []func(*wineRow) *figure{
		func(r *wineRow) *figure { return &r.L }, func(r *wineRow) *figure { return &r.A }, func(r *wineRow) *figure { return &r.B },
		func(r *wineRow) *figure { return &r.Intensity }, func(r *wineRow) *figure { return &r.Tint }, func(r *wineRow) *figure { return &r.StockL },
	} {
		cells := make([]*figure, len(v.Items))
		for i := range v.Items {
			cells[i] = column(&v.Items[i])
		}
		align(cells)
	}
	return s.render("wines.html", v)
}

func wineRowOf(w shelf.Wine, now time.Time) wineRow {
	row := wineRow{
		ID: w.ID, Name: w.Name, Kind: w.Kind, Lot: w.Lot, HasReading: len(w.ReadingsUsed) > 0, HasColour: w.Colour != nil,
		figures: figuresOf(w.Colour),
	}
	if w.Vintage != nil {
		row.Vintage = strconv.Itoa(*w.Vintage)
	}
	if w.ReadAt != nil {
		row.ReadAt, row.Age = dayOf(*w.ReadAt), ageOf(*w.ReadAt, now)
	}
	if w.StockL != nil {
		row.StockL.Value = plain(*w.StockL)
	}
	return row
}
