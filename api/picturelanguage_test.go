package api

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"

	"pourpath/api/calc"
)

// TestPictureLanguages: the words of a picture in the language that is asked for,
// English where none is.
func TestPictureLanguages(t *testing.T) {
	r := newRecorder(t)
	chartedLots(r, 2)
	rng, spec := rand.New(rand.NewPCG(3, 5)), r.house()
	for i := range 3 {
		r.simulated(rng, spec, fmt.Sprintf("D-%02d", i), "", 1, readDays)
	}
	for _, c := range []struct {
		call call
		says map[string]string
	}{
		{call{path: "/v1/ladder/plot?language=", body: calc.ExampleLadder}, map[string]string{"": "Colour path", "en": "Colour path", "fr": "Tracé de la couleur", "es": "Trayectoria del color"}},
		{call{method: http.MethodGet, path: "/v1/charts?product=House&kind=plane&language="}, map[string]string{"": "Colour of House", "en": "Colour of House", "fr": "Couleur\u202f: House", "es": "Color: House"}},
		{call{method: http.MethodGet, path: "/v1/drift/plot?product=House+ros%C3%A9&language="}, map[string]string{"": "How the colour drifts: House rosé", "en": "Days since bottling", "fr": "Jours depuis la mise en bouteille", "es": "Días desde el embotellado"}},
	} {
		for language, want := range c.says {
			one := c.call
			one.path += language
			one.header = accept("image/svg+xml")
			w := do(r.service, one)
			if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), want) {
				t.Errorf("%s: status %d, does not say %q: %.300s", one.path, w.Code, want, w.Body)
			}
			if ok, errs := r.document.ValidateHttpRequest(one.request()); !ok {
				t.Errorf("%s: the document does not allow it: %v", one.path, errs)
			}
		}
		c.call.path += "xx"
		c.call.header = accept("image/svg+xml")
		w := do(r.service, c.call)
		if p := problemOf(t, w); w.Code != http.StatusUnprocessableEntity || len(p.Errors) != 1 || p.Errors[0].Message != "language: want en, fr or es" {
			t.Errorf("%s: status %d, %+v", c.call.path, w.Code, p)
		}
	}
}
