//go:build browser

package pages_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// judging is a judge with a phone.
type judging struct {
	*hand
	t    *testing.T
	name string
}

// looksAt is the judge's page: alike in both modes, easy to press, without complaint,
// and with nothing on it that leads elsewhere.
func (j judging) looksAt(checker string) {
	j.t.Helper()
	for _, mode := range []string{"light", "dark"} {
		j.do(called(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: mode}}}))
		j.narrow()
		for _, found := range violations(j.visit, checker) {
			j.t.Errorf("%s: %s", mode, found)
		}
	}
	j.visit.pressable(24, "a[href], button, input, select, textarea, summary")
	j.visit.pressable(48, "main button, .ranks input, .glasses-judged input:not([type=radio])")
	if links := evaluated[[]string](j.visit, `[...document.querySelectorAll("body a[href]")].map((a) => a.getAttribute("href")).filter((to) => !to.startsWith("#"))`); len(links) > 0 {
		j.t.Errorf("a judge's page leads to %v", links)
	}
}

// begins opens a link and presses the one button there is.
func (j judging) begins(link string) (codes []string) {
	j.t.Helper()
	j.do(chromedp.Navigate(j.base + link)) // without script nothing is waited for by frames
	j.until("what the link leads to", `document.readyState === "complete" && document.querySelector("button") !== null`)
	if all := evaluated[int](j.visit, `document.querySelectorAll("a, button, input, select, textarea").length`); all != 1 {
		j.t.Fatalf("behind the link there are %d things to press, want one", all)
	}
	j.choose("Begin")
	j.until("the judge's page", `location.pathname === "/judging" && document.readyState === "complete"`)
	j.says("Judge: "+j.name, "Before you look", "Which colour do you like most?")
	return codesOf(evaluated[string](j.visit, `document.body.innerHTML`))
}

// ranks gives the glasses their ranks by thumb: with the script by tapping them in
// order, else by a button for each rank.
func (j judging) ranks(order []string) {
	j.t.Helper()
	for i, code := range order {
		if j.sight.noScript {
			j.tapAt("rank "+code, fmt.Sprintf(`e.name === "rank-%s" && e.value === "%d"`, code, i+1))
			j.until("the rank of "+code, fmt.Sprintf(`document.querySelector("input[name=rank-%s]:checked")?.value === "%d"`, code, i+1))
			continue
		}
		j.tapsGlass(code)
		j.until("the rank of "+code, fmt.Sprintf(`document.querySelector("#glass-%s button").innerText.includes("rank %d")`, code, i+1))
	}
}

// tapsGlass puts a finger on a glass, with the script.
func (j judging) tapsGlass(code string) {
	j.t.Helper()
	j.tapAt("glass "+code, `e.localName === "button" && e.innerText.includes("`+code+`")`)
}

// TestBrowserPanel: a leader opens a panel at a desk, ten judges hand in on phones, half
// of them without script, one twice, one too late, and the leader reads the result.
func TestBrowserPanel(t *testing.T) {
	base, checker := served(t, true), axe(t)
	h := through(base)
	trial := pouredTrial(t, h)

	leader := &hand{visit: open(t, base, desk)}
	leader.reach(trial)
	leader.choose("A new panel")
	evaluated[bool](leader.visit, fmt.Sprintf(`(document.querySelector("#panel-judges").value = %q, true)`, strings.Join(tenJudges, "\n")))
	leader.choose("Look at it first")
	leader.says("Each of 10 judges gets all 5 glasses", "The orders are complete", "A glass that stands out is found in 8 of 10 such panels if")
	leader.choose("Open the panel")
	at := strings.TrimSuffix(evaluated[string](leader.visit, `location.pathname`), "/links")
	if codes := evaluated[int](leader.visit, `document.querySelectorAll(".qr").length`); codes != 10 {
		t.Fatalf("%d QR codes", codes)
	}
	p, links := panelShown(t, h, at), judgeLinks(t, h, at)

	for i, link := range links {
		s := phone
		s.noScript = i%2 == 1
		j := judging{hand: &hand{visit: open(t, base, s)}, t: t, name: tenJudges[i]}
		codes := j.begins(link)
		if !slices.Equal(codes, p.Judges[i].Codes) {
			t.Fatalf("%s sees %v, is served %v", j.name, codes, p.Judges[i].Codes)
		}
		if i == 0 {
			j.looksAt(checker)
		}
		order := likedFirst(p, codes)
		switch i {
		case 2: // one is forgotten
			j.ranks(order[:4])
			j.tap("Hand in")
			j.says("This is not handed in yet", "Glass "+order[4]+":")
			j.looksAt(checker)
			j.forget() // the browser complains of the status
			j.tapsGlass(order[4])
		case 4: // a second thought
			j.ranks([]string{order[1], order[0]})
			j.tapsGlass(order[1])
			j.until("it is out", fmt.Sprintf(`document.querySelector("#glass-%s button").innerText.includes("rank 1")`, order[0]))
			for n, code := range order[1:] {
				j.tapsGlass(code)
				j.until("its rank", fmt.Sprintf(`document.querySelector("#glass-%s button").innerText.includes("rank %d")`, code, n+2))
			}
		case 9: // too late
			j.ranks(order)
			leader.closes(t, h, at, p.Judges[9].Name)
			j.tap("Hand in")
			j.says("This session has ended.", "came after the end and was not taken")
			continue
		default:
			j.ranks(order)
		}
		j.tap("Hand in") // twice, as a thumb that trembles does
		j.until("the thanks", `document.body.innerText.includes("Handed in. Thank you.")`)
		if i == 0 {
			j.looksAt(checker)
		}
		j.quiet()
	}
	leader.says("Liked most", "The glasses differ.", "The judges largely agree.", "Friedman", "9 of 10 judges have handed in.", "What may have been missed")
	leader.quiet()

	var result struct {
		Judges  int
		Answers []struct {
			Name    string
			No      int
			Answers []struct {
				Code string
				Rank int
			}
		}
	}
	body, _ := fetched(t, base+"/v1"+at+"/result")
	if err := json.Unmarshal(body, &result); err != nil || result.Judges != 9 || len(result.Answers) != 9 {
		t.Fatalf("%v: %d judges, %d answers", err, result.Judges, len(result.Answers))
	}
	for _, a := range result.Answers {
		order := likedFirst(p, p.Judges[slices.Index(tenJudges, a.Name)].Codes)
		for _, one := range a.Answers {
			if order[one.Rank-1] != one.Code || a.No != 1 {
				t.Errorf("%s: %+v, want the order %v", a.Name, a, order)
				break
			}
		}
	}
	if w := get(t, h, links[0]); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "This session has ended") {
		t.Errorf("a link after the end: status %d", w.Code)
	}
}

// closes closes the session without one judge, after the page was asked about it.
func (h *hand) closes(t *testing.T, service http.Handler, at, without string) {
	t.Helper()
	h.reach(at)
	h.says("9 of 10 judges have handed in.")
	h.choose("Close the session")
	h.says("tick each who is to be left out")
	h.forget() // the browser complains of the status
	h.to("the judge who is left out", fmt.Sprintf(`e.type === "checkbox" && e.labels[0].innerText.trim() === %q`, without))
	h.do(chromedp.KeyEvent(" "))
	h.choose("Close the session")
	h.until("it is closed", `document.querySelector("#result") !== null`)
	if got := get(t, service, "/v1"+at).Body.String(); !strings.Contains(got, `"state":"closed"`) {
		t.Fatalf("the session is not closed: %.200s", got)
	}
}

// TestBrowserJudges looks at a judge's page in its other forms, in each language: ranks
// that may be shared, and scores; and at what whoever has no link is told.
func TestBrowserJudges(t *testing.T) {
	base, checker := served(t, true), axe(t)
	h := through(base)
	trial := pouredTrial(t, h)
	for _, change := range [][]string{{"ties", "true"}, {"answer", "scores"}} {
		links := judgeLinks(t, h, openedPanel(t, h, trial, panelFields(tenJudges, append(change, "question", "Which colour do you like most?")...)))
		for i, tag := range []string{"en-GB", "fr-FR", "es-ES"} {
			t.Run(change[0]+" "+tag, func(t *testing.T) {
				j := judging{hand: &hand{visit: open(t, base, phone)}, t: t}
				j.speak(tag)
				j.reach(links[i])
				j.looksAt(checker)
				j.do(chromedp.Click(chromedp.CSS("button")))
				j.until("the judge's page", `location.pathname === "/judging" && document.querySelector(".glasses-judged") !== null`)
				if lang := evaluated[string](j.visit, `document.documentElement.lang`); lang != tag {
					t.Errorf("the page is in %q", lang)
				}
				j.looksAt(checker)
				j.quiet()
			})
		}
	}
	j := judging{hand: &hand{visit: open(t, base, phone)}, t: t}
	j.reach("/judging")
	j.says("This link opens nothing")
	j.looksAt(checker)
}
