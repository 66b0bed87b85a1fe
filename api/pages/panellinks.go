package pages

import (
	"net/http"
	"time"

	"github.com/google/uuid"
	lru "github.com/hashicorp/golang-lru/v2/expirable"

	"pourpath/api/panel"
	"pourpath/api/record"
)

// linksHeld is how long judges' links can be shown after they were made. They are in
// this program's memory alone, as only the hashes of their keys are stored: judges come
// to the screen one after another, and a page that shows them for one answer only is
// lost by a second press.
const linksHeld = time.Hour

// mostLinks is of how many panels links are held.
const mostLinks = 100

// heldLinks are judges' links that were just made, by panel.
type heldLinks struct {
	byPanel *lru.LRU[string, []panel.JudgeLink]
}

func newHeldLinks() heldLinks {
	return heldLinks{lru.NewLRU[string, []panel.JudgeLink](mostLinks, nil, linksHeld)}
}

// hold adds links of a panel; a judge's new one takes the place of the old.
func (h heldLinks) hold(id string, links []panel.JudgeLink) {
	before, _ := h.byPanel.Get(id)
	var all []panel.JudgeLink
	for _, l := range before {
		renewed := false
		for _, n := range links {
			renewed = renewed || n.Judge == l.Judge
		}
		if !renewed {
			all = append(all, l)
		}
	}
	h.byPanel.Add(id, append(all, links...))
}

// linksView shows judges' links.
type linksView struct {
	frame
	ID, Name string
	Closed   bool
	Reached  bool // other machines reach the service
	Minutes  int
	Items    []linkRow
}

// linkRow is the link of one judge.
type linkRow struct {
	Judge, Name, Link, Path string
	Handed                  bool
}

// panelLinks shows the links that were made within the last hour. It has neither codes
// nor glasses on it, so that judges may look at it.
func (s *site) panelLinks(r *http.Request) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	v := linksView{frame: s.frame(r, "trials"), ID: p.ID, Name: s.panelName(p), Closed: p.Closing != nil, Minutes: int(linksHeld.Minutes())}
	base, reached := s.linkBase(r)
	v.Reached = reached
	held, _ := s.links.byPanel.Get(p.ID)
	for _, l := range held {
		row := linkRow{Judge: l.Judge, Name: l.Name, Link: base + l.Path, Path: l.Path}
		for _, j := range p.Judges {
			row.Handed = row.Handed || j.ID == l.Judge && j.HandedInAt != nil
		}
		v.Items = append(v.Items, row)
	}
	d, err := s.render("panellinks.html", v)
	d.passing = true
	return d, err
}

// linkBase is what judges' links begin with, and whether other machines reach it.
func (s *site) linkBase(r *http.Request) (base string, reached bool) {
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	return scheme + r.Host, false
}

// renewLink gives a judge another link; the old one opens nothing any more.
func (s *site) renewLink(_ http.ResponseWriter, r *http.Request) (document, error) {
	id, judge := r.PathValue("id"), r.PathValue("judge")
	if uuid.Validate(id) != nil || uuid.Validate(judge) != nil {
		return document{}, record.ErrNotFound
	}
	made, err := s.panel.Link(r.Context(), id, judge)
	if err != nil {
		return s.panelRefused(r, "link", nil, err, nil)
	}
	s.links.hold(id, []panel.JudgeLink{made})
	return document{status: http.StatusSeeOther, to: "/panels/" + id + "/links#judge-" + judge}, nil
}
