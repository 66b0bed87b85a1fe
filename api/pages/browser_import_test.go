//go:build browser

package pages_test

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// pastedRows are cells as a spreadsheet puts them on the clipboard, two of them at
// fault.
const pastedRows = "Wine\tA420\tA520\tA620\tmm\tRest\n" +
	"Tank 31\t0.142\t0.118\t0.021\t10\ta\nTank 32\t0.1x2\t0.11\t0.02\t10\tb\nTank 33\t7.5\t0.11\t0.02\t10\tc\n"

// paste puts text into the page as a paste would.
func (v *visit) paste(selector, text string) {
	v.t.Helper()
	evaluated[bool](v, fmt.Sprintf(`(() => { const data = new DataTransfer(); data.setData("text/plain", %q);
		document.querySelector(%q).dispatchEvent(new ClipboardEvent("paste", {clipboardData: data, bubbles: true, cancelable: true})); return true })()`, text, selector))
}

// looked holds a page against what every page promises.
func (v *visit) looked(checker string) {
	v.t.Helper()
	v.narrow()
	for _, found := range violations(v, checker) {
		v.t.Error(found)
	}
	v.pressable(24, "a[href], button, input, select, textarea, summary")
	v.pressable(48, "main button, main a.button")
}

// waitingDraft is the address of a file that is not brought in yet, with two rows
// at fault; another one is in the records.
func waitingDraft(t *testing.T, base string) (address string) {
	t.Helper()
	through := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for _, path := range []string{"/v1/imports", "/import"} {
		body, contentType := form(t, "log.tsv", pastedRows, nil)
		r, err := through.Post(base+path, contentType, body)
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		address = r.Header.Get("Location")
	}
	if !strings.HasPrefix(address, "/import/") {
		t.Fatalf("a file that was sent leads to %q", address)
	}
	return address
}

// TestBrowserImportMend pastes cells with two rows at fault, mends one of them in
// place, leaves the other, and brings them in.
func TestBrowserImportMend(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, served(t, false), s)
			v.reach("/import")
			v.looked(checker)
			v.paste("main", pastedRows)
			v.until("the preview", `location.pathname.startsWith("/import/") && document.querySelector(".becomes") !== null`)
			v.settle()
			v.looked(checker)
			if got := evaluated[string](v, `document.querySelector(".counts").innerText.replace(/\s+/g, " ")`); !strings.Contains(got, "Would be added 1") || !strings.Contains(got, "With a problem 2") {
				t.Errorf("counted %q", got)
			}
			if !s.touch {
				v.byTab()
			}
			evaluated[bool](v, `window.same_ = true`)
			v.retype(`[name="cell.3.A420"]`, "0.12")
			v.key("Tab")
			v.until("it is checked", `document.querySelector(".counts")?.innerText.replace(/\s+/g, " ").includes("Would be added 2") === true`)
			if got := evaluated[string](v, `[window.same_, document.querySelector('[name="cell.3.A420"]').value, document.querySelector("#said").textContent, document.querySelector('[name="cell.3.A420"]').hasAttribute("aria-invalid"), document.querySelector('[name="cell.4.A420"]').getAttribute("aria-invalid")].join("|")`); got != "true|0.12|Checked again. Would be added 2. Already there 0. With a problem 1. New wines 2|false|true" {
				t.Errorf("after it was mended: %q", got)
			}
			v.looked(checker)
			v.do(chromedp.Click(chromedp.CSS(`.draft button[value="take"]`)))
			v.until("the result", `location.pathname.startsWith("/imports/")`)
			v.settle()
			v.looked(checker)
			page := said(v)
			for _, want := range []string{"Part of the file is in the records", "Added 2", "Rejected 1", "Mended before it was brought in", "0.1x2", "0.12", "Tank 33"} {
				if !strings.Contains(page, want) {
					t.Errorf("the result does not say %q:\n%s", want, page)
				}
			}
			v.quiet()
		})
	}
}

// TestBrowserImportColumns says what unknown columns hold by choosing alone.
func TestBrowserImportColumns(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, served(t, false), s)
			v.reach("/import")
			v.paste("main", "Probe\tE1\tE2\tE3\nTank 9\t0.1\t0.05\t0.01\n")
			v.until("the columns are asked about", `document.querySelectorAll(".asked-first select").length === 3`)
			v.settle()
			v.looked(checker)
			for i, field := range []string{"a420", "a520", "a620"} {
				evaluated[bool](v, fmt.Sprintf(`(() => { const e = document.querySelector("#column-%c"); e.focus(); e.value = %q; e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`, 'B'+i, field))
				v.until("it is taken", fmt.Sprintf(`document.querySelector("#column-%c option[selected]")?.value === %q`, 'B'+i, field))
			}
			v.until("it can be read", `document.querySelector(".counts")?.innerText.replace(/\s+/g, " ").includes("Would be added 1") === true`)
			v.quiet()
		})
	}
}

// TestBrowserImportFiles: two files that are dropped wait, and are brought in one
// after another.
func TestBrowserImportFiles(t *testing.T) {
	v := open(t, served(t, false), desk)
	v.reach("/import")
	evaluated[bool](v, `(() => { const data = new DataTransfer();
		for (const name of ["one", "two"]) data.items.add(new File(["name,a420,a520,a620\nTank " + name + ",0.1,0.1,0.01\n"], name + ".csv"));
		const over = new DragEvent("dragover", {dataTransfer: data, bubbles: true, cancelable: true});
		document.querySelector("main").dispatchEvent(over);
		if (document.querySelector(".drop").hidden || !over.defaultPrevented) throw new Error("the page does not take files");
		document.querySelector("main").dispatchEvent(new DragEvent("drop", {dataTransfer: data, bubbles: true, cancelable: true})); return true })()`)
	v.until("the preview of the first", `document.querySelector("h1")?.textContent?.includes("one.csv") === true`)
	v.do(chromedp.Click(chromedp.CSS(`.draft button[value="take"]`)))
	v.until("the result", `location.pathname.startsWith("/imports/") && document.querySelector(".waiting a") !== null`)
	v.do(chromedp.Click(chromedp.CSS(".waiting a")))
	v.until("the preview of the second", `document.querySelector("h1")?.textContent?.includes("two.csv") === true`)
	v.quiet()
}

// TestBrowserImportUndo undoes an import from the list of past ones.
func TestBrowserImportUndo(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, served(t, false), s)
			v.reach("/imports")
			v.looked(checker)
			v.reach("/import")
			v.paste("main", pastedRows)
			v.until("the preview", `document.querySelector(".becomes") !== null`)
			v.do(chromedp.Click(chromedp.CSS(`.draft button[value="take"]`)))
			v.until("the result", `location.pathname.startsWith("/imports/")`)
			v.reach("/imports")
			v.looked(checker)
			v.do(chromedp.Click(chromedp.CSS(".made a")))
			v.until("the import", `document.querySelector("details.undo") !== null`)
			v.do(chromedp.Click(chromedp.CSS(".undo summary")), chromedp.SendKeys(chromedp.CSS(".undo textarea"), "wrong file"))
			v.looked(checker)
			v.do(chromedp.Click(chromedp.CSS(".undo button")))
			v.until("it is undone", `document.querySelector("h1")?.textContent === "This import was undone"`)
			v.settle()
			v.looked(checker)
			v.quiet()
		})
	}
}

// TestBrowserImportNoScript: a file that is chosen, mended and brought in without
// script.
func TestBrowserImportNoScript(t *testing.T) {
	base := served(t, false)
	file := filepath.Join(t.TempDir(), "log.tsv")
	if err := os.WriteFile(file, []byte(pastedRows), 0o600); err != nil {
		t.Fatal(err)
	}
	s := phone
	s.noScript = true
	v := open(t, base, s)
	v.do(chromedp.Navigate(base+"/import"), chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}), chromedp.Click(chromedp.CSS("#send button")),
		chromedp.WaitReady(chromedp.CSS(".becomes")), chromedp.SetValue(chromedp.CSS(`[name="cell.3.A420"]`), "0.12"),
		chromedp.Click(chromedp.CSS(`.draft button[value="look"]`)), chromedp.WaitReady(chromedp.CSS(`[name="cell.3.A420"]:not([aria-invalid])`)),
		chromedp.Click(chromedp.CSS(`.draft button[value="take"]`)), chromedp.WaitReady(chromedp.CSS("#mended")))
	if page := said(v); !strings.Contains(page, "Added 2") || !strings.Contains(page, "0.1x2") {
		t.Errorf("the result says %s", page)
	}
	v.narrow()
	v.quiet()
}
