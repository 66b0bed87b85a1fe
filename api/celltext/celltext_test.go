package celltext

import (
	"strings"
	"testing"
)

// TestText: the rows on = + - @, tab, carriage return, line feed and the
// full-width forms are OWASP's list (CSV Injection); the rest is this package's.
func TestGuard(t *testing.T) {
	for _, row := range []struct{ name, text, want string }{
		{"empty", "", ""},
		{"plain", "Tank 4", "Tank 4"},
		{"sign within", "Tank 4 - left + right = @", "Tank 4 - left + right = @"},
		{"equals", `=HYPERLINK("http://x.example","y")`, `'=HYPERLINK("http://x.example","y")`},
		{"plus", "+1", "'+1"},
		{"minus", "-2+3", "'-2+3"},
		{"at", "@SUM(1)", "'@SUM(1)"},
		{"tab", "\tx", "'\tx"},
		{"carriage return", "\rx", "'\rx"},
		{"line feed", "\nx", "'\nx"},
		{"full-width equals", "＝1+1", "'＝1+1"},
		{"full-width plus", "＋1", "'＋1"},
		{"full-width minus", "－1", "'－1"},
		{"full-width at", "＠x", "'＠x"},
		{"small equals", "﹦1", "'﹦1"},
		{"after blanks", "  =1", "'  =1"},
		{"after an ideographic space", "\u3000=1", "'\u3000=1"},
		{"after a no-break space", "\u00a0=1", "'\u00a0=1"},
		{"after a zero-width space", "\u200b=1", "'\u200b=1"},
		{"after a byte order mark", "\ufeff=1", "'\ufeff=1"},
		{"after a quotation mark", `"=1"`, `'"=1"`},
		{"after an apostrophe", "'=1", "''=1"},
		{"apostrophe alone", "'t Vat", "'t Vat"},
		{"new cell by semicolon", "x;=1", "x;'=1"},
		{"new cell by semicolon and blank", "x; =1;y", "x;' =1;y"},
		{"new cell by tab", "x\t@y", "x\t'@y"},
		{"new line", "x\n=1", "x\n'=1"},
		{"semicolon before text", "x; y", "x; y"},
		{"comma is quoted anyway", "x,=1", "x,=1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := Guard(row.text)
			if got != row.want {
				t.Errorf("Guard(%q) = %q, want %q", row.text, got, row.want)
			}
			if back := Bare(got); back != row.text {
				t.Errorf("back: %q, want %q", back, row.text)
			}
		})
	}
}

// FuzzText: no text is lost, and none of its cells is left to be a formula.
func FuzzGuard(f *testing.F) {
	for _, seed := range []string{"", "=1", "'=1", "\n\n=x", ";;'\t=", " '\" ＝", "\xff=1", "\t'\n'@"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := Guard(s)
		if back := Bare(got); back != s {
			t.Fatalf("Guard(%q) = %q, back %q", s, got, back)
		}
		for cell := range strings.FieldsFuncSeq(got, func(r rune) bool { return strings.ContainsRune(";\t\r\n", r) }) {
			if trimmed := strings.TrimLeft(cell, " \u00a0\u3000\""); strings.ContainsAny(trimmed[:min(1, len(trimmed))], "=+-@") {
				t.Fatalf("Guard(%q) = %q leaves the cell %q", s, got, cell)
			}
		}
	})
}
