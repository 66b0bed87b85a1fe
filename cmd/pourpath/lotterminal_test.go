//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"github.com/creack/pty"
)

// TestExamplesOfARelease: a person at a terminal who gives no request gets an
// example of each body, nothing is kept, and the example works when it is fed back.
func TestExamplesOfARelease(t *testing.T) {
	d := atHouse(t)
	d.does(nil, with([]string{"spec", "new-version", "House rosé", "--after-version", "1"}, houseSpec)...)
	d.does(nil, with([]string{"lot", "sample", "L-31"}, onTarget)...)
	for _, args := range [][]string{
		{"spec", "feasibility"}, {"lot", "add"}, {"lot", "sample", "L-31"}, {"lot", "judge", "L-31"}, {"instrument", "add-check"},
		{"spec", "new-version", "House rosé", "--after-version", "2"}, {"spec", "add"}, // last: then two have the name
	} {
		keyboard, person, err := pty.Open()
		if err != nil {
			t.Fatal(err)
		}
		var out, errOut bytes.Buffer
		exit := run(context.Background(), with(args, []string{"--data", d.data}), person, &out, &errOut)
		if exit != 0 || !strings.Contains(errOut.String(), "pourpath "+args[0]+" "+args[1]) || !strings.HasPrefix(out.String(), "{") {
			t.Errorf("%v: exit %d, %s%s", args, exit, &out, &errOut)
		}
		if got := d.run(out.String(), args...); got.exit != 0 {
			t.Errorf("the example of %v is refused: %s", args, got.err)
		}
		if err := keyboard.Close(); err != nil {
			t.Error(err)
		}
		if err := person.Close(); err != nil {
			t.Error(err)
		}
	}
}

// TestProgressSeenAtOnce: how many verdicts are done is shown where somebody looks
// on, and nothing of it elsewhere.
func TestProgressSeenAtOnce(t *testing.T) {
	d := atHouse(t)
	d.does(nil, with([]string{"lot", "sample", "L-31"}, onTarget)...)
	screen, program, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	shown := make(chan string)
	go func() {
		text, _ := io.ReadAll(screen) // a closed terminal ends with an error
		shown <- string(text)
	}()
	var out bytes.Buffer
	exit := run(context.Background(), []string{"verdicts", "verify", "--data", d.data}, strings.NewReader(""), &out, program)
	if err := program.Close(); err != nil {
		t.Error(err)
	}
	text := <-shown
	if err := screen.Close(); err != nil {
		t.Error(err)
	}
	if exit != 0 || !strings.Contains(text, "1 verdicts, ") || !strings.Contains(text, " a second") || !strings.Contains(out.String(), "1 have the same figures") {
		t.Errorf("exit %d, %q, %s", exit, text, &out)
	}
	if got := d.run("", "verdicts", "verify"); got.err != "" {
		t.Errorf("progress where nobody looks on: %q", got.err)
	}
}
