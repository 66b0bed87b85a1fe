package labfile

import (
	"bytes"
	"io"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

const bomUTF8 = "\xEF\xBB\xBF"

// charset is how the text of a file is encoded.
type charset int

const (
	// ascii: so far every byte was below 128, which UTF-8 and Windows-1252
	// have in common.
	ascii charset = iota
	utf8Text
	utf16LE
	utf16BE
	windows1252
)

// charsetOf tells the encoding from the start of a file. What is not UTF-8 and
// not UTF-16 is taken for Windows-1252, which Western European Windows writes
// by default; whole is false where the file goes on after head.
func charsetOf(head []byte, whole bool) (charset, error) {
	switch {
	case bytes.HasPrefix(head, []byte(bomUTF8)):
		return utf8Text, nil
	case bytes.HasPrefix(head, []byte("\xFF\xFE")):
		return utf16LE, nil
	case bytes.HasPrefix(head, []byte("\xFE\xFF")):
		return utf16BE, nil
	}
	if zeros := bytes.Count(head, []byte{0}); zeros > 0 {
		return utf16Of(head, zeros)
	}
	if isASCII(head) {
		return ascii, nil
	}
	if !whole { // a character may be cut at the end
		for i := 1; i < maxUTF8 && i <= len(head); i++ {
			if last := head[len(head)-i]; utf8.RuneStart(last) {
				if !utf8.FullRune(head[len(head)-i:]) {
					head = head[:len(head)-i]
				}
				break
			}
		}
	}
	if mostlyUTF8(head) {
		return utf8Text, nil
	}
	return windows1252, nil
}

// mostlyUTF8 counts characters of several bytes against stray bytes:
// Windows-1252 makes none of the first by chance. A file that has both was put
// together from two, and its wrong rows are refused one by one.
func mostlyUTF8(b []byte) bool {
	long, stray := 0, 0
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		switch {
		case r == utf8.RuneError && n == 1:
			stray++
		case n > 1:
			long++
		}
		b = b[n:]
	}
	return long >= stray
}

// utf16Of tells UTF-16 without a byte order mark by where the zero bytes stand:
// in a table nearly all characters are ASCII, and have one each.
func utf16Of(head []byte, zeros int) (charset, error) {
	var odd int
	for i := 1; i < len(head); i += 2 {
		if head[i] == 0 {
			odd++
		}
	}
	half := len(head) / 2
	switch {
	case odd == zeros && odd*10 > half*7:
		return utf16LE, nil
	case odd == 0 && zeros*10 > half*7:
		return utf16BE, nil
	}
	return 0, refuse("the file is neither text nor a workbook (it holds zero bytes): export the table as CSV, XLSX or JCAMP-DX")
}

func isASCII(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// decoded gives r as UTF-8. Bytes that are not valid UTF-8 in a file that was
// taken for it are passed on, for the row they stand in to be refused.
func (c charset) decoded(r io.Reader) io.Reader {
	switch c {
	case utf16LE:
		return unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Reader(r)
	case utf16BE:
		return unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewDecoder().Reader(r)
	case windows1252:
		return charmap.Windows1252.NewDecoder().Reader(r)
	}
	return r
}

// fromWindows1252 decodes one row.
func fromWindows1252(s string) string {
	out, err := charmap.Windows1252.NewDecoder().String(s)
	if err != nil { // the decoder maps every byte to something
		return s
	}
	return out
}
