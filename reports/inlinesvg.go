package reports

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
)

// WriteInlineSVG writes the figure as WriteSVG does, for a place inside a page of
// HTML: without the head of a file of its own, and with its styles as attributes,
// which a policy that allows no inline style lets pass. Errors: a fault of w.
func (d *Drawing) WriteInlineSVG(w io.Writer) error {
	var whole bytes.Buffer
	if err := d.WriteSVG(&whole); err != nil {
		return err
	}
	const begins = "<svg"
	_, svg, _ := bytes.Cut(whole.Bytes(), []byte(begins))
	if _, err := w.Write(withoutStyles(append([]byte(begins), svg...))); err != nil {
		return fmt.Errorf("reports: writing SVG: %w", err)
	}
	return nil
}

var (
	styles       = regexp.MustCompile(`\sstyle="([^"]*)"`)
	declarations = regexp.MustCompile(`\s*([a-z-]+)\s*:\s*([^;]+?)\s*(?:;|$)`)
)

// withoutStyles turns declarations into attributes; SVG has one for each that a
// figure uses.
func withoutStyles(svg []byte) []byte {
	return styles.ReplaceAllFunc(svg, func(style []byte) []byte {
		inner := styles.FindSubmatch(style)[1]
		return append([]byte(" "), bytes.TrimSpace(declarations.ReplaceAll(inner, []byte(`$1="$2" `)))...)
	})
}
