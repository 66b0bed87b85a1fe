package pages_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"
)

// TestBottlingByForm: a lot's page takes its bottling date later, keeps what was typed
// where something is wrong, and shows each record; a page that was overtaken is refused.
func TestBottlingByForm(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	issuedStatements(t, h, 1)
	var at string
	for _, id := range ids(t, h, "/v1/lots") {
		at = "/lots/" + id
	}
	answered := map[string]bool{}
	page := soundBeside(t, h, get(t, h, at).Body.String(), answered)
	says(t, text(page), "Correct the bottling date", "What stood before is kept")
	f := fields("lot_version", valueOf(page, "lot_version"), "bottled_at", "2026-03-11", "by", "Bea")
	refused := refusedForm(t, h, at+"/bottling", f, answered)
	if marked := atFault(refused); !slices.Contains(marked, "reason") || valueOf(refused, "bottled_at") != "2026-03-11" {
		t.Errorf("without a reason at fault are %v", marked)
	}
	if to := sendWell(t, h, at+"/bottling", changed(f, "reason", "the line stood <a day>")); to != at+"#bottling" {
		t.Errorf("it leads to %q", to)
	}
	says(t, text(soundBeside(t, h, get(t, h, at).Body.String(), answered)), "bottled 2026-03-11", "by Bea", "the line stood <a day>")
	w := sendForm(t, h, at+"/bottling", changed(f, "bottled_at", "2026-03-10", "reason", "no", "key", "another"))
	if said := text(parse(t, w.Body.String())); w.Code == http.StatusSeeOther || !strings.Contains(said, "The lot has moved on") {
		t.Errorf("from a page that was overtaken: status %d: %s", w.Code, said)
	}
}
