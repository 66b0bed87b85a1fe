// Command readme runs the commands that a Markdown file shows, so that what it
// promises is what a reader gets.
//
// Usage: readme PROGRAM FILE, in the folder of the project.
//
// The commands run in a copy of the project with PROGRAM's folder first on the
// PATH and an empty home, block after block. A fenced block is taken by the
// words after its opening fence:
//
//	sh          must exit 0; a block "text" right after it is its standard output
//	sh service  must print the address of a page that answers, and end when told to
//	sh by-hand  is shown and not run: it would change the machine
//
// Any other block must not hold a command of the program.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: readme PROGRAM FILE")
		os.Exit(2)
	}
	if err := check(context.Background(), os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "readme:", err)
		os.Exit(1)
	}
}

// check runs the commands of a Markdown file and gives the first that does not
// hold, with its line.
func check(ctx context.Context, program, file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	blocks, err := fencedBlocks(string(text))
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	place, err := newWorkplace(ctx, program)
	if err != nil {
		return err
	}
	defer place.remove()
	ran := 0
	for i, b := range blocks {
		switch b.words {
		case "sh":
			ran++
			fmt.Printf("%s:%d: run\n%s", file, b.line, b.text)
			err = place.run(ctx, b, promised(blocks, i))
		case "sh service":
			ran++
			fmt.Printf("%s:%d: run as a service\n%s", file, b.line, b.text)
			err = place.serve(ctx, b)
		case "sh by-hand":
			fmt.Printf("%s:%d: NOT run, marked by-hand\n%s", file, b.line, b.text)
		default:
			err = noCommand(b)
		}
		if err != nil {
			return fmt.Errorf("%s:%d: %w", file, b.line, err)
		}
	}
	if ran == 0 {
		return fmt.Errorf("%s shows no command: mark its blocks with sh", file)
	}
	fmt.Printf("%d blocks of %s hold\n", ran, file)
	return nil
}

// block is one fenced block of a Markdown file.
type block struct {
	line     int    // of its opening fence, from 1
	words    string // after the fence
	text     string
	adjacent bool // only blank lines lie between it and the block before
}

// fencedBlocks finds the blocks between lines of three backquotes.
func fencedBlocks(text string) ([]block, error) {
	var blocks []block
	var open *block
	adjacent := false
	for i, line := range strings.Split(text, "\n") {
		fence, isFence := strings.CutPrefix(line, "```")
		switch {
		case isFence && open == nil:
			open = &block{line: i + 1, words: strings.TrimSpace(fence), adjacent: adjacent}
		case isFence:
			blocks = append(blocks, *open)
			open, adjacent = nil, true
		case open != nil:
			open.text += line + "\n"
		case strings.TrimSpace(line) != "":
			adjacent = false
		}
	}
	if open != nil {
		return nil, fmt.Errorf("line %d: a block without an end", open.line)
	}
	return blocks, nil
}

// promised gives the standard output that the file shows for block i, or nil
// where it shows none.
func promised(blocks []block, i int) *string {
	if i+1 < len(blocks) && blocks[i+1].adjacent && blocks[i+1].words == "text" {
		return &blocks[i+1].text
	}
	return nil
}

// noCommand refuses a block that shows a command but is not marked to be run.
func noCommand(b block) error {
	for line := range strings.Lines(b.text) {
		command := strings.TrimPrefix(strings.TrimSpace(line), "$ ")
		for _, start := range []string{"pourpath ", "./pourpath", "go run ", "go build ", "go install "} {
			if strings.HasPrefix(command, start) {
				return fmt.Errorf("a command in a block that is not run (%q): mark the block with sh", strings.TrimSpace(line))
			}
		}
	}
	return nil
}

// workplace is a copy of the project and the environment that commands get.
type workplace struct {
	root string // temporary: the copy in src, an empty home in home
	env  []string
}

func newWorkplace(ctx context.Context, program string) (*workplace, error) {
	root, err := os.MkdirTemp("", "readme")
	if err != nil {
		return nil, err
	}
	w := &workplace{root: root}
	if err := errors.Join(copyProject(ctx, filepath.Join(root, "src")), os.Mkdir(filepath.Join(root, "home"), 0o700)); err != nil {
		w.remove()
		return nil, err
	}
	program, err = filepath.Abs(program)
	if err != nil {
		w.remove()
		return nil, err
	}
	w.env = append(os.Environ(), "PATH="+filepath.Dir(program)+":"+os.Getenv("PATH"))
	for _, name := range []string{"GOPATH", "GOMODCACHE", "GOCACHE", "GOPROXY", "GOENV"} {
		out, err := exec.CommandContext(ctx, "go", "env", name).Output()
		if err != nil {
			w.remove()
			return nil, fmt.Errorf("go env %s: %w", name, err)
		}
		w.env = append(w.env, name+"="+strings.TrimSpace(string(out)))
	}
	home := filepath.Join(root, "home")
	w.env = append(w.env, "HOME="+home, "XDG_DATA_HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_CACHE_HOME="+home)
	return w, nil
}

func (w *workplace) remove() { os.RemoveAll(w.root) }

// copyProject copies the files that git tracks or would track.
func copyProject(ctx context.Context, to string) error {
	list, err := exec.CommandContext(ctx, "git", "ls-files", "-coz", "--exclude-standard").Output()
	if err != nil {
		return fmt.Errorf("git ls-files: %w", err)
	}
	for name := range strings.SplitSeq(strings.TrimRight(string(list), "\x00"), "\x00") {
		info, err := os.Lstat(name)
		if errors.Is(err, os.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
			continue // deleted since it was tracked, or a link
		}
		if err != nil {
			return err
		}
		content, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		target := filepath.Join(to, name)
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(target, content, info.Mode().Perm()); err != nil {
			return err
		}
	}
	return nil
}
