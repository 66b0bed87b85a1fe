package pages

import "net/http"

// help answers with a page that is words alone: the method, or the cautions.
func (s *site) help(name string) func(*http.Request) (document, error) {
	return func(r *http.Request) (document, error) { return s.render(name+".html", s.frame(r, name)) }
}
