package calc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the longest request for a calculation, 1 MiB. The largest that
// makes sense (100 scans at 0.5 nm) fits.
const MaxBytes = 1 << 20

// deepest is how far objects and lists may be nested; requests need seven.
const deepest = 32

// Request is what Decode can make: a request that can name its own faults.
type Request interface {
	// Check appends what is wrong beyond the schema.
	Check(*Faults)
}

// Decode reads one JSON request. The error is a *Problem: malformed JSON with
// its line and column, or the list of every fault: unknown fields and doubled
// ones, wrong kinds, values out of range, and what only the field's own rules
// know (a scan that does not cover 400-700 nm, fractions that do not sum to 1).
// Text after the request, NaN and Infinity are malformed; JSON has none of them.
func Decode[T Request](data []byte) (T, error) {
	var request T
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if err := wellFormed(data); err != nil {
		return request, err
	}
	var found Faults
	document := readDocument(data, &found)
	validate[T](document, &found)
	if len(found.list) == 0 {
		if err := json.Unmarshal(data, &request); err != nil {
			return request, fmt.Errorf("calc: schema and type disagree: %w", err)
		}
		return request, nil
	}
	// Look at the rest too, so that everything can be mended at once. Values of
	// the wrong kind are left out by Unmarshal and were named above.
	var kind *json.UnmarshalTypeError
	if err := json.Unmarshal(data, &request); err == nil || errors.As(err, &kind) {
		more := Faults{unlooked: true}
		request.Check(&more)
		found.merge(more)
	}
	return request, found.Err()
}

// wellFormed returns the Problem of data that is not one JSON text in UTF-8.
func wellFormed(data []byte) error {
	if len(data) > MaxBytes {
		return TooLong()
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return malformed(data, len(data), "there is no request: expected a JSON object")
	}
	if !utf8.Valid(data) {
		at := 0
		for r, size := utf8.DecodeRune(data); r != utf8.RuneError || size > 1; r, size = utf8.DecodeRune(data[at:]) {
			at += size
		}
		return malformed(data, at, "the text is not UTF-8 from here")
	}
	var whole json.RawMessage
	err := json.Unmarshal(data, &whole)
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		at := max(0, int(syntax.Offset)-1)
		if syntax.Error() == "unexpected end of JSON input" {
			at = len(data)
		}
		return malformed(data, at, syntax.Error()+hint(data, at))
	}
	if err != nil {
		return malformed(data, 0, err.Error())
	}
	return nil
}

// TooLong is the Problem of a request above MaxBytes.
func TooLong() *Problem {
	return &Problem{
		Type: TooLarge, Title: "The request is too large", Status: http.StatusRequestEntityTooLarge,
		Detail: fmt.Sprintf("a request for a calculation may have up to %d bytes; thin out scans to 5 nm or ask in parts", MaxBytes),
	}
}

// malformed names the place of a syntax error, at a byte offset from 0.
func malformed(data []byte, at int, message string) *Problem {
	at = min(at, len(data))
	line := 1 + bytes.Count(data[:at], []byte("\n"))
	column := 1 + utf8.RuneCount(data[bytes.LastIndexByte(data[:at], '\n')+1:at])
	return &Problem{
		Type: MalformedJSON, Title: "The request is not JSON", Status: http.StatusBadRequest,
		Detail: fmt.Sprintf("line %d, column %d (byte %d): %s", line, column, at, message),
		Errors: []Fault{{Message: fmt.Sprintf("line %d, column %d: %s", line, column, message)}},
	}
}

// hint adds what is usually meant by the commonest slips.
func hint(data []byte, at int) string {
	rest := strings.TrimLeft(string(data[at:min(len(data), at+12)]), "-")
	switch {
	case strings.HasPrefix(rest, "NaN"), strings.HasPrefix(rest, "Inf"), strings.HasPrefix(rest, "nan"):
		return "; JSON has no NaN and no Infinity: leave out a reading that could not be taken"
	case strings.HasPrefix(rest, "'"):
		return "; text in JSON stands in double quotes"
	case strings.HasPrefix(rest, ","):
		return "; if this is a decimal comma, JSON wants a point"
	}
	return ""
}

// readDocument turns well-formed JSON into maps, lists and scalars, and appends
// what the schema cannot see: doubled fields, numbers beyond float64, nesting
// beyond any request's.
func readDocument(data []byte, found *Faults) any {
	r := reader{decoder: json.NewDecoder(bytes.NewReader(data)), found: found}
	r.decoder.UseNumber()
	return r.value("", 0)
}

type reader struct {
	decoder *json.Decoder
	found   *Faults
}

// next returns the next token. The text was found well formed, so there is one.
func (r *reader) next() json.Token {
	t, err := r.decoder.Token()
	if err != nil {
		panic(fmt.Sprintf("calc: well-formed JSON gave %v", err))
	}
	return t
}

func (r *reader) value(pointer string, depth int) any {
	if depth == deepest {
		r.found.Addf(pointer, nil, "nested deeper than %d: no request needs that", deepest)
		r.skip()
		return nil
	}
	switch t := r.next().(type) {
	case json.Delim:
		if t == '{' {
			return r.object(pointer, depth)
		}
		list := []any{}
		for r.decoder.More() {
			list = append(list, r.value(pointer+"/"+strconv.Itoa(len(list)), depth+1))
		}
		r.next()
		return list
	case json.Number:
		x, err := strconv.ParseFloat(t.String(), 64)
		if err != nil {
			r.found.Addf(pointer, t.String(), "the number is beyond what a 64-bit float holds (about 1.8e308)")
			return 0.0
		}
		return x
	case string:
		if strings.ContainsRune(t, 0) {
			r.found.Addf(pointer, nil, "the text has a character U+0000, which no text needs: leave it out")
		}
		return t
	default:
		return t
	}
}

func (r *reader) object(pointer string, depth int) any {
	members := map[string]any{}
	for r.decoder.More() {
		name, _ := r.next().(string)
		place := pointer + "/" + token(name)
		if _, doubled := members[name]; doubled {
			r.found.Addf(place, nil, "the field %q stands here twice", name)
		}
		members[name] = r.value(place, depth+1)
	}
	r.next()
	return members
}

// skip passes one value without recursion.
func (r *reader) skip() {
	open := 0
	for {
		switch d, _ := r.next().(json.Delim); d {
		case '{', '[':
			open++
		case '}', ']':
			open--
		}
		if open == 0 {
			return
		}
	}
}
