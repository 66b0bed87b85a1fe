package pages

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
)

func newKey() string { return uuid.NewString() }

// specsView is the list of specifications.
type specsView struct {
	frame
	Items []specRow
	More  string // address of those after them
	Seen  bool   // others come before them
}

// specRow is a specification in its newest version.
type specRow struct {
	ID, Name, Product, ApprovedBy string
	Reference, Term               said
	Version                       int
	Shown                         cie.Screen
}

// afterField is the last one before those that an address asks for.
const afterField = "after"

// specs answers with the specifications.
func (s *site) specs(r *http.Request) (document, error) {
	after := r.URL.Query().Get(afterField)
	if after != "" && uuid.Validate(after) != nil {
		return document{}, errNothingHere
	}
	list, err := s.config.Records.Specs(r.Context(), record.Page{After: after, Limit: leafRows + 1})
	if err != nil {
		return document{}, err
	}
	v := specsView{frame: s.frame(r, "specs"), Seen: after != ""}
	if len(list) > leafRows {
		list = list[:leafRows]
		v.More = "/specs?" + url.Values{afterField: {list[leafRows-1].ID}}.Encode()
	}
	words := &saying{catalogue: s.words}
	for _, spec := range list {
		v.Items = append(v.Items, specRow{
			ID: spec.ID, Name: specName(spec), Product: spec.Product, Reference: words.reference(spec), Term: words.term(spec), ApprovedBy: spec.ApprovedBy,
			Version: spec.Version, Shown: figuresOf(referenceColour(spec)).Shown,
		})
	}
	if words.err != nil {
		return document{}, words.err
	}
	return s.render("specs.html", v)
}

// specName is what a specification is called, or its product where it has no name.
func specName(spec record.Spec) string {
	switch {
	case spec.Name != "":
		return spec.Name
	case spec.Product != "":
		return spec.Product
	}
	return spec.ID
}

// newSpecView is the form of a new specification.
type newSpecView struct {
	frame
	Form specAsked
}

func (s *site) newSpec(r *http.Request) (document, error) {
	return s.newSpecAgain(r, specUsual(), nil)
}

func (s *site) newSpecAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	form, err := s.specForm(r, typed, faults, nil)
	if err != nil {
		return document{}, err
	}
	form.Action = "/specs"
	d, err := s.render("specnew.html", newSpecView{s.frame(r, "specs"), form})
	d.passing = true // it has a key for one specification
	return d, err
}

// addSpec keeps a new specification.
func (s *site) addSpec(w http.ResponseWriter, r *http.Request) (document, error) {
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			body, at, err := specAskedFor(s.words, typed, nil)
			if err != nil {
				return "", at, err
			}
			added, err := s.release.AddSpec(r.Context(), body)
			return "/specs/" + added.ID, at, err
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.newSpecAgain(r, typed, faults) },
	})
}

func specAskedFor(words *catalogue, typed url.Values, kept *record.Spec) (asked record.SpecBody, at places, err error) {
	root, at, err := specBody(words, typed, kept)
	if err != nil {
		return asked, at, err
	}
	asked, err = decoded[record.SpecBody](root)
	return asked, at, err
}

// decoded is a form's body as the interface reads it.
func decoded[T calc.Request](root map[string]any) (out T, err error) {
	data, err := json.Marshal(root)
	if err != nil {
		return out, fmt.Errorf("pages: form: %w", err)
	}
	return calc.DecodeWhole[T](data)
}

// specVersions are all versions of the specification that an address names.
func (s *site) specVersions(ctx context.Context, id string) ([]record.Spec, error) {
	if uuid.Validate(id) != nil {
		return nil, record.ErrNotFound
	}
	return s.config.Records.SpecVersions(ctx, id)
}

// spec answers with the page of a specification.
func (s *site) spec(r *http.Request) (document, error) {
	versions, err := s.specVersions(r.Context(), r.PathValue("id"))
	if err != nil {
		return document{}, err
	}
	newest := versions[len(versions)-1]
	return s.specPage(r, versions, specTyped(newest), nil, newest.Version)
}

// addVersion keeps a new version, unless another came since the page was shown.
func (s *site) addVersion(w http.ResponseWriter, r *http.Request) (document, error) {
	versions, err := s.specVersions(r.Context(), r.PathValue("id"))
	if err != nil {
		return document{}, err
	}
	seenOf := func(typed url.Values) int {
		seen, err := strconv.Atoi(typed.Get("seen"))
		if err != nil || seen < 1 || seen > len(versions) {
			return versions[len(versions)-1].Version
		}
		return seen
	}
	id := versions[0].ID
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			seen := seenOf(typed)
			asked, at, err := specAskedFor(s.words, typed, &versions[seen-1])
			if err != nil {
				return "", at, err
			}
			added, err := s.release.AddVersion(r.Context(), id, int64(seen), asked)
			return "/specs/" + added.ID, at, err
		},
		again: func(typed url.Values, faults []note) (document, error) {
			// What came between is looked for now: it is what the sender is told of.
			versions, err := s.specVersions(r.Context(), id)
			if err != nil {
				return document{}, err
			}
			return s.specPage(r, versions, typed, faults, seenOf(typed))
		},
	})
}

// errOther is a version that the specification does not have.
var errOther = errors.New("there is no such version")

// versionAsked is the version that an address asks for, else the newest.
func versionAsked(versions []record.Spec, query url.Values) (record.Spec, error) {
	text := query.Get("version")
	if text == "" {
		return versions[len(versions)-1], nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > len(versions) {
		return record.Spec{}, fmt.Errorf("%w: %w", errNothingHere, errOther)
	}
	return versions[n-1], nil
}

// archiveSpec takes a specification out of lists; nothing is begun with it any more.
func (s *site) archiveSpec(w http.ResponseWriter, r *http.Request) (document, error) {
	id := r.PathValue("id")
	versions, err := s.specVersions(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	return s.takeForm(w, r, taking{
		take: func(url.Values) (string, places, error) {
			_, err := s.config.Records.ArchiveSpec(r.Context(), id)
			return "/specs/" + id, nil, err
		},
		again: func(_ url.Values, faults []note) (document, error) {
			newest := versions[len(versions)-1]
			return s.specPage(r, versions, specTyped(newest), faults, newest.Version)
		},
	})
}
