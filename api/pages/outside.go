package pages

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/http"
	"strings"

	"pourpath/api/access"
)

// Whoever is not paired gets no style sheet, as nothing of the service is answered to
// them: their pages carry their style in themselves, which the policy for contents
// allows by its checksum alone.

// outsideView is a page for whoever is not paired, or is about to be.
type outsideView struct {
	Kind   string
	Style  template.CSS
	Name   string // as it was typed, where it is at fault
	Faulty bool
	Plain  bool // others can read along
}

// outsideStyle is the style of these pages, and the policy that allows it.
type outsideStyle struct {
	css    template.CSS
	policy string
}

func readOutsideStyle() (outsideStyle, error) {
	css, err := files.ReadFile("assets/outside.css")
	if err != nil {
		return outsideStyle{}, fmt.Errorf("pages: style of the pages outside: %w", err)
	}
	sum := sha256.Sum256(css)
	return outsideStyle{
		css:    template.CSS(css), //nolint:gosec // a file of the program
		policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
	}, nil
}

// outsidePage is a page for whoever is not paired.
func (s *site) outsidePage(w http.ResponseWriter, status int, view outsideView) (document, error) {
	view.Style = s.outside.css
	d, err := s.render("outside.html", view)
	if err != nil {
		return d, err
	}
	w.Header().Set("Content-Security-Policy", s.outside.policy)
	d.status, d.passing = status, true
	return d, nil
}

// refusals are the pages of whoever is refused, by status.
var refusals = map[int]string{
	http.StatusUnauthorized:    "unpaired",
	http.StatusForbidden:       "local",
	http.StatusTooManyRequests: "wait",
}

// Refused implements Pages.
func (l *languages) Refused(w http.ResponseWriter, r *http.Request, status int) {
	s := l.sites[l.of(r)]
	s.answerWriter(func(w http.ResponseWriter, _ *http.Request) (document, error) {
		kind := refusals[status]
		if status == http.StatusUnauthorized && (r.URL.Path == access.JudgingPage || strings.HasPrefix(r.URL.Path, judgePage)) {
			kind = "judge_unknown" // a judge has nothing to pair
		}
		return s.outsidePage(w, status, outsideView{Kind: kind})
	})(w, r)
}
