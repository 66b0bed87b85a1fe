package jcampdx

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// kind says what the ordinate read last was, for a DUP count that follows it.
type kind int

const (
	nothing kind = iota // no ordinate on this line yet
	actual              // AFFN, PAC or SQZ
	difference
	absent // "?"
)

// pseudo is a pseudo-digit: a letter that stands for the first digit of a
// number, its sign, and the form the number has.
type pseudo struct {
	form  form
	digit int // 0 to 9
	minus bool
}

type form byte

const (
	noForm form = iota
	sqz
	dif
	dup
)

// pseudos is the table of pseudo-digits of the ASDF forms, McDonald and Wilks
// 1988, table VII.
var pseudos = func() (t [256]pseudo) {
	for i, c := range []byte("@ABCDEFGHI") {
		t[c] = pseudo{sqz, i, false}
	}
	for i, c := range []byte("abcdefghi") {
		t[c] = pseudo{sqz, i + 1, true}
	}
	for i, c := range []byte("%JKLMNOPQR") {
		t[c] = pseudo{dif, i, false}
	}
	for i, c := range []byte("jklmnopqr") {
		t[c] = pseudo{dif, i + 1, true}
	}
	for i, c := range []byte("STUVWXYZs") {
		t[c] = pseudo{dup, i + 1, false}
	}
	return t
}()

var (
	errDecimalComma = errors.New("a comma stands between digits and may be a decimal comma: write decimals with a point and part numbers with blanks")
	errLong         = errors.New("a number has more than 15 digits")
	errNotFinite    = errors.New("a number is too large")
)

// ordinateLine reads a line of (X++(Y..Y)): an abscissa, then ordinates in any
// of the ASDF forms.
func (t *table) ordinateLine(s *section, at int, text []byte) error {
	text = text[skipBlanks(text, 0):]
	x, i, err := affn(text, 0)
	if err != nil {
		return fmt.Errorf("the line must start with an abscissa: %w", err)
	}
	point := len(t.y)
	if t.wasDiff {
		point-- // the check ordinate is that of the last point once more
	}
	t.checkX(s, at, point, x)
	t.kind, t.checking, t.wasDiff = nothing, t.wasDiff, false
	for i = skipBlanks(text, i); i < len(text); i = skipBlanks(text, i) {
		if i, err = t.ordinate(s, at, text, i); err != nil {
			return err
		}
	}
	if t.kind == nothing {
		return errors.New("no ordinate follows the abscissa")
	}
	t.wasDiff = t.kind == difference
	return nil
}

// ordinate reads what starts at text[i], which is no blank, and returns where
// it ends.
func (t *table) ordinate(s *section, at int, text []byte, i int) (int, error) {
	c := text[i]
	switch p := pseudos[c]; {
	case c == '?' && t.checking:
		return i, errors.New("the first ordinate is missing (?), but it must repeat the last one of the line before")
	case c == '?':
		t.kind = absent
		return i + 1, t.put(at, math.NaN(), 1)
	case digit(c) || c == '+' || c == '-' || c == '.':
		n, end, err := affn(text, i)
		if err != nil {
			return end, err
		}
		return end, t.value(s, at, n.value)
	case p.form == noForm:
		return i, fmt.Errorf("%s is no number in any of the forms AFFN, PAC, SQZ, DIF and DUP", quoted(asText(text[i:i+1])))
	default:
		n, end, err := whole(text, i+1, p)
		if err != nil {
			return end, err
		}
		switch p.form {
		case sqz:
			return end, t.value(s, at, n)
		case dif:
			return end, t.step(at, n)
		}
		return end, t.repeat(at, n)
	}
}

// value takes an ordinate as it stands. After a line that ended with a
// difference the first one is the ordinate check.
func (t *table) value(s *section, at int, y float64) error {
	t.kind = actual
	if !t.checking {
		return t.put(at, y, 1)
	}
	t.checking = false
	last := &t.y[len(t.y)-1]
	if math.Abs(*last-y) > 1e-9*math.Abs(y) {
		s.faultf(at, "ordinate check: the line before ends at %g, but this one repeats it as %g: a difference was lost or spoilt", *last, y)
		*last = y
	}
	return nil
}

// step takes a difference to the ordinate before it.
func (t *table) step(at int, d float64) error {
	switch t.kind {
	case nothing:
		return errors.New("the line starts with a difference: the first ordinate of a line must be given itself")
	case absent:
		return errors.New("a difference follows a missing ordinate: there is nothing to count it from")
	}
	t.kind, t.diff = difference, d
	return t.put(at, t.y[len(t.y)-1]+d, 1)
}

// repeat takes a DUP count: how often the ordinate or difference before it
// stands, itself included.
func (t *table) repeat(at int, count float64) error {
	switch {
	case t.kind == nothing:
		return errors.New("the line starts with a DUP count: there is nothing to repeat")
	case count > MaxPoints:
		count = MaxPoints + 1 // more than there can be room for
	}
	n := int(count) - 1
	last := t.y[len(t.y)-1]
	if t.kind != difference {
		return t.put(at, last, n)
	}
	if n > t.room-len(t.y) {
		return t.put(at, last, n) // which says so
	}
	for range n {
		last += t.diff
		if err := t.put(at, last, 1); err != nil {
			return err
		}
	}
	return nil
}

// whole reads the digits after a pseudo-digit.
func whole(text []byte, i int, p pseudo) (value float64, end int, err error) {
	n, start := int64(p.digit), i
	for ; i < len(text) && digit(text[i]); i++ {
		if i-start >= 14 {
			return 0, i, errLong
		}
		n = 10*n + int64(text[i]-'0')
	}
	if i+1 < len(text) && digit(text[i+1]) {
		switch text[i] {
		case '.':
			return 0, i, errors.New("a number in the forms SQZ, DIF and DUP has a decimal point: it must be whole")
		case ',':
			return 0, i, errDecimalComma
		}
	}
	if p.minus {
		n = -n
	}
	return float64(n), i, nil
}

// affn reads a number in the free format, sign and power of ten included. An E
// is a power of ten only where a sign and digits follow it; else it is the
// pseudo-digit 5 (McDonald and Wilks 1988, 5.3).
func affn(text []byte, i int) (n number, end int, err error) {
	start := i
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	first := i
	i = skipDigits(text, i)
	digits, power := i-first, 0
	if i < len(text) && text[i] == '.' {
		i = skipDigits(text, i+1)
		power = -(i - first - digits - 1)
		digits -= power
	}
	if digits == 0 {
		what := text[start:min(len(text), start+8)]
		return n, i, fmt.Errorf("a number is needed where %s stands", quoted(asText(what)))
	}
	if i+2 < len(text) && (text[i]|0x20) == 'e' && (text[i+1] == '+' || text[i+1] == '-') && digit(text[i+2]) {
		from := i + 1
		i = skipDigits(text, i+2)
		e, err := strconv.Atoi(string(text[from:i]))
		if err != nil {
			return n, i, errNotFinite
		}
		power += e
	}
	if i < len(text) && text[i] == '.' {
		return n, i, fmt.Errorf("a number has two decimal points: %s", quoted(asText(text[start:i+1])))
	}
	if i+1 < len(text) && text[i] == ',' && digit(text[i+1]) {
		return n, i, errDecimalComma
	}
	value, err := strconv.ParseFloat(string(text[start:i]), 64)
	if err != nil {
		return n, i, errNotFinite
	}
	return number{value: value, digit: math.Pow10(power), given: true}, i, nil
}

// skipBlanks passes over what parts numbers: blanks, tabs and commas.
func skipBlanks(text []byte, i int) int {
	for i < len(text) && (text[i] == ' ' || text[i] == '\t' || text[i] == ',') {
		i++
	}
	return i
}

func skipDigits(text []byte, i int) int {
	for i < len(text) && digit(text[i]) {
		i++
	}
	return i
}

func digit(c byte) bool { return c >= '0' && c <= '9' }
