//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/creack/pty"
)

// TestExampleInsteadOfWaiting: a person at a terminal who gives no request gets
// an example, and the example works when it is fed back.
func TestExampleInsteadOfWaiting(t *testing.T) {
	for command := range examples {
		keyboard, person, err := pty.Open()
		if err != nil {
			t.Fatal(err)
		}
		var out, errOut bytes.Buffer
		exit := run(context.Background(), []string{command}, person, &out, &errOut)
		if exit != 0 || !strings.Contains(errOut.String(), "pourpath "+command+" -f FILE") {
			t.Errorf("%s: exit %d, %s", command, exit, &errOut)
		}
		if got := pourpath(out.String(), command); got.exit != 0 {
			t.Errorf("the example of %s is refused: %s", command, got.err)
		}
		for _, end := range []*os.File{keyboard, person} {
			if err := end.Close(); err != nil {
				t.Error(err)
			}
		}
	}
}

// TestExampleOfAnEntry: the same for what is logged in a trial.
func TestExampleOfAnEntry(t *testing.T) {
	b := begun(t)
	for range 3 {
		b.does(nil, "pour", "First ladder", "--glass", "B", "--volume-ml", "4")
	}
	for _, l := range logCommands() {
		keyboard, person, err := pty.Open()
		if err != nil {
			t.Fatal(err)
		}
		before := len(b.shown("First ladder").Entries)
		var out, errOut bytes.Buffer
		exit := run(context.Background(), []string{"trial", l.word, "First ladder", "--data", b.data}, person, &out, &errOut)
		if exit != 0 || !strings.Contains(errOut.String(), "pourpath trial "+l.word+" TRIAL -f FILE") {
			t.Errorf("%s: exit %d, %s", l.word, exit, &errOut)
		}
		if after := len(b.shown("First ladder").Entries); after != before {
			t.Errorf("%s: an example was logged", l.word)
		}
		if got := b.run(out.String(), l.word, "First ladder"); got.exit != 0 {
			t.Errorf("the example of %s is refused: %s", l.word, got.err)
		}
		for _, end := range []*os.File{keyboard, person} {
			if err := end.Close(); err != nil {
				t.Error(err)
			}
		}
	}
}

// TestSwatches: colours only where the terminal has them and they are wanted.
func TestSwatches(t *testing.T) {
	for _, row := range []struct {
		name, colorterm, noColor string
		want                     bool
	}{
		{"terminal with colours", "truecolor", "", true},
		{"NO_COLOR", "truecolor", "1", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Setenv("TERM", "xterm-256color")
			t.Setenv("COLORTERM", row.colorterm)
			t.Setenv("NO_COLOR", row.noColor)
			t.Setenv("CI", "") // termenv takes a set CI for a terminal without colours
			screen, program, err := pty.Open()
			if err != nil {
				t.Fatal(err)
			}
			shown := make(chan string)
			go func() {
				text, _ := io.ReadAll(screen) // a closed terminal ends with an error
				shown <- string(text)
			}()
			exit := run(context.Background(), []string{"ladder"}, strings.NewReader(examples["ladder"]), program, io.Discard)
			if err := program.Close(); err != nil {
				t.Error(err)
			}
			text := <-shown
			if err := screen.Close(); err != nil {
				t.Error(err)
			}
			if got := strings.Contains(text, "\x1b[48;2;"); exit != 0 || got != row.want {
				t.Errorf("exit %d, swatches %v, want %v: %.300q", exit, got, row.want, text)
			}
		})
	}
	if out := pourpath(examples["ladder"], "ladder").out; strings.Contains(out, "\x1b") {
		t.Errorf("escape sequences where the output is no terminal: %.300q", out)
	}
}
