package pages

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestStyles: no rule is for a class or an identifier that nothing has. Some are put
// together of a name and what stands before or after it; the name must be somewhere.
func TestStyles(t *testing.T) {
	t.Parallel()
	words := map[string]bool{}
	word := regexp.MustCompile(`[A-Za-z][A-Za-z0-9_-]*`)
	for _, pattern := range []string{"templates/*.html", "script/src/*.ts", "*.go"} {
		names, err := filepath.Glob(pattern)
		if err != nil || len(names) == 0 {
			t.Fatalf("%s: %v, %v", pattern, names, err)
		}
		for _, name := range names {
			source, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(name, "_test.go") {
				for _, w := range word.FindAllString(string(source), -1) {
					words[w] = true
				}
			}
		}
	}
	named := regexp.MustCompile(`^(?:ask|mark|k|slot)-(.+)$|^(.+)-band$`)
	selector := regexp.MustCompile(`(?s)([^{}]*)\{`)
	subject := regexp.MustCompile(`[.#]([A-Za-z][A-Za-z0-9_-]*)`)
	unseen := regexp.MustCompile(`(?s)/\*.*?\*/`)
	sheets, err := filepath.Glob("assets/*.css")
	if err != nil || len(sheets) == 0 {
		t.Fatalf("style sheets: %v, %v", sheets, err)
	}
	n := 0
	for _, name := range sheets {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range selector.FindAllStringSubmatch(unseen.ReplaceAllString(string(source), ""), -1) {
			if strings.Contains(s[1], "@") {
				continue // a condition
			}
			for _, m := range subject.FindAllStringSubmatch(s[1], -1) {
				n++
				if !words[m[1]] && !words[named.ReplaceAllString(m[1], "$1$2")] {
					t.Errorf("%s: nothing is %q, in %q", name, m[0], strings.TrimSpace(s[1]))
				}
			}
		}
	}
	if n < 100 {
		t.Errorf("only %d classes in the style sheets", n)
	}
}
