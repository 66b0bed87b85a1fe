package pages

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"sync"
	"time"

	"github.com/google/uuid"
	lru "github.com/hashicorp/golang-lru/v2/expirable"

	"pourpath/api/access"
	"pourpath/api/panel"
	"pourpath/api/qrcode"
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
	mu      sync.Mutex // between looking for a panel's links and adding to them
	byPanel *lru.LRU[string, []panel.JudgeLink]
}

func newHeldLinks() *heldLinks {
	return &heldLinks{byPanel: lru.NewLRU[string, []panel.JudgeLink](mostLinks, nil, linksHeld)}
}

// hold adds links of a panel; a judge's new one takes the place of the old.
func (h *heldLinks) hold(id string, links []panel.JudgeLink) {
	h.mu.Lock()
	defer h.mu.Unlock()
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

// linksOf are the links of a panel that are held and still open something: the command or the
// interface may have given a judge another one since.
func (s *site) linksOf(ctx context.Context, id string) (good []panel.JudgeLink, err error) {
	held, _ := s.links.byPanel.Get(id)
	for _, l := range held {
		hash, _ := access.Hash(l.Key) // it is a key
		_, known, err := s.panel.JudgeOf(ctx, hash)
		if err != nil {
			return nil, err
		}
		if known {
			good = append(good, l)
		}
	}
	return good, nil
}

// linksView shows judges' links.
type linksView struct {
	frame
	ID, Name string
	Closed   bool
	Open     bool // other machines reach the service
	Minutes  int
	Bases    []option // what links may begin with
	Items    []linkRow
	Judges   []panelJudge // who can be given another link, as none is held
}

// linkRow is the link of one judge.
type linkRow struct {
	Judge, Name string
	pairWay
	To     string // below the service
	Handed bool
	First  bool // of those who have not handed in
}

// linkBaseField is which of the machine's addresses links begin with.
const linkBaseField = "by"

// panelLinks shows the links that were made within the last hour. It has neither codes
// nor glasses on it, so that judges may look at it.
func (s *site) panelLinks(r *http.Request) (document, error) {
	p, err := s.panelOf(r)
	if err != nil {
		return document{}, err
	}
	v := linksView{frame: s.frame(r, "trials"), ID: p.ID, Name: s.panelName(p), Closed: p.Closing != nil, Open: s.config.Listening.Open(), Minutes: int(linksHeld.Minutes())}
	base := v.bases(r, s.config.Listening)
	handed := map[string]bool{}
	for _, j := range p.Judges {
		handed[j.ID] = j.HandedInAt != nil
	}
	first := true
	held, err := s.linksOf(r.Context(), p.ID)
	if err != nil {
		return document{}, err
	}
	for _, l := range held {
		row := linkRow{Judge: l.Judge, Name: l.Name, pairWay: pairWay{Link: base + l.Path}, To: l.Path, Handed: handed[l.Judge]}
		row.First, first = first && !row.Handed, first && row.Handed
		code, err := qrcode.New(row.Link)
		if err != nil {
			return document{}, err
		}
		row.Path, row.Side = code.Path(), code.Side()
		v.Items = append(v.Items, row)
	}
	for _, j := range p.Judges {
		shown := slices.ContainsFunc(held, func(l panel.JudgeLink) bool { return l.Judge == j.ID })
		if !shown && !handed[j.ID] {
			v.Judges = append(v.Judges, panelJudge{ID: j.ID, Name: j.Name})
		}
	}
	d, err := s.render("panellinks.html", v)
	d.passing = true
	return d, err
}

// bases are what links may begin with, and the one that they do: the likeliest, or the
// one that the address asks for.
func (v *linksView) bases(r *http.Request, at access.Listening) string {
	all := at.Bases(r.Context())
	if len(all) == 0 {
		own := url.URL{Scheme: "http", Host: r.Host}
		if r.TLS != nil {
			own.Scheme = "https"
		}
		return own.String()
	}
	chosen := all[0]
	if asked := r.URL.Query().Get(linkBaseField); slices.Contains(all, asked) {
		chosen = asked
	}
	for _, base := range all {
		v.Bases = append(v.Bases, option{Value: base, Chosen: base == chosen})
	}
	return chosen
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
