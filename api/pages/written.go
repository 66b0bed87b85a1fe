package pages

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"text/template/parse"
)

// Values that a page writes in the reader's language carry a type that says so;
// the language comes in where they are put out, and nowhere before. A template
// need not know of it: written is at the end of every action.

// digits is a number as text, with a decimal point.
type digits string

// english is what the interface says in English. A page says it in its language, where
// package tongue knows it.
type english string

// entered is what stands in a field for a number: one that is plain is shown with
// the language's mark, anything else as it was typed.
type entered string

// drawn is a drawing as SVG, which escapes its texts itself and has them in the page's
// language, or in English where pictures do not have that.
type drawn string

// said is what is told to the reader: a text of the catalogue, or english.
type said = any

// writers are the functions of templates that write values.
func (c *catalogue) writers() template.FuncMap {
	return template.FuncMap{
		"written": c.written,
		// english marks what the interface says, where its type does not.
		"english": func(text any) english { return english(fmt.Sprint(text)) },
		// number is a number by a verb of fmt.Sprintf, and day a day as the interface
		// writes it, or that of a time.
		"number": func(verb string, x float64) digits { return digits(fmt.Sprintf(verb, x)) },
		"day":    dayIn,
	}
}

// written is a value as the language writes it.
func (c *catalogue) written(v any) any {
	switch x := v.(type) {
	case digits:
		return c.digits(x)
	case entered:
		return c.entered(x)
	case moment:
		return c.moment(x)
	case drawn:
		if c.code != inEnglish && c.papers() == "" {
			x = drawn(strings.Replace(string(x), "<svg", `<svg lang="`+inEnglish+`"`, 1))
		}
		return template.HTML(x) //nolint:gosec // the drawing escapes its texts itself
	case english:
		text, own := c.spoken(x)
		if own {
			return text
		}
		return template.HTML(englishBegins + template.HTMLEscapeString(text) + englishEnds) //nolint:gosec // it is escaped
	}
	return v
}

// spoken is what the interface says in the language; own is false where it stays
// English.
func (c *catalogue) spoken(x english) (text string, own bool) {
	if c.tongue != nil {
		if text, ok := c.tongue.Say(string(x)); ok {
			return text, true
		}
	}
	return plainWords(string(x)), c.code == inEnglish || x == ""
}

// What stands around English in a page of another language, so that it is spoken as
// what it is.
const (
	englishBegins = `<span lang="` + inEnglish + `">`
	englishEnds   = `</span>`
)

// marked is text, with what is English in it marked as such.
func (c *catalogue) marked(key string, values ...any) (any, error) {
	// Characters of private use, which no catalogue has; where a name has one beside
	// English it is put out as one that is not known, so that it marks nothing.
	const begins, ends = "\ue000", "\ue001"
	names := strings.NewReplacer(begins, "\ufffd", ends, "\ufffd")
	placed, marks := slices.Clone(values), false
	for i, v := range values {
		if x, ok := v.(english); ok {
			one, own := c.spoken(x)
			if placed[i] = one; !own {
				placed[i], marks = english(begins+names.Replace(one)+ends), true
			}
		}
	}
	if !marks {
		return c.text(key, placed...)
	}
	for i, v := range placed {
		switch x := v.(type) {
		case english:
			placed[i] = string(x)
		case string:
			placed[i] = names.Replace(x)
		}
	}
	text, err := c.text(key, placed...)
	if err != nil {
		return text, err
	}
	text = template.HTMLEscapeString(text)
	return template.HTML(strings.NewReplacer(begins, englishBegins, ends, englishEnds).Replace(text)), nil //nolint:gosec // it is escaped
}

// placed is a value as it stands in a text.
func (c *catalogue) placed(v any) any {
	switch x := v.(type) {
	case digits:
		return c.digits(x)
	case entered:
		return c.digits(digits(c.pointed(string(x))))
	case moment:
		return c.moment(x)
	case english:
		text, _ := c.spoken(x)
		return text
	case float64:
		return placedFloat{x, c}
	}
	return v
}

// placedFloat is a number that the text has a verb for.
type placedFloat struct {
	x float64
	c *catalogue
}

// Format implements fmt.Formatter.
func (p placedFloat) Format(f fmt.State, verb rune) {
	_, _ = fmt.Fprint(f, p.c.digits(digits(fmt.Sprintf(fmt.FormatString(f, verb), p.x)))) // the text takes everything
}

var (
	point     = regexp.MustCompile(`(\d)\.(\d)`)
	wholePart = regexp.MustCompile(`(^|[^\d.])(\d{5,})`)
	hyphened  = regexp.MustCompile(`(^|[^\p{L}\p{N}.,])-(\d)`)
)

// digits puts the language's marks into numbers, and the minus that papers have.
func (c *catalogue) digits(text digits) string {
	grouped := wholePart.ReplaceAllStringFunc(string(text), func(whole string) string {
		before := strings.IndexFunc(whole, func(r rune) bool { return r >= '0' && r <= '9' })
		for at := len(whole) - 3; at > before; at -= 3 {
			whole = whole[:at] + c.Writing.Group + whole[at:]
		}
		return whole
	})
	signed := hyphened.ReplaceAllString(grouped, "${1}−${2}")
	return point.ReplaceAllString(signed, "${1}"+c.Writing.Decimal+"${2}")
}

var (
	plainNumber = regexp.MustCompile(`^[+-]?\d*\.\d+$`)
	wholeNumber = regexp.MustCompile(`^[+-]?\d+$`)
)

// entered is what stands in a field for numbers.
func (c *catalogue) entered(text entered) string {
	words := strings.Fields(string(text))
	for _, word := range words {
		if !plainNumber.MatchString(word) && !wholeNumber.MatchString(word) {
			return string(text)
		}
	}
	return strings.ReplaceAll(string(text), ".", c.Writing.Decimal)
}

// writeAll puts written at the end of each action of a template that puts something
// out.
func writeAll(t *template.Template) {
	for _, one := range t.Templates() {
		if one.Tree != nil && one.Tree.Root != nil {
			writeNodes(one.Tree, one.Tree.Root)
		}
	}
}

func writeNodes(tree *parse.Tree, list *parse.ListNode) {
	if list == nil {
		return
	}
	branches := func(b *parse.BranchNode) {
		writeNodes(tree, b.List)
		writeNodes(tree, b.ElseList)
	}
	for _, node := range list.Nodes {
		switch n := node.(type) {
		case *parse.ActionNode:
			if len(n.Pipe.Decl) == 0 {
				name := parse.NewIdentifier("written").SetTree(tree).SetPos(n.Pos)
				n.Pipe.Cmds = append(n.Pipe.Cmds, &parse.CommandNode{NodeType: parse.NodeCommand, Pos: n.Pos, Args: []parse.Node{name}})
			}
		case *parse.IfNode:
			branches(&n.BranchNode)
		case *parse.RangeNode:
			branches(&n.BranchNode)
		case *parse.WithNode:
			branches(&n.BranchNode)
		}
	}
}
