package pages

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"golang.org/x/text/language"

	"pourpath/reports/sheet"
)

// languageField names the cookie and the form's field that hold the language.
const languageField = "language"

// languageKept is how long the choice of a language is kept, in s.
const languageKept = 365 * 24 * 60 * 60

// languages are the site once in each language.
type languages struct {
	sites    []*site // English first
	handlers []http.Handler
	matcher  language.Matcher
}

func newLanguages(english *site) (*languages, error) {
	l := &languages{}
	var tags []language.Tag
	for _, words := range english.catalogues {
		one, err := english.in(words)
		if err != nil {
			return nil, err
		}
		l.sites, l.handlers, tags = append(l.sites, one), append(l.handlers, one.routes()), append(tags, words.tag)
	}
	l.matcher = language.NewMatcher(tags)
	return l, nil
}

// ServeHTTP answers in the reader's language.
func (l *languages) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	l.handlers[l.of(r)].ServeHTTP(w, r)
}

// of is the language of a request: as was chosen, else as the browser wants, else
// English.
func (l *languages) of(r *http.Request) int {
	if chosen, err := r.Cookie(languageField); err == nil {
		if i := slices.IndexFunc(l.sites, func(s *site) bool { return s.words.code == chosen.Value }); i >= 0 {
			return i
		}
	}
	var known []string // one that is no language would spoil the others
	for one := range strings.SplitSeq(r.Header.Get("Accept-Language"), ",") {
		if _, _, err := language.ParseAcceptLanguage(one); err == nil {
			known = append(known, one)
		}
	}
	_, i := language.MatchStrings(l.matcher, strings.Join(known, ","))
	return i
}

// papers is the language to ask for documents in: the page's own, where they have it;
// empty for English.
func (c *catalogue) papers() string {
	if _, ok := sheet.In(c.code); ok && c.code != inEnglish {
		return c.code
	}
	return ""
}

// documents are the words of papers and of pictures: in the page's language, where there
// are any; else in English.
func (c *catalogue) documents() *sheet.Texts {
	texts, ok := sheet.In(c.code)
	if !ok {
		texts = sheet.English()
	}
	if c.tongue != nil {
		texts.Figures.Say = c.tongue.Say
	}
	return &texts
}

// languageChoice is a button of the foot.
type languageChoice struct {
	Code, Tag, Name string
	Here            bool
}

// choices are the languages to choose from.
func (s *site) choices() []languageChoice {
	var out []languageChoice
	for _, c := range s.catalogues {
		out = append(out, languageChoice{Code: c.code, Tag: c.tag.String(), Name: c.Writing.Name, Here: c == s.words})
	}
	return out
}

// choose keeps the language that was chosen and leads back to where it was.
func (s *site) choose(w http.ResponseWriter, r *http.Request) (document, error) {
	r.Body = http.MaxBytesReader(w, r.Body, longestForm)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	code := r.PostForm.Get(languageField)
	if !slices.ContainsFunc(s.catalogues, func(c *catalogue) bool { return c.code == code }) {
		return document{}, errUnreadable
	}
	http.SetCookie(w, &http.Cookie{
		Name: languageField, Value: code, Path: "/", MaxAge: languageKept, HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: r.TLS != nil,
	})
	return document{status: http.StatusSeeOther, to: s.words.portableAddress(within(r.PostForm.Get("to")))}, nil
}

// within is an address of this site; one that leads elsewhere is that of the first
// page.
func within(address string) string {
	to, err := url.Parse(address)
	if err != nil || to.Scheme != "" || to.Host != "" || to.User != nil || !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || strings.ContainsAny(address, "\\\x00\r\n\t") {
		return "/"
	}
	return to.String()
}
