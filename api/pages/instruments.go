package pages

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"pourpath/api/record"
)

// instrumentsView is the page of instruments and their checks.
type instrumentsView struct {
	frame
	Items  []instrumentRow
	Checks []checkRow // the newest first
	More   bool       // of the checks are in the records
	Key    string
	Groups []askGroup
	Faults []toldFault
}

// instrumentRow is an instrument with its newest check of each kind.
type instrumentRow struct {
	Name  string
	Kinds []checkRow
	Bad   int // of them that are failed or overdue
}

// checkRow is a check of an instrument.
type checkRow struct {
	Instrument, Kind, Reference, By, Notes string
	Points                                 []pointRow
	At                                     moment
	Due                                    moment // ISO is empty where none is told
	Passed, Overdue                        bool
}

// pointRow is a reading of a reference.
type pointRow struct {
	NM, Certified, Limit, Reading digits
	Within                        bool
}

// How many checks the page reads and how many it lists.
const (
	checksRead  = 5000
	checksShown = 50
	checksPart  = 500
)

// checkKinds are the kinds in the order of the form.
var checkKinds = []string{"filter", "dye", "blank", "stray_light", "wavelength"}

// pointRows is how many readings the form has room for.
const pointRows = 6

var (
	checkFields = []asked{
		{sentField: sentField{"instrument", "/instrument", aText}, help: true},
		{sentField: sentField{"kind", "/kind", aText}, as: askPick, values: checkKinds, help: true},
		{sentField: sentField{"check_reference", "/reference", aText}, like: true},
	}
	checkWhen = []asked{
		{sentField: sentField{"checked_at", "/checked_at", aText}, like: true},
		{sentField: sentField{"next_due", "/next_due", aText}, like: true},
		{sentField: sentField{"by", "/by", aText}},
		{sentField: sentField{"notes", "/notes", aText}, as: askArea, wide: true},
	}
	pointEnds = []string{"nm", "certified", "limit", "reading"}
)

// pointFields are the fields of one reading.
func pointFields(i int) []asked {
	var out []asked
	for _, end := range pointEnds {
		out = append(out, asked{sentField: sentField{fmt.Sprintf("p%d_%s", i+1, end), "", aNumber}, label: "point_" + end, row: fmt.Sprintf("point_%d", i+1)})
	}
	return out
}

// instruments answers with the instruments and the form for a check.
func (s *site) instruments(r *http.Request) (document, error) {
	return s.instrumentsAgain(r, url.Values{"kind": {"filter"}}, nil)
}

func (s *site) instrumentsAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	v := instrumentsView{frame: s.frame(r, "instruments"), Key: newKey()}
	if err := v.checks(r.Context(), s); err != nil {
		return document{}, err
	}
	f := filled{form: "check", typed: typed, faults: faults}
	points, more := askGroup{Key: "points", About: true}, askGroup{Key: "points_more", Folded: true}
	for i := range pointRows {
		row := askRow{Name: fmt.Sprintf("point_%d", i+1)}
		for _, a := range pointFields(i) {
			row.Fields = append(row.Fields, f.show(a))
		}
		if i < pointRows/2 {
			points.Rows = append(points.Rows, row)
			continue
		}
		more.Rows, more.Open = append(more.Rows, row), more.Open || f.touched(pointFields(i), nil)
	}
	v.Groups = []askGroup{f.group("check", checkFields), points, more, f.group("when", checkWhen)}
	v.Faults = f.told(v.Groups)
	d, err := s.render("instruments.html", v)
	d.passing = true // it has a key for one check
	return d, err
}

// checks adds the instruments by their names, those with something amiss first.
func (v *instrumentsView) checks(ctx context.Context, s *site) error {
	var all []record.InstrumentCheck
	for after := ""; len(all) < checksRead; {
		page, err := s.config.Records.InstrumentChecks(ctx, record.Page{After: after, Limit: checksPart})
		if err != nil {
			return err
		}
		all = append(all, page...)
		if len(page) < checksPart {
			break
		}
		after = page[len(page)-1].ID
	}
	slices.SortStableFunc(all, func(a, b record.InstrumentCheck) int { return b.At().Compare(a.At().Time) })
	now := s.config.Records.Now()
	seen := map[string]bool{}
	for i, c := range all {
		if i < checksShown {
			v.Checks = append(v.Checks, checkRowOf(c, now))
		}
		key := strings.ToLower(strings.Join(strings.Fields(c.Instrument), " "))
		if seen[key] {
			continue
		}
		seen[key] = true
		newest, err := s.config.Records.ChecksAt(ctx, c.Instrument, now)
		if err != nil {
			return err
		}
		row := instrumentRow{Name: c.Instrument}
		for _, k := range newest {
			one := checkRowOf(k, now)
			if !one.Passed || one.Overdue {
				row.Bad++
			}
			row.Kinds = append(row.Kinds, one)
		}
		v.Items = append(v.Items, row)
	}
	v.More = len(all) > checksShown
	slices.SortStableFunc(v.Items, func(a, b instrumentRow) int {
		if (a.Bad > 0) != (b.Bad > 0) {
			return b.Bad - a.Bad
		}
		return strings.Compare(a.Name, b.Name)
	})
	return nil
}

func checkRowOf(c record.InstrumentCheck, now record.Instant) checkRow {
	row := checkRow{Instrument: c.Instrument, Kind: string(c.Kind), Reference: c.Reference, By: c.By, Notes: c.Notes, At: momentOf(c.At()), Passed: c.Passed}
	if c.NextDue != nil {
		row.Due = momentOf(*c.NextDue)
	}
	for _, w := range record.InstrumentWarnings([]record.InstrumentCheck{c}, now) {
		row.Overdue = row.Overdue || w.Code == record.CheckOverdueCode
	}
	for _, p := range c.Points {
		one := pointRow{Certified: plain(p.Certified), Limit: plain(p.Limit), Reading: plain(p.Reading)}
		if p.NM != nil {
			one.NM = plain(*p.NM)
		}
		one.Within = record.InstrumentCheckBody{Points: []record.CheckPoint{p}}.Within()
		row.Points = append(row.Points, one)
	}
	return row
}

// addCheck keeps a check.
func (s *site) addCheck(w http.ResponseWriter, r *http.Request) (document, error) {
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			root, at := checkBody(s.words, typed)
			body, err := decoded[record.InstrumentCheckBody](root)
			if err != nil {
				return "", at, err
			}
			_, err = s.release.AddCheck(r.Context(), body)
			return "/instruments", at, err
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.instrumentsAgain(r, typed, faults) },
	})
}

// checkBody is the form as a body of the interface. A row that nothing is typed in
// is left out; what a row lacks is asked for.
func checkBody(words *catalogue, typed url.Values) (map[string]any, places) {
	root, at := fieldsOf(checkFields, checkWhen).body(words, words.timed(typed, "checked_at", "next_due"))
	points := []any{}
	for i := range pointRows {
		point := map[string]any{}
		place := fmt.Sprintf("/points/%d", len(points))
		var here places
		for j, a := range pointFields(i) {
			here.add(place+"/"+pointEnds[j], a.name)
			if text := strings.TrimSpace(typed.Get(a.name)); text != "" {
				point[pointEnds[j]] = words.number(text)
			}
		}
		if len(point) == 0 {
			continue
		}
		at = append(at, here...)
		at.add(place, fmt.Sprintf("p%d_certified", i+1))
		points = append(points, point)
	}
	at.add("/points", "p1_certified")
	root["points"] = points
	return root, at
}
