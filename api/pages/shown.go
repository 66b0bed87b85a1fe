package pages

import "math"

// shown is the blend at the dose that the sliders stand at, as the script would
// write it.
type shown struct {
	trace *trace
	dose  float64
}

// liveNumber is a number that the script rewrites while a slider moves.
type liveNumber struct {
	Key    string
	Text   digits
	Signed bool
}

// Number is the value of a column.
func (s *shown) Number(key string) liveNumber {
	return liveNumber{Key: key, Text: s.text(key, false)}
}

// Signed is Number with its sign.
func (s *shown) Signed(key string) liveNumber {
	return liveNumber{Key: key, Text: s.text(key, true), Signed: true}
}

// pair is a value with its standard uncertainty.
type pair struct{ Value, U liveNumber }

// Pair is the value of a column and its uncertainty.
func (s *shown) Pair(key string) pair { return pair{s.Number(key), s.Number("u" + key)} }

func (s *shown) text(key string, sign bool) digits {
	x := s.trace.at(key, s.dose)
	switch {
	case key == "dose":
		return doseText(s.dose, s.trace.Decimals["dose"])
	case math.IsNaN(x):
		return "–"
	case sign:
		return signed(&x, s.trace.Decimals[key])
	}
	return fixed(x, s.trace.Decimals[key])
}

// Word is the word for how deep the colour is.
func (s *shown) Word() string {
	word := ""
	for _, w := range s.trace.Words {
		if from, ok := w[0].(rounded); ok && float64(from) <= s.dose {
			word, _ = w[1].(string)
		}
	}
	return word
}

// Standing says how the dose stands to the tolerance: "acceptable", "nominal" or
// "outside".
func (s *shown) Standing() string {
	within := func(span *[2]rounded) bool {
		return span != nil && float64(span[0]) <= s.dose && s.dose <= float64(span[1])
	}
	switch c := s.trace.Chart; {
	case within(c.Acceptable):
		return "acceptable"
	case within(c.Nominal):
		return "nominal"
	}
	return "outside"
}

// wordOf is the key of the word for a lightness L*: how pale the eye finds a
// wine. The steps are common practice, no source.
func wordOf(l float64) string {
	switch {
	case l >= 96:
		return "word.clear"
	case l >= 89:
		return "word.very_pale"
	case l >= 78:
		return "word.pale"
	case l >= 64:
		return "word.medium"
	case l >= 45:
		return "word.deep"
	}
	return "word.dark"
}
