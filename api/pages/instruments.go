package pages

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// instrumentsView is what is known of the instruments' checks.
type instrumentsView struct {
	frame
	Page   string
	Key    string
	Items  []checkRow
	Groups []formGroup
	Faults []note
}

// checkRow is a check of an instrument.
type checkRow struct {
	Instrument, Reference, By string
	Kind                      record.CheckKind
	At, Due                   moment
	Passed, Overdue           bool
	Points                    []string
}

// pointsOfForm is how many points a check has on the form; the interface takes
// more.
const pointsOfForm = 3

var checkFields = []sentField{
	{"instrument", "/instrument", aText}, {"kind", "/kind", aText}, {"reference_note", "/reference", aText}, {"checked_at", "/checked_at", aText},
	{"checked_by", "/by", aText}, {"next_due", "/next_due", aText},
}

func (s *site) instruments(r *http.Request) (document, error) {
	return s.instrumentsAgain(r, url.Values{}, nil)
}

func (s *site) instrumentsAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	checks, err := s.config.Records.InstrumentChecks(r.Context(), record.Page{Limit: mostChecks})
	if err != nil {
		return document{}, err
	}
	v := instrumentsView{frame: s.frame("lots"), Page: "instruments", Key: uuid.NewString()}
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	now := s.config.Records.Now()
	newest := map[string]bool{}
	for _, c := range slices.Backward(checks) {
		row := checkRow{Instrument: c.Instrument, Reference: c.Reference, By: c.By, Kind: c.Kind, At: momentOf(c.At()), Passed: c.Passed}
		of := strings.ToLower(strings.Join(strings.Fields(c.Instrument), " ")) + " " + string(c.Kind)
		if c.NextDue != nil {
			row.Due = momentOf(*c.NextDue)
			row.Overdue = !newest[of] && c.Overdue(now)
		}
		newest[of] = true
		for _, p := range c.Points {
			at := ""
			if p.NM != nil {
				at = plain(*p.NM) + " nm: "
			}
			row.Points = append(row.Points, fmt.Sprintf("%s%s (%s ± %s)", at, plain(p.Reading), plain(p.Certified), plain(p.Limit)))
		}
		v.Items = append(v.Items, row)
	}
	v.Groups = []formGroup{{"check", append(append(fieldsOf(typed, faults, "text", "instrument"), choiceOf(typed, faults, "kind", "filter", "dye", "blank", "stray_light", "wavelength")),
		append(fieldsOf(typed, faults, "text", "reference_note", "checked_by"), fieldsOf(typed, faults, "text", "checked_at", "next_due")...)...)}}
	for i := range pointsOfForm {
		v.Groups = append(v.Groups, formGroup{"point", fieldsOf(typed, faults, "decimal", pointFields(i)...)})
	}
	return s.render("instruments.html", v)
}

// mostChecks is how many checks the page shows.
const mostChecks = 1000

func pointFields(i int) []string {
	return []string{fmt.Sprintf("nm_%d", i+1), fmt.Sprintf("certified_%d", i+1), fmt.Sprintf("limit_%d", i+1), fmt.Sprintf("reading_%d", i+1)}
}

// addCheck keeps a check and leads back to the list.
func (s *site) addCheck(w http.ResponseWriter, r *http.Request) (document, error) {
	typed, err := posted(w, r)
	if err != nil {
		return document{}, err
	}
	m, err := s.once(typed, func() (made, error) {
		root, at := sent{fields: checkFields}.body(typed.Get)
		points := []any{}
		for i := range pointsOfForm {
			names := pointFields(i)
			point, places := sent{fields: []sentField{{names[0], "/nm", aNumber}, {names[1], "/certified", aNumber}, {names[2], "/limit", aNumber}, {names[3], "/reading", aNumber}}}.body(typed.Get)
			here := fmt.Sprintf("/points/%d", len(points))
			if len(point) == 0 && i > 0 {
				continue
			}
			for _, p := range places {
				at.add(here+p.pointer, p.field)
			}
			points = append(points, point)
		}
		root["points"] = points
		return sendBody(root, at, func(body record.InstrumentCheckBody) (string, error) {
			_, err := s.release.AddCheck(r.Context(), body)
			return "/instruments", err
		})
	})
	if err != nil {
		return document{}, err
	}
	return answerForm(m, func(faults []note) (document, error) { return s.instrumentsAgain(r, typed, faults) })
}
