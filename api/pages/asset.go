package pages

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"path"
	"strings"
)

// assets are the embedded files that pages refer to. Each is served under a name
// that has a part of its checksum in it, so that a browser may keep it for ever.
type assets struct {
	paths map[string]string // by the file's own name
	files map[string]document
}

// assetTypes are the files and what they are.
var assetTypes = map[string]string{
	"page.css":     "text/css; charset=utf-8",
	"bench.css":    "text/css; charset=utf-8",
	"bench.js":     "text/javascript; charset=utf-8",
	"find.js":      "text/javascript; charset=utf-8",
	"copy.js":      "text/javascript; charset=utf-8",
	"charts.css":   "text/css; charset=utf-8",
	"release.css":  "text/css; charset=utf-8",
	"page.js":      "text/javascript; charset=utf-8",
	"worker.js":    "text/javascript; charset=utf-8",
	"wine.css":     "text/css; charset=utf-8",
	"favicon.svg":  "image/svg+xml",
	"import.css":   "text/css; charset=utf-8",
	"import.js":    "text/javascript; charset=utf-8",
	"judging.css":  "text/css; charset=utf-8",
	"judging.js":   "text/javascript; charset=utf-8",
	"panel.css":    "text/css; charset=utf-8",
	"register.css": "text/css; charset=utf-8",
	"devices.css":  "text/css; charset=utf-8",
}

func readAssets() (*assets, error) {
	a := &assets{paths: map[string]string{}, files: map[string]document{}}
	for name, mediaType := range assetTypes {
		body, err := files.ReadFile("assets/" + name)
		if err != nil {
			return nil, fmt.Errorf("pages: asset: %w", err)
		}
		sum := sha256.Sum256(body)
		extension := path.Ext(name)
		at := "/assets/" + strings.TrimSuffix(name, extension) + "." + hex.EncodeToString(sum[:6]) + extension
		a.paths[name] = at
		a.files[at] = document{mediaType: mediaType, body: body, forever: true}
	}
	return a, nil
}

// path is the address of a file, for templates.
func (a *assets) path(name string) (string, error) {
	at, ok := a.paths[name]
	if !ok {
		return "", fmt.Errorf("pages: there is no asset %q", name)
	}
	return at, nil
}

// file answers with an asset. Where there is none nothing is shown, as judges come by here
// too, whom no page of the cellar is for.
func (a *assets) file(r *http.Request) (document, error) {
	d, ok := a.files[r.URL.Path]
	if !ok {
		return document{status: http.StatusNotFound, mediaType: "text/plain; charset=utf-8", passing: true}, nil
	}
	return d, nil
}

// worker is what keeps the pages of trials while the service cannot be reached. It
// stands below them, as a browser asks, under a name that stays.
func (a *assets) worker(*http.Request) (document, error) {
	d := a.files[a.paths["worker.js"]]
	d.forever = false
	return d, nil
}

// icon answers browsers that ask for the icon without being told where it is.
func (a *assets) icon(*http.Request) (document, error) {
	d := a.files[a.paths["favicon.svg"]]
	d.forever = false
	return d, nil
}
