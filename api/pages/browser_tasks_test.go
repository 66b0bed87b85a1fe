//go:build browser

package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/xuri/excelize/v2"
)

// These tests do what the pages are for, as the people who use them do it: by keys
// alone at a desk, and by a finger on a phone. A step is a field that is filled in
// or something that is pressed; a test fails where a task takes more of them than
// it needed when it was written.

// hand does a task and counts its steps.
type hand struct {
	*visit
	steps int
	tabs  int // presses of Tab between the steps
}

// hands does a task at both sizes.
func hands(t *testing.T, base func(t *testing.T) string, most int, task func(h *hand)) {
	t.Helper()
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			h := &hand{visit: open(t, base(t), s)}
			task(h)
			h.narrow()
			t.Logf("%d steps, %d times Tab between them", h.steps, h.tabs)
			if h.steps > most {
				t.Errorf("%d steps, want %d at most", h.steps, most)
			}
		})
	}
}

// to brings the focus to what meets a condition on e: by Tab, or by a finger.
func (h *hand) to(what, condition string) {
	h.t.Helper()
	h.steps++
	if h.sight.touch {
		h.tapAt(what, condition)
		return
	}
	for range 400 {
		if evaluated[bool](h.visit, `((e) => Boolean(e) && e !== document.body && (`+condition+`))(document.activeElement)`) {
			return
		}
		h.key("Tab")
		h.tabs++
	}
	h.t.Fatalf("Tab does not lead to %s", what)
}

// tapAt puts a finger on what meets a condition on e.
func (h *hand) tapAt(what, condition string) {
	h.t.Helper()
	at := evaluated[box](h.visit, `(() => {
		const e = [...document.querySelectorAll("a[href], button, input, select, textarea, summary")].find((e) => e.checkVisibility() && !e.disabled && (`+condition+`));
		if (!e) return {};
		e.scrollIntoView({block: "center"});
		const r = e.getClientRects()[0]; return {X: r.x, Y: r.y, W: r.width, H: r.height} })()`)
	if at.W == 0 {
		h.t.Fatalf("there is no %s to put a finger on", what)
	}
	x, y := at.X+at.W/2, at.Y+at.H/2
	h.press(true, input.DispatchMouseEventTypeMousePressed, x, y)
	h.press(true, input.DispatchMouseEventTypeMouseReleased, x, y)
}

// fill writes into a field in place of what it has; of a list it chooses what
// begins so.
func (h *hand) fill(id, words string) {
	h.t.Helper()
	h.to("the field "+id, fmt.Sprintf(`e.id === %q`, id))
	h.until("the focus in "+id, fmt.Sprintf(`document.activeElement.id === %q`, id))
	evaluated[bool](h.visit, `(document.activeElement.select?.(), true)`)
	h.do(chromedp.KeyEvent(words))
}

// saying is the condition that something says some words.
func saying(words string) string {
	return fmt.Sprintf(`(e.getAttribute("aria-label") ?? e.innerText).replace(/\s+/g, " ").trim() === %q`, words)
}

// unfold opens what is folded under some words.
func (h *hand) unfold(words string) {
	h.t.Helper()
	h.to(words, `e.localName === "summary" && `+saying(words))
	if !h.sight.touch {
		h.key("Enter")
	}
	h.until(words+" is open", fmt.Sprintf(`[...document.querySelectorAll("summary")].some((e) => %s && e.parentElement.open)`, saying(words)))
}

// choose presses what says some words, and waits for the page that it leads to.
func (h *hand) choose(words string) {
	h.t.Helper()
	h.chooseWhat(words, saying(words))
}

// chooseWhat is choose of what meets a condition on e.
func (h *hand) chooseWhat(what, condition string) {
	h.t.Helper()
	evaluated[bool](h.visit, `document.querySelector("main").before_ = true`)
	h.to(what, condition)
	if !h.sight.touch {
		h.key("Enter")
	}
	h.until("the page after "+what, `document.readyState === "complete" && document.querySelector("main, body > *") && !document.querySelector("main")?.before_`)
}

// saved is a file that a link which says some words leads to.
func (h *hand) saved(words string) []byte {
	h.t.Helper()
	h.steps++
	address := evaluated[string](h.visit, fmt.Sprintf(`[...document.querySelectorAll("a[href]")].find((e) => e.checkVisibility() && %s)?.href ?? ""`, saying(words)))
	if address == "" {
		h.t.Fatalf("no link says %q", words)
	}
	body, _ := fetched(h.t, address)
	return body
}

// workbook is a spreadsheet of readings, with a title above its header and two rows
// at fault: one that can be read off the slip, and one that nobody can.
func workbook(t *testing.T) string {
	t.Helper()
	f := excelize.NewFile()
	for i, row := range [][]any{
		{"Readings of the week"},
		{"Wine", "DO 420", "DO 520", "DO 620", "Cell, mm"},
		{"Tank 31", 0.142, 0.118, 0.021, 10},
		{"Tank 32", "0.1x2", 0.11, 0.02, 10},
		{"Tank 33", "spilt", 0.11, 0.02, 10},
	} {
		if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	name := filepath.Join(t.TempDir(), "week.xlsx")
	if err := f.SaveAs(name); err != nil {
		t.Fatal(err)
	}
	return name
}

// TestBrowserTaskReadings: the laboratory brings in a spreadsheet with two rows at
// fault, and mends one of them.
func TestBrowserTaskReadings(t *testing.T) {
	file := workbook(t)
	hands(t, func(t *testing.T) string { return served(t, false) }, 5, func(h *hand) {
		h.reach("/wines")
		h.chooseWhat("the way to the import", `e.getAttribute("href") === "/import"`)
		h.steps++ // the file is chosen
		h.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
		h.choose("Look at it first")
		h.says("Tank 31", "Tank 32", "Tank 33", "Problem")
		h.fill(evaluated[string](h.visit, `document.querySelector(".problem .fix input").id`), "0.132")
		h.chooseWhat("the button that brings in", `e.localName === "button" && e.value === "take"`)
		// What was mended is checked as the field is left, which renews the page beneath the hand.
		h.until("the import's page", `/^\/imports\/./.test(location.pathname) && document.readyState === "complete"`)
		h.says("Tank 31", "Tank 32", "Tank 33", "0.1x2", "0.132", "Rejected 1")
		var wines struct{ Items []struct{ Name string } }
		body, _ := fetched(h.t, h.base+"/v1/wines")
		if err := json.Unmarshal(body, &wines); err != nil || len(wines.Items) != 2 {
			h.t.Errorf("%d wines are there, want the good one and the mended one: %v", len(wines.Items), err)
		}
		h.quiet()
	})
}

// TestBrowserTaskTrial: the winemaker finds the dose for a target, saves it as a
// trial, pours two glasses and sips, has one glass read, and prints the work order.
func TestBrowserTaskTrial(t *testing.T) {
	hands(t, func(t *testing.T) string { return served(t, true) }, 18, func(h *hand) {
		h.reach("/")
		h.to("the closest dose", saying("Show this dose"))
		if !h.sight.touch {
			h.key("Enter")
		}
		h.until("the closest dose", `location.search.includes("red_dose=") || document.querySelector("#red_dose").value !== ""`)
		h.choose("Save as a trial")
		h.choose("Begin")
		h.says("Planned")
		for range 2 {
			h.chooseWhat("the planned pour", `e.matches(".planned button")`)
		}
		h.chooseWhat("a sip", `e.localName === "button" && e.innerText.startsWith("Sip")`)
		glass := evaluated[string](h.visit, `document.querySelector(".big span").innerText.trim().split(" ").pop()`)
		h.unfold("Read glass " + glass)
		for id, reading := range map[string]string{"measurements-a420": "0.234", "measurements-a520": "0.239", "measurements-a620": "0.047"} {
			h.fill(id, reading)
		}
		h.choose("Log the reading of " + glass)
		h.unfold("Choose the dose of " + glass)
		h.fill("reasons", "closest to last year's")
		h.choose("Choose " + glass)
		h.unfold("Work order for the cellar")
		h.fill("order-base_l", "1000")
		h.choose("Show it")
		h.steps++ // it is printed
		if paper, told := h.printed(), evaluated[string](h.visit, `document.body.innerText`); !bytes.HasPrefix(paper, []byte("%PDF-")) || !strings.Contains(told, "1000") {
			h.t.Errorf("the work order prints as %.20q and says\n%s", paper, told)
		}
		h.quiet()
	})
}

// TestBrowserTaskRelease: whoever holds the bottles to the specification makes
// one, checks a lot and saves the statement.
func TestBrowserTaskRelease(t *testing.T) {
	hands(t, func(t *testing.T) string { return served(t, false) }, 24, func(h *hand) {
		h.reach("/lots")
		h.choose("A new specification")
		h.fill("spec-name", "House rosé")
		h.fill("spec-product", "House")
		h.fill("spec-target_L", "92.3")
		h.fill("spec-target_a", "7.6")
		h.fill("spec-target_b", "6.3")
		h.fill("spec-delta_e_00", "3")
		h.choose("Save this specification")
		h.says("House rosé", "A perfect lot can pass with this setup", "at most 3")
		h.choose("Lots")
		h.choose("A new lot")
		h.fill("lot-name", "L-31")
		h.fill("lot-lot_spec", "House")
		h.choose("Begin this lot")
		h.says("L-31", "Not judged yet")
		h.fill("sample-a420", "0.142")
		h.fill("sample-a520", "0.118")
		h.fill("sample-a620", "0.021")
		h.choose("Judge this sample")
		h.says("Within specification with probability")
		h.fill("decide-decision", "release")
		h.fill("decide-by", "Ada")
		h.choose("Save this decision")
		h.says("Released by Ada", "rests on one verdict")
		h.fill("issue-issued_by", "Ada")
		h.choose("Issue the statement")
		h.choose("Statement 1")
		h.says("L-31")
		if paper := h.saved("Document as PDF"); !bytes.HasPrefix(paper, []byte("%PDF-")) {
			t.Errorf("the statement begins with %.20q", paper)
		}
		h.quiet()
	})
}
