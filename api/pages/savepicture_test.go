package pages_test

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"mime"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestSavedPictures: each picture of the pages can be saved as SVG and as PNG, as a
// file that is called after what it shows.
func TestSavedPictures(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	chartedLots(t, h, 28)
	issuedStatements(t, h, 1)
	agedLots(t, poster(t, h))
	judged, _ := judgedLot(t, h)
	for _, c := range []struct {
		address string
		names   []string
	}{
		{"/?red_dose=12", []string{"ladder-White-tank-5-Red-barrel-7"}},
		{demoTrial(t, h), []string{"ladder-Spring-rosé"}},
		{"/charts?points=5&quantity=L&of=" + url.QueryEscape("product:House & co"), []string{"individuals-L-of-House-co", "ewma-L-of-House-co", "t2-L-a-b-together-of-House-co", "plane-Colour-of-House-co"}},
		{"/drift?product=House+ros%C3%A9", []string{"drift-House-rosé-12-C"}},
		{judged, []string{"tolerance-L-31"}},
		{"/statements/1", []string{"tolerance-statement-1"}},
	} {
		page := get(t, h, c.address).Body.String()
		var links, names []string
		for n := range parse(t, page).Descendants() {
			if name := attribute(n, "download"); strings.HasSuffix(name, ".svg") || strings.HasSuffix(name, ".png") {
				links, names = append(links, attribute(n, "href")), append(names, name)
			}
		}
		var want []string
		for _, name := range c.names {
			want = append(want, name+".svg", name+".png")
		}
		if strings.Join(names, " ") != strings.Join(want, " ") {
			t.Errorf("%s: pictures are saved as %q, want %q", c.address, names, want)
		}
		for i, link := range links {
			w := get(t, h, link)
			_, disposition, err := mime.ParseMediaType(w.Header().Get("Content-Disposition"))
			if w.Code != http.StatusOK || err != nil || disposition["filename"] != names[i] {
				t.Fatalf("%s: status %d, saved as %q (%v), want %q", link, w.Code, disposition["filename"], err, names[i])
			}
			if strings.HasSuffix(names[i], ".png") {
				picture, err := png.DecodeConfig(w.Body)
				if err != nil || picture.Width != 2126 || w.Header().Get("Content-Type") != "image/png" {
					t.Errorf("%s: %d px wide, %v, want 180 mm at 300 dots per inch", link, picture.Width, err)
				}
				continue
			}
			var drawing struct {
				XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
				Title   string   `xml:"title"`
			}
			body := w.Body.Bytes()
			if err := xml.Unmarshal(body, &drawing); err != nil || drawing.Title == "" || bytes.Contains(body, []byte(" style=")) || len(body) > 300_000 {
				t.Errorf("%s: title %q, %d bytes, %v", link, drawing.Title, len(body), err)
			}
		}
	}
}

// judgedLot adds a lot with a sample by the pages' forms, and one without.
func judgedLot(t *testing.T, h http.Handler) (judged, unjudged string) {
	t.Helper()
	id := strings.TrimPrefix(sendWell(t, h, "/specs", specFields()), "/specs/")
	judged, unjudged = sendWell(t, h, "/lots", fields("name", "L-31", "lot_spec", id)), sendWell(t, h, "/lots", fields("name", "L-32", "lot_spec", id))
	sendWell(t, h, judged+"/samples", sampleFields("taken_at", ""))
	return judged, unjudged
}

// TestSavedPicturesNone: what cannot be drawn is not there, and is no fault of the
// program.
func TestSavedPicturesNone(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	judged, unjudged := judgedLot(t, h)
	const none = "00000000-0000-0000-0000-000000000000"
	for _, address := range []string{
		"/charts/individuals/picture.svg", "/charts/individuals/picture.png?of=product:none", "/charts/cake/picture.svg?of=product:none", "/charts/ewma/picture.svg?of=product:x&points=soon",
		"/drift/picture.svg?product=none", judged + "/tolerance.svg", judged + "/tolerance.svg?verdict=" + none, unjudged + "/tolerance.png?verdict=x",
		"/lots/x/tolerance.svg", "/statements/9/tolerance.svg", "/statements/x/tolerance.png", "/trials/" + none + "/ladder.png",
	} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", address, w.Code)
		}
	}
}

// TestPicturesInLanguages: a picture has the words of the page that it stands on, and so
// has the one that is saved.
func TestPicturesInLanguages(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	chartedLots(t, h, 28)
	issuedStatements(t, h, 1)
	agedLots(t, poster(t, h))
	judged, _ := judgedLot(t, h)
	trial := demoTrial(t, h)
	red := "/wines/" + ids(t, h, "/v1/wines")["Red, barrel 7"]
	for _, c := range []struct{ page, picture, fr, es string }{
		{"/", "/preview/ladder.svg?red_dose=12", "Tracé de la couleur", "Trayectoria del color"},
		{trial, trial + "/ladder.svg", "Clarté", "Claridad"},
		{"/charts?points=5&quantity=L&of=" + url.QueryEscape("product:House & co"), "/charts/individuals/picture.svg?points=5&quantity=L&of=" + url.QueryEscape("product:House & co"), "Étendue mobile", "Rango móvil"},
		{"/drift?product=House+ros%C3%A9", "/drift/picture.svg?product=House+ros%C3%A9&storage=12+%C2%B0C", "Jours depuis la mise en bouteille", "Días desde el embotellado"},
		{judged, "", "chaque ligne a sa propre échelle", "cada fila tiene su propia escala"},
		{"/statements/1", "/statements/1/tolerance.svg", "Place du lot dans sa tolérance", "Posición del lote en su tolerancia"},
		{red, red + "/spectrum.svg", "Longueur d’onde, nm", "Longitud de onda, nm"},
		{red, red + "/history.svg", "Date de la mesure, UTC", "Fecha de la lectura, UTC"},
	} {
		for code, want := range map[string]string{"fr": c.fr, "es": c.es} {
			page := in(t, h, code, c.page).Body.String()
			if strings.Contains(page, "<svg lang=") {
				t.Errorf("%s in %s: a picture is marked as another language's", c.page, code)
			}
			for place, body := range map[string]string{c.page: page, c.picture: in(t, h, code, c.picture).Body.String()} {
				drawnHere := place == c.picture || strings.Contains(page, "<desc>") // the preview's and the bench's are at their own address
				if place != "" && drawnHere && !strings.Contains(body, want) {
					t.Errorf("%s in %s does not say %q", place, code, want)
				}
			}
		}
	}
}
