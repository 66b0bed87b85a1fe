package pages

import (
	"net/http"
	"slices"
)

// releasePlaces are the pages of the release check, as frame.Here names them.
var releasePlaces = []string{"lots", "specs", "charts", "drift", "statements", "instruments"}

// Releasing reports whether the page is one of the release check.
func (f frame) Releasing() bool { return slices.Contains(releasePlaces, f.Here) }

// releaseRoutes are the pages of the release check.
func (s *site) releaseRoutes(mux *http.ServeMux) {
	for path, page := range map[string]func(*http.Request) (document, error){
		"/specs": s.specs, "/specs/new": s.newSpec, "/specs/{id}": s.spec,
		"/lots": s.lots, "/lots/new": s.newLot, "/lots/{id}": s.lot,
		"/instruments": s.instruments, "/charts": s.charts, "/drift": s.drift, "/drift/lots": s.driftLots,
		"/statements": s.statements, "/statements/{no}": s.statement,
	} {
		mux.HandleFunc("GET "+path, s.answer(page))
	}
	for path, picture := range map[string]func(*http.Request) (document, error){
		"/charts/{kind}/picture": s.chartPicture, "/drift/picture": s.driftPicture,
		"/lots/{id}/tolerance": s.lotPicture, "/statements/{no}/tolerance": s.statementPicture,
	} {
		s.pictureRoutes(mux, path, picture)
	}
	for path, take := range map[string]func(http.ResponseWriter, *http.Request) (document, error){
		"/specs": s.addSpec, "/specs/{id}": s.addVersion, "/specs/{id}/archive": s.archiveSpec, "/lots": s.addLot, "/lots/{id}/{what}": s.sendLot, "/instruments": s.addCheck,
	} {
		mux.HandleFunc("POST "+path, s.answerWriter(take))
	}
}
