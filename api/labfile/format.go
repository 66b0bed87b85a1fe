package labfile

import "bytes"

// form is what a file is, told by its first bytes and never by its name.
type form int

const (
	formText form = iota
	formXLSX
	formJCAMP
)

// strangers are kinds of files that laboratories have and that hold no table for
// us, by their first bytes.
var strangers = []struct{ magic, advice string }{
	{"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", "this is an old Excel file (.xls) or a workbook with a password: open it, take the password off, and save it as XLSX (Excel workbook) or CSV"},
	{"%PDF", "this is a PDF: export the table from the instrument's program as CSV or XLSX"},
	{"{\\rtf", "this is a text document (RTF): save the table as CSV or XLSX"},
	{"\x1f\x8b", "this is a compressed file (gzip): unpack it first"},
	{"7z\xBC\xAF", "this is a compressed archive (7z): unpack it first"},
	{"Rar!", "this is a compressed archive (RAR): unpack it first"},
	{"\x89PNG", "this is a picture: export the table as CSV or XLSX"},
	{"\xFF\xD8\xFF", "this is a picture: export the table as CSV or XLSX"},
	{"<?xml", "this is an XML file: save the table as CSV or XLSX"},
	{"<html", "this is a web page: save the table as CSV or XLSX"},
	{"<!DOCTYPE", "this is a web page: save the table as CSV or XLSX"},
	{"SQLite format 3\x00", "this is a database: export the readings as CSV"},
}

// formOf tells what a file is by how it starts.
func formOf(head []byte) (form, error) {
	if len(bytes.TrimSpace(bytes.TrimPrefix(head, []byte(bomUTF8)))) == 0 {
		return 0, refuse("the file is empty: export the table again")
	}
	if bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.HasPrefix(head, []byte("PK\x05\x06")) {
		return formXLSX, nil
	}
	for _, s := range strangers {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return 0, refuse("%s", s.advice)
		}
	}
	start := bytes.TrimSpace(bytes.TrimPrefix(head, []byte(bomUTF8)))
	for bytes.HasPrefix(start, []byte("$$")) { // comments may come first
		_, rest, _ := bytes.Cut(start, []byte("\n"))
		start = bytes.TrimSpace(rest)
	}
	first := start[:min(len(start), 4096)]
	if bytes.HasPrefix(first, []byte("##")) && bytes.IndexByte(bytes.SplitN(first, []byte("\n"), 2)[0], '=') > 2 {
		return formJCAMP, nil
	}
	return formText, nil
}
