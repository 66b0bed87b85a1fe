package qrcode

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const link = "http://192.168.100.200:8420/pair/AAAAAAAAAAAAAAAAAAAAAAAAAAA"

func TestCode(t *testing.T) {
	c, err := New(link)
	if err != nil {
		t.Fatal(err)
	}
	if n := c.Side() - 2*quiet; n != 33 && n != 37 {
		t.Errorf("%d modules a side: want version 4 or 5, which a phone reads from a small picture", n)
	}
	for i := range c.Side() {
		for j := range quiet {
			if c.dark[j][i] || c.dark[i][j] || c.dark[c.Side()-1-j][i] || c.dark[i][c.Side()-1-j] {
				t.Fatal("the border is not light all around")
			}
		}
	}
	// Three of the corners have the pattern by which a code is found.
	finder := []string{"1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"}
	far := c.Side() - quiet - 7
	for _, at := range [][2]int{{quiet, quiet}, {far, quiet}, {quiet, far}} {
		for y, row := range finder {
			for x, want := range row {
				if c.dark[at[1]+y][at[0]+x] != (want == '1') {
					t.Fatalf("no finder pattern at %v", at)
				}
			}
		}
	}
}

// TestDrawings: path, blocks and image are of the same modules.
func TestDrawings(t *testing.T) {
	c, err := New(link)
	if err != nil {
		t.Fatal(err)
	}
	path := make([][]bool, c.Side())
	for y := range path {
		path[y] = make([]bool, c.Side())
	}
	number := func(s string) int { n, _ := strconv.Atoi(s); return n }
	for _, m := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1H(\d+)z`).FindAllStringSubmatch(c.Path(), -1) {
		if m[1] != m[4] {
			t.Fatalf("%s does not close", m[0])
		}
		for x := range number(m[3]) {
			path[number(m[2])][number(m[1])+x] = true
		}
	}
	drawn := c.picture(3)
	upper, lower := map[rune]bool{'█': true, '▀': true}, map[rune]bool{'█': true, '▄': true}
	onLight, onDark := strings.Split(c.Blocks(false), "\n"), strings.Split(c.Blocks(true), "\n")
	for y := range c.Side() {
		half := upper
		if y%2 == 1 {
			half = lower
		}
		for x, dark := range c.dark[y] {
			if path[y][x] != dark || (drawn.GrayAt(3*x+1, 3*y+1).Y == 0) != dark ||
				half[[]rune(onLight[y/2])[x]] != dark || half[[]rune(onDark[y/2])[x]] == dark {
				t.Fatalf("the drawings differ at %d, %d", x, y)
			}
		}
	}
	last := []rune(onDark[c.Side()/2])
	if strings.Trim(string(last), "█") != "" {
		t.Errorf("the border's last line is %q: its ground must be light to the end", string(last))
	}
}

func TestTooLong(t *testing.T) {
	if _, err := New(strings.Repeat("x", 5000)); err == nil {
		t.Error("5,000 characters make a code")
	}
}
