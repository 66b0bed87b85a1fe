package jcampdx

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// encode writes whole ordinates in one of the forms, with lines of at most 80
// characters, abscissas from first on in steps of step.
func encode(form string, first, step int, ys []int) []string {
	const width = 80
	var lines []string
	for i := 0; ; {
		line := strconv.Itoa(first+i*step) + head(form, ys[i])
		next := i + 1
		for next < len(ys) {
			token, n := tail(form, ys, next)
			if len(line)+len(token) > width {
				break
			}
			line += token
			next += n
		}
		lines = append(lines, line)
		if strings.HasPrefix(form, "DIF") && next > i+1 {
			i = next - 1 // the line that follows repeats the last ordinate
			continue
		}
		if next == len(ys) {
			return lines
		}
		i = next
	}
}

// head is the first ordinate of a line, tail what stands for the ordinates
// from i on and how many those are.
func head(form string, y int) string {
	switch form {
	case "AFFN":
		return " " + strconv.Itoa(y)
	case "PAC":
		return fmt.Sprintf("%+d", y)
	}
	return pseudoNumber(y, "@ABCDEFGHI", "abcdefghi")
}

func tail(form string, ys []int, i int) (string, int) {
	if !strings.HasPrefix(form, "DIF") {
		n := 1
		for form == "SQZDUP" && i+n < len(ys) && ys[i+n] == ys[i] {
			n++
		}
		return head(form, ys[i]) + dupCount(n), n
	}
	d, n := ys[i]-ys[i-1], 1
	for form == "DIFDUP" && i+n < len(ys) && ys[i+n]-ys[i+n-1] == d {
		n++
	}
	return pseudoNumber(d, "%JKLMNOPQR", "jklmnopqr") + dupCount(n), n
}

func pseudoNumber(v int, plus, minus string) string {
	s := strconv.Itoa(v)
	if v < 0 {
		return string(minus[s[1]-'1']) + s[2:]
	}
	return string(plus[s[0]-'0']) + s[1:]
}

func dupCount(n int) string {
	if n < 2 {
		return ""
	}
	s := strconv.Itoa(n)
	return string("STUVWXYZs"[s[0]-'1']) + s[1:]
}

// TestRoundTrip: random spectra come back from every form.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 24))
	for trial := range 300 {
		n := 2 + rng.IntN(400)
		ys := make([]int, n)
		for i := 1; i < n; i++ {
			switch rng.IntN(4) {
			case 0:
				ys[i] = ys[i-1] // for DUP
			case 1:
				ys[i] = rng.IntN(2_000_001) - 1_000_000
			default:
				ys[i] = ys[i-1] + rng.IntN(41) - 20
			}
		}
		step := 1 + rng.IntN(5)
		first := 300
		if trial%2 == 1 {
			first, step = first+step*n, -step
		}
		last := first + step*(n-1)
		for _, form := range []string{"AFFN", "PAC", "SQZ", "SQZDUP", "DIF", "DIFDUP"} {
			b := one(t, file(strconv.Itoa(first), strconv.Itoa(last), n, "1", encode(form, first, step, ys)...))
			if len(b.NM) != n {
				t.Fatalf("%s: %d points, want %d", form, len(b.NM), n)
			}
			for i := range ys {
				j := i
				if step < 0 {
					j = n - 1 - i
				}
				if b.Ordinates[j] != float64(ys[i]) || b.NM[j] != float64(first+step*i) {
					t.Fatalf("%s: point %d is %g at %g, want %d at %d", form, i, b.Ordinates[j], b.NM[j], ys[i], first+step*i)
				}
			}
		}
	}
}

// smooth is a scan of n ordinates as an instrument gives it: slow, with noise.
func smooth(n int) []int {
	rng := rand.New(rand.NewPCG(1, 1))
	ys := make([]int, n)
	for i := 1; i < n; i++ {
		ys[i] = ys[i-1] + rng.IntN(7) - 2
	}
	return ys
}

// BenchmarkParseDIFDUP reads a block of 2,000 points.
func BenchmarkParseDIFDUP(b *testing.B) {
	text := file("200", "2199", 2000, "0.0001", encode("DIFDUP", 200, 1, smooth(2000))...)
	one(b, text)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse(strings.NewReader(text)); err != nil {
			b.Fatal(err)
		}
	}
}
