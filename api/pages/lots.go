package pages

import (
	"net/http"
	"net/url"

	"github.com/google/uuid"

	"pourpath/api/record"
	"pourpath/api/release"
)

// lotsView is the list of lots.
type lotsView struct {
	frame
	leaf[lotRow]
	Page string // which of the release's pages this is
}

// lotRow is one lot of the list.
type lotRow struct {
	ID, Name, Product string
	Bottled           moment // empty where it is not known
	Samples           int
	Verdict           string // newest; empty where nothing was judged
	Decision          string // newest; empty where there is none
	figures
}

// lots answers with the lots, the newest first.
func (s *site) lots(r *http.Request) (document, error) {
	shown, err := leafOf(r.URL, func(l release.LotAnswer) string { return l.ID },
		func(p record.Page) ([]release.LotAnswer, error) { return s.release.Lots(r.Context(), p) })
	if err != nil {
		return document{}, err
	}
	v := lotsView{frame: s.frame("lots"), Page: "lots", leaf: leaf[lotRow]{Older: shown.Older, Newer: shown.Newer}}
	for _, l := range shown.Items {
		row := lotRow{ID: l.ID, Name: l.Name, Product: l.Product, Samples: len(l.Samples)}
		if l.BottledAt != nil {
			row.Bottled = momentOf(*l.BottledAt)
		}
		if n := len(l.Samples); n > 0 {
			newest := l.Samples[n-1]
			row.Verdict, row.figures = newest.Verdict, figuresOf(&newest.Colour)
		}
		if l.Decision != nil {
			row.Decision = l.Decision.Decision
		}
		v.Items = append(v.Items, row)
	}
	return s.render("lots.html", v)
}

// lotFormView is the form that begins a lot.
type lotFormView struct {
	frame
	Page   string
	Key    string
	Groups []formGroup
	Faults []note
	Specs  bool // there are specifications
}

var lotFields = []sentField{
	{"name", "/name", aText}, {"spec", "/spec", aText}, {"product", "/product", aText}, {"bottled_at", "/bottled_at", aText}, {"storage", "/storage", aText}, {"notes", "/notes", aText},
}

func (s *site) lotForm(r *http.Request) (document, error) {
	return s.lotFormAgain(r, url.Values{"spec": r.URL.Query()["spec"]}, nil)
}

func (s *site) lotFormAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Newest: true, Limit: pickable})
	if err != nil {
		return document{}, err
	}
	v := lotFormView{frame: s.frame("lots"), Page: "lots", Key: uuid.NewString(), Specs: len(specs) > 0}
	if v.Faults, err = s.told(faults); err != nil {
		return document{}, err
	}
	v.Groups = []formGroup{{Fields: append(append(fieldsOf(typed, faults, "text", "name"), pickOf(typed, faults, "spec", specOptions(specs))),
		append(fieldsOf(typed, faults, "text", "product", "bottled_at", "storage"), fieldsOf(typed, faults, "area", "notes")...)...)}}
	v.Groups[0].Fields[3] = v.Groups[0].Fields[3].helped()
	return s.render("lotform.html", v)
}

// specOptions are specifications to choose from.
func specOptions(specs []record.Spec) []option {
	var out []option
	for _, spec := range specs {
		out = append(out, option{Value: spec.ID, Name: specName(spec)})
	}
	return out
}

// specName is what a specification is called, or the beginning of its identifier.
func specName(spec record.Spec) string {
	switch {
	case spec.Name != "":
		return spec.Name
	case spec.Product != "":
		return spec.Product
	}
	return spec.ID
}

// addLot begins a lot and leads to its page.
func (s *site) addLot(w http.ResponseWriter, r *http.Request) (document, error) {
	typed, err := posted(w, r)
	if err != nil {
		return document{}, err
	}
	m, err := s.once(typed, func() (made, error) {
		root, at := sent{fields: lotFields}.body(typed.Get)
		return sendBody(root, at, func(body record.LotBody) (string, error) {
			lot, err := s.release.AddLot(r.Context(), body)
			return "/lots/" + lot.ID, err
		})
	})
	if err != nil {
		return document{}, err
	}
	return answerForm(m, func(faults []note) (document, error) { return s.lotFormAgain(r, typed, faults) })
}
