//go:build browser

package pages_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	chromebrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// clipboard is what the clipboard has: as text, and as the cells of its HTML.
type clipboard struct {
	Text  string
	Cells [][]string
	Words int // how many are marked as words
}

// twoNumbers are a value with its uncertainty, or both ends of an interval.
var twoNumbers = regexp.MustCompile(`^[-+−\d.,]+\s*[±…–]\s*[-+−\d.,]+$`)

// pasted reads the clipboard.
func (v *visit) pasted() clipboard {
	v.t.Helper()
	return evaluated[clipboard](v, `(async () => {
		const [item] = await clipboard_.read();
		const of = async (type) => (await item.getType(type)).text();
		const doc = new DOMParser().parseFromString(await of("text/html"), "text/html");
		return {Text: await of("text/plain"), Cells: [...doc.querySelectorAll("tr")].map((row) => [...row.cells].map((cell) => cell.textContent)), Words: doc.querySelectorAll("[sdnum]").length};
	})()`)
}

// mayPaste lets the page read the clipboard, under a name that stays.
func (v *visit) mayPaste() {
	v.t.Helper()
	v.do(called(chromebrowser.SetPermission, chromebrowser.SetPermissionParams{
		Permission: &chromebrowser.PermissionDescriptor{Name: "clipboard-read"}, Setting: chromebrowser.PermissionSettingGranted,
		BrowserContextID: chromedp.FromContext(v.ctx).BrowserContextID,
	}))
	evaluated[bool](v, `(window.clipboard_ = navigator.clipboard, true)`)
}

// ctrlC presses it as a keyboard does.
func (v *visit) ctrlC() {
	v.t.Helper()
	for _, kind := range []input.DispatchKeyEventParams{
		{Type: "keyDown", Modifiers: 2, Key: "c", Code: "KeyC", WindowsVirtualKeyCode: 67, Commands: []string{"copy"}},
		{Type: "keyUp", Modifiers: 2, Key: "c", Code: "KeyC", WindowsVirtualKeyCode: 67},
	} {
		v.do(called(input.DispatchKeyEvent, kind))
	}
}

// inCells wants rows of equally many cells, the same as text and as HTML, each
// number alone in its cell and none of what pages align and join numbers with.
func (c clipboard) inCells(t *testing.T) {
	t.Helper()
	var text strings.Builder
	for _, row := range c.Cells {
		text.WriteString(strings.Join(row, "\t") + "\n")
		if len(row) != len(c.Cells[0]) {
			t.Errorf("a row of %d cells below one of %d: %q", len(row), len(c.Cells[0]), row)
		}
	}
	if text.String() != c.Text {
		t.Errorf("as text:\n%sas HTML:\n%s", c.Text, &text)
	}
	if strings.ContainsAny(c.Text, "\u2007\u2009\u200a\u202f\u00a0") || strings.Contains(strings.Join(c.Cells[0], ""), "±") {
		t.Errorf("blanks or signs that no spreadsheet takes:\n%s", c.Text)
	}
	for _, cell := range slices.Concat(c.Cells...) {
		if twoNumbers.MatchString(cell) {
			t.Errorf("more than a number in a cell: %q", cell)
		}
	}
}

// TestBrowserCells copies tables by their button and by Ctrl-C, and reads the
// clipboard back.
func TestBrowserCells(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	v.reach("/?rung=none")
	v.mayPaste()
	button := `section[aria-labelledby="table"] [data-copy-cells]`
	v.do(chromedp.Click(chromedp.CSS(button)))
	v.until("it says that it copied", `document.querySelector('section[aria-labelledby="table"] [role=status]').textContent.startsWith("Copied")`)
	ladder := v.pasted()
	ladder.inCells(t)
	head := []string{"In the glass (mL)", "In the glass, remark", "Dose (mL per 100 mL of base)", "Share (% of the blend)", "Cell (10 mm)", "Glass (55 mm)", "ΔE00 (from target)",
		"L*", "u(L*)", "a*", "u(a*)", "b*", "u(b*)", "C*", "h (degrees)", "Intensity", "u(Intensity)", "Tint", "u(Tint)"}
	if !slices.Equal(ladder.Cells[0], head) {
		t.Errorf("headers\n%q, want\n%q", ladder.Cells[0], head)
	}
	rows := evaluated[[][]string](v, `[...document.querySelectorAll('table.ladder tbody tr')].map((row) => [row.cells[1].textContent, ...row.cells[6].textContent.split(" ± "), row.querySelector("rect").getAttribute("fill")])`)
	if len(ladder.Cells) != len(rows)+1 || len(rows) < 5 {
		t.Fatalf("%d rows copied of %d", len(ladder.Cells), len(rows))
	}
	for i, want := range rows {
		if got := ladder.Cells[i+1]; !slices.Equal([]string{got[2], got[7], got[8], got[4]}, want) {
			t.Errorf("row %d: %q, want %q in it", i, got, want)
		}
	}

	// The same by hand, as a selection that begins and ends outside of the table.
	evaluated[bool](v, `(getSelection().selectAllChildren(document.querySelector("table.ladder").parentElement), true)`)
	v.ctrlC()
	if byHand := v.pasted(); byHand.Text != ladder.Text {
		t.Errorf("by Ctrl-C\n%s, by the button\n%s", byHand.Text, ladder.Text)
	}
	// A part of it: two cells of two rows.
	evaluated[bool](v, `(() => {
		const [, one, two] = document.querySelectorAll("table.ladder tbody tr"), range = document.createRange();
		range.setStart(one.cells[6].firstChild, 0);
		range.setEnd(two.cells[7].firstChild, two.cells[7].firstChild.length);
		getSelection().removeAllRanges(); getSelection().addRange(range);
		return true })()`)
	v.ctrlC()
	part := v.pasted()
	part.inCells(t)
	if len(part.Cells) != 2 || part.Cells[0][6] != ladder.Cells[2][7] || part.Cells[1][0] != ladder.Cells[3][0] {
		t.Errorf("a part of the table: %q", part.Cells)
	}
	// Words are copied as words.
	evaluated[bool](v, `(getSelection().selectAllChildren(document.querySelector("#table-about")), true)`)
	v.ctrlC()
	if text := evaluated[string](v, `clipboard_.readText()`); !strings.HasPrefix(text, "Each glass holds") {
		t.Errorf("a paragraph is copied as %q", text)
	}

	// Where there is no clipboard for scripts, as outside of a secure context.
	evaluated[bool](v, `Object.defineProperty(navigator, "clipboard", {value: undefined}) && true`)
	v.do(chromedp.Click(chromedp.CSS(button)))
	v.until("it says what to press", `document.querySelector('section[aria-labelledby="table"] [role=status]').textContent.includes("Ctrl-C")`)
	v.ctrlC()
	if byHand := v.pasted(); byHand.Text != ladder.Text {
		t.Errorf("after the button, by Ctrl-C\n%s", byHand.Text)
	}
	v.quiet()
}

// TestBrowserCellsEverywhere: each table of figures, but those of forms, has the button, but without
// script, and becomes cells.
func TestBrowserCellsEverywhere(t *testing.T) {
	pages, still := walked(t), desk
	still.noScript = true
	// A service without records has no tables.
	pages = slices.DeleteFunc(pages, func(page walkedPage) bool { return page.base != pages[0].base })
	tables := 0
	inTabs(t, desk, "en-GB", pages, func(v *visit, _ walkedPage) {
		v.mayPaste()
		for _, table := range evaluated[[]string](v, `[...document.querySelectorAll("table:not(.lines, .becomes, .panel-judges, .paired)")].filter((t) => ![t, t.parentElement].some((e) => e.previousElementSibling?.querySelector("[data-copy-cells]"))).map((t) => t.outerHTML.slice(0, 100))`) {
			v.t.Errorf("no button above %s", table)
		}
		n := evaluated[int](v, `document.querySelectorAll("[data-copy-cells]").length`)
		tables += n
		for i := range n {
			evaluated[bool](v, fmt.Sprintf(`(async () => { const b = document.querySelectorAll("[data-copy-cells]")[%d], told = b.parentElement.querySelector("[role=status]"); told.textContent = ""; b.click();
				while (!told.textContent) await new Promise((done) => setTimeout(done, 5)); return true })()`, i))
			got := v.pasted()
			got.inCells(v.t)
			if words := evaluated[int](v, fmt.Sprintf(`((bar) => (bar.localName === "table" ? bar : bar.querySelector("table")).querySelectorAll("tbody :is(.word, .name)").length)(document.querySelectorAll("[data-copy-cells]")[%d].parentElement.nextElementSibling)`, i)); words > 1 && got.Words == 0 {
				v.t.Errorf("table %d has %d cells of words, and none is marked", i, words)
			}
			if len(got.Cells) < 2 || slices.Contains(got.Cells[0], "") {
				v.t.Errorf("table %d is copied as %q", i, got.Cells)
			}
		}
	})
	inTabs(t, still, "en-GB", pages, func(v *visit, _ walkedPage) {
		if evaluated[bool](v, `[...document.querySelectorAll("[data-copy-cells]")].some((b) => b.checkVisibility())`) {
			v.t.Error("a button that does nothing without script")
		}
	})
	if tables < 20 {
		t.Errorf("only %d tables on all pages", tables)
	}
}
