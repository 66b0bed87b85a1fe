package pages_test

import (
	"errors"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

func parse(t *testing.T, page string) *html.Node {
	t.Helper()
	tree, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

// text is what a reader reads, with single blanks.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.Data != "script" {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// void are the elements that have no end tag.
var void = []atom.Atom{atom.Meta, atom.Link, atom.Input, atom.Img, atom.Br, atom.Hr}

// wellFormed wants each element closed, in order: a browser mends what is not,
// each in its own way, and html.Parse would hide it.
func wellFormed(t *testing.T, page string) {
	t.Helper()
	var open []string
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			if err := z.Err(); !errors.Is(err, io.EOF) {
				t.Errorf("not HTML: %v", err)
			}
			if len(open) > 0 {
				t.Errorf("left open: %v", open)
			}
			return
		case html.StartTagToken:
			token := z.Token()
			if !slices.Contains(void, token.DataAtom) {
				open = append(open, token.Data)
			}
			names := map[string]bool{}
			for _, a := range token.Attr {
				if names[a.Key] {
					t.Errorf("<%s> has %s twice", token.Data, a.Key)
				}
				names[a.Key] = true
			}
		case html.EndTagToken:
			name := z.Token().Data
			if len(open) == 0 || open[len(open)-1] != name {
				t.Fatalf("</%s> closes nothing; open: %v", name, open)
			}
			open = open[:len(open)-1]
		}
	}
}

// safe wants nothing that the policy default-src 'self' would stop: no script,
// no style inside the page, nothing from elsewhere.
func safe(t *testing.T, tree *html.Node) {
	t.Helper()
	for n := range tree.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Data == "style" || n.Data == "iframe" || n.Data == "object" {
			t.Errorf("the page has a <%s>", n.Data)
		}
		if n.Data == "script" && attribute(n, "src") == "" && attribute(n, "type") != "application/json" {
			t.Errorf("the page has a script inside: %s", text(n))
		}
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
			}
			if slices.Contains([]string{"href", "src", "action"}, a.Key) && (!strings.HasPrefix(a.Val, "/") || strings.HasPrefix(a.Val, "//")) && !strings.HasPrefix(a.Val, "#") {
				t.Errorf("<%s %s=%q> leads elsewhere", n.Data, a.Key, a.Val)
			}
		}
	}
}

// linked wants unique ids, a target for all that names one, a label for each
// field, a text for each picture, and an answer at each address that is not known
// to have one.
func linked(t *testing.T, h http.Handler, tree *html.Node, answered map[string]bool) {
	t.Helper()
	ids, labelled := map[string]bool{}, map[string]bool{}
	for n := range tree.Descendants() {
		if id := attribute(n, "id"); id != "" {
			if ids[id] {
				t.Errorf("the id %q is there twice", id)
			}
			ids[id] = true
		}
		if n.Data == "label" {
			labelled[attribute(n, "for")] = true
		}
	}
	for n := range tree.Descendants() {
		for _, name := range []string{"for", "aria-labelledby", "aria-describedby"} {
			for id := range strings.FieldsSeq(attribute(n, name)) {
				if !ids[id] {
					t.Errorf("<%s %s=%q>: there is no such id", n.Data, name, id)
				}
			}
		}
		switch {
		case (n.Data == "input" || n.Data == "select" || n.Data == "textarea") && attribute(n, "type") != "hidden" && !labelled[attribute(n, "id")]:
			t.Errorf("the field %q has no label", attribute(n, "name"))
		case n.Data == "img" && attribute(n, "alt") == "":
			t.Errorf("the picture %s has no text", attribute(n, "src"))
		}
		for _, name := range []string{"href", "src"} {
			to := attribute(n, name)
			if id, inside := strings.CutPrefix(to, "#"); inside {
				if !ids[id] {
					t.Errorf("<%s %s=%q>: there is no such id", n.Data, name, to)
				}
			} else if key := pictureOnce(to); to != "" && !answered[key] {
				answered[key] = true
				page, id, _ := strings.Cut(to, "#")
				w := get(t, h, page)
				if id != "" && !strings.Contains(w.Body.String(), ` id="`+id+`"`) {
					t.Errorf("<%s %s=%q>: there is no such id at that address", n.Data, name, to)
				}
				if w.Code == http.StatusSeeOther {
					w = get(t, h, w.Header().Get("Location"))
				}
				if w.Code != http.StatusOK {
					t.Errorf("<%s %s=%q> answers %d", n.Data, name, to, w.Code)
				}
			}
		}
	}
}

// pictureOnce is an address, or for a picture its path alone: one of them is
// drawn for all states, as drawing is slow and has tests of its own.
func pictureOnce(address string) string {
	if path, _, _ := strings.Cut(address, "?"); strings.HasPrefix(path, "/preview/") {
		return path
	}
	return address
}
