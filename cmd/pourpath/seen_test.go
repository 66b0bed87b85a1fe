package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
)

// unseen is a name that clears the screen, rings, goes back to the beginning of the line,
// turns its end around and begins a sequence by one character; asSeen is how it is printed.
const (
	unseen = "Evil\x1b[2J\a\r\u202e\u009b1m\U000e0001."
	asSeen = `Evil\x1b[2J\a\r\u202e\u009b1m\U000e0001.`
)

// controls are the characters of unseen that must not come out.
const controls = "\x1b\a\r\u202e\u009b\U000e0001"

func TestHarmless(t *testing.T) {
	for _, c := range []struct {
		format string
		arg    any
		want   string
	}{
		{"%s", unseen, asSeen}, {"%q", "a\x1b", `"a\x1b"`}, {"%-6s|", "a\a", `a\a   |`}, {"%s", "two\nlines", `two\nlines`}, {"%v", errors.New("two\nlines\x1b"), "two\nlines\\x1b"},
		{"%s", drawn("\x1b[0m"), "\x1b[0m"}, {"%d", 3, "3"}, {"%s", "Rosé à 12 °C\u00a0%", "Rosé à 12 °C\u00a0%"},
	} {
		if got := fmt.Sprintf(c.format, harmless([]any{c.arg})...); got != c.want {
			t.Errorf("%s of %q is %q, want %q", c.format, c.arg, got, c.want)
		}
	}
}

// TestNamesOfAllOnTerminals: whatever a wine, a lot, a trial, a specification, a glass or
// a person is called, no command lets it control the terminal, and each says what it is.
func TestNamesOfAllOnTerminals(t *testing.T) {
	d := aDesk{t, t.TempDir()}
	in := func(input string, args ...string) {
		t.Helper()
		if got := d.run(input, args...); got.exit != 0 {
			t.Fatalf("%q: exit %d, %q", args, got.exit, got.err)
		}
	}
	in("", with([]string{"spec", "add"}, houseSpec, []string{"--name", unseen, "--product", unseen, "--approved-by", unseen})...)
	in("", "lot", "add", "--name", unseen, "--product", unseen, "--notes", unseen, "--storage", unseen)
	in("", with([]string{"lot", "sample", unseen}, onTarget, []string{"--stage", "beginning", "--bottle", unseen, "--analyst", unseen, "--instrument", unseen})...)
	in("", "lot", "decide", unseen, "hold", "--by", unseen, "--reason", unseen)
	in("", "statement", "issue", unseen, "--by", unseen)
	var trial map[string]any
	if err := json.Unmarshal([]byte(exampleTrial), &trial); err != nil {
		t.Fatal(err)
	}
	trial["name"], trial["glasses"] = unseen, []string{"A", unseen}
	for _, part := range []string{"base", "addition"} {
		wine, ok := trial[part].(map[string]any)
		if !ok {
			t.Fatalf("the example has no %s", part)
		}
		wine["name"] = unseen
	}
	delete(trial, "plan")
	body, err := json.Marshal(trial)
	if err != nil {
		t.Fatal(err)
	}
	in(string(body), "trial", "begin")
	in("", "trial", "pour", unseen, "--glass", unseen, "--volume-ml", "2")
	in("", "trial", "note", unseen, "--glass", unseen, "--note", unseen, "--who", unseen)
	in("", "trial", "choose", unseen, "--glass", unseen, "--reasons", unseen)

	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"spec", "list"}, asSeen}, {[]string{"spec", "show", unseen}, asSeen},
		{[]string{"lot", "list"}, asSeen}, {[]string{"lot", "show", unseen}, asSeen}, {[]string{"lot", "decisions", unseen}, asSeen}, {[]string{"lot", "verdicts", unseen}, ""}, {[]string{"lot", "run", unseen}, ""},
		{[]string{"statement", "list"}, asSeen},
		{[]string{"trial", "list"}, asSeen}, {[]string{"trial", "show", unseen}, asSeen},
		{[]string{"lot", "show", "another " + unseen}, ""}, {[]string{"trial", "pour", unseen, "--glass", "Z" + unseen, "--volume-ml", "2"}, ""},
	} {
		for _, asJSON := range [][]string{nil, {"--json"}} {
			if asJSON != nil && c.args[0] == "statement" {
				continue // byte for byte what its checksum is over
			}
			got := d.run("", with(c.args, asJSON)...)
			all := got.out + got.err
			if strings.ContainsAny(all, controls) || all == "" {
				t.Errorf("%v %v prints %q", c.args, asJSON, all)
			}
			if asJSON == nil && !strings.Contains(all, c.says) {
				t.Errorf("%v does not print %q; it prints %q", c.args, c.says, all)
			}
			if asJSON != nil && got.exit == 0 && c.says != "" && !strings.Contains(decodedNames(t, got.out), unseen) {
				t.Errorf("%v: the name is another in JSON: %s", c.args, got.out)
			}
		}
	}
}

// decodedNames are all texts in JSON, as they are meant.
func decodedNames(t *testing.T, text string) string {
	t.Helper()
	var value any
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return fmt.Sprint(value)
}
