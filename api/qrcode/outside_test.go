//go:build outside

package qrcode

import (
	"bytes"
	"image/png"
	"os/exec"
	"strings"
	"testing"
)

// TestOutsideReader: another program (zbarimg of Debian's zbar-tools) reads what was
// encoded, in the sizes that links have.
func TestOutsideReader(t *testing.T) {
	for _, text := range []string{
		"http://10.0.0.2:80/pair/AAAAAAAAAAAAAAAAAAAAAAAAAAA", link,
		"https://[2001:db8:1234:5678:9abc:def0:1234:5678]:8420/pair/zZ9_-aAbBcCdDeEfFgGhHiIjJkK", "https://cellar.example:8420/pair/0123456789abcdefghijklmnopq",
	} {
		for _, pixels := range []int{2, 5} {
			c, err := New(text)
			if err != nil {
				t.Fatal(err)
			}
			var file bytes.Buffer
			if err := png.Encode(&file, c.picture(pixels)); err != nil {
				t.Fatal(err)
			}
			read := exec.CommandContext(t.Context(), "zbarimg", "--quiet", "--raw", "--nodbus", "-")
			read.Stdin = &file
			got, err := read.Output()
			if err != nil || strings.TrimSpace(string(got)) != text {
				t.Errorf("%d pixels a module: %q is read as %q, %v", pixels, text, got, err)
			}
		}
	}
}
