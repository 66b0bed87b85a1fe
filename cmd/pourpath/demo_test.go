package main

import (
	"encoding/json"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// plainText is a page without its markup, with single spaces.
func plainText(page string) string {
	bare := regexp.MustCompile(`(?s)<script.*?</script>|<[^>]*>`).ReplaceAllString(page, " ")
	return strings.Join(strings.Fields(html.UnescapeString(bare)), " ")
}

// namedIDs are the identifiers of what is listed at an address, by name.
func namedIDs(t *testing.T, address string) map[string]string {
	t.Helper()
	status, body := get(t, address)
	var list struct{ Items []struct{ ID, Name string } }
	if err := json.Unmarshal([]byte(body), &list); err != nil || status != http.StatusOK {
		t.Fatalf("%s: %d, %v", address, status, err)
	}
	out := map[string]string{}
	for _, one := range list.Items {
		out[one.Name] = one.ID
	}
	return out
}

// TestDemoHasWorkInIt: each kind of page has something to show, computed from what
// is stored, and says that none of it is real.
func TestDemoHasWorkInIt(t *testing.T) {
	address, told, stop := started(t, "demo")
	defer func() {
		if exit := stop(); exit != 0 {
			t.Errorf("exit %d", exit)
		}
	}()
	trials, lots, specs := namedIDs(t, address+"/v1/trials"), namedIDs(t, address+"/v1/lots?limit=1000"), namedIDs(t, address+"/v1/specs")
	if len(trials) != 3 || len(lots) != 26 || len(specs) != 1 {
		t.Fatalf("%d trials, %d lots, %d specifications, want 3, 26 and 1, as %q says", len(trials), len(lots), len(specs), told)
	}
	closed, open := namedIDs(t, address+"/v1/trials/"+trials["House rosé"]+"/panels"), namedIDs(t, address+"/v1/trials/"+trials["Deep rosé"]+"/panels")
	of := url.Values{"of": {"product:House rosé 750 mL"}}
	for _, c := range []struct {
		path string
		says []string
	}{
		{"/", []string{"White, tank 5", "Last year's rosé", "Closest"}},
		{"/wines", []string{"White, tank 1", "White, tank 5", "Red, barrel 7"}},
		{"/trials", []string{"House rosé", "Deep rosé", "Spring rosé", "chosen: 6.00 mL per 100 mL of base"}},
		{"/trials/" + trials["Spring rosé"], []string{"Recalibrated to 1 rung", "a sip", "Closest to the target", "Make the plan"}},
		{"/trials/" + trials["House rosé"], []string{"Recalibrated to 3 rungs", "Put first by the panel", "It stayed clear", "8 of 8 judges have handed in"}},
		{"/trials/" + trials["Deep rosé"], []string{"Deep rosé, four doses", "3 of 6 judges have handed in"}},
		{"/panels/" + closed["House rosé, five doses"], []string{"Dose liked most", "95 % interval", "The glasses differ", "glass D"}},
		{"/panels/" + open["Deep rosé, four doses"], []string{"3 of 6 judges have handed in", "Judge 6"}},
		{"/specs", []string{"House rosé", "House rosé 750 mL"}},
		{"/specs/" + specs["House rosé"], []string{"Rowan, quality", "ΔE00"}},
		{"/lots", []string{"HR-26", "HR-01", "Within", "Cannot tell", "Outside", "Released", "Held", "Rejected", "Not decided"}},
		{"/lots/" + lots["HR-01"], []string{"Within specification", "Middle of the run", "Retained bottle"}},
		{"/lots/" + lots["HR-16"], []string{"Outside specification", "had browned"}},
		{"/lots/" + lots["HR-21"], []string{"Held by Rowan, quality", "probability"}},
		{"/charts", []string{"House rosé 750 mL"}},
		{"/charts?quantity=L&" + of.Encode(), []string{"Lots 26", "Capability", "Cpk", "HR-16"}},
		{"/charts?quantity=tint&" + of.Encode(), []string{"the process is not steady", "HR-16"}},
		{"/drift", []string{"12 °C, screw cap", "5 lots with", "A520: −"}},
		{"/drift/lots", []string{"Lots about to leave their specification", "HR-16", "lots more are likelier to stay"}},
		{"/statements", []string{"HR-11", "HR-24"}},
		{"/statements/1", []string{"HR-11", "bench 2"}},
		{"/instruments", []string{"bench 2", "Passed"}},
	} {
		status, page := get(t, address+c.path)
		if status != http.StatusOK {
			t.Errorf("%s: status %d", c.path, status)
			continue
		}
		text := plainText(page)
		for _, want := range append(c.says, "This cellar is invented") {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q", c.path, want)
			}
		}
	}
}
