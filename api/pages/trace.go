package pages

import (
	"math"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/cie"
)

// trace is a path as the page's script looks it up: columns of values at doses
// that are evenly apart. Between two of them it draws a straight line.
type trace struct {
	Dose     []rounded            `json:"dose"`
	Columns  map[string][]rounded `json:"columns"`
	Decimals map[string]int       `json:"decimals"`
	Colours  map[string]string    `json:"colours"` // six hexadecimal digits for each dose
	Clipped  map[string]string    `json:"clipped"` // 1 where a screen cannot show the colour
	Levels   levels               `json:"levels"`
	Words    []wordFrom           `json:"words"`
	Chart    chart                `json:"chart"`
}

// levels are the colours of the depths of wine in the drawn glass, for every
// so-many-th dose.
type levels struct {
	Every   int    `json:"every"`
	Count   int    `json:"count"`
	Colours string `json:"colours"`
}

// wordFrom is a word that holds from a dose on.
type wordFrom [2]any

// rounded is a number with as many digits as are of use in drawing; none where
// it is not a number.
type rounded float64

// MarshalJSON implements json.Marshaler.
func (r rounded) MarshalJSON() ([]byte, error) {
	x := float64(r)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, math.Round(x*1e4)/1e4, 'f', -1, 64), nil
}

func column(t *calc.Trace, value func(*calc.TracePoint) float64) []rounded {
	out := make([]rounded, len(t.Points))
	for i := range t.Points {
		out[i] = rounded(value(&t.Points[i]))
	}
	return out
}

// at looks a column up as the script does.
func (t *trace) at(key string, dose float64) float64 {
	if key == "dose" {
		return dose
	}
	values := t.Columns[key]
	if len(values) == 0 {
		return math.NaN()
	}
	i, rest := t.between(dose)
	from := float64(values[i])
	if rest == 0 {
		return from
	}
	step := float64(values[i+1]) - from
	if key != "h" {
		return from + rest*step
	}
	// Hues are an angle: from 359 to 1 is two degrees.
	return math.Mod(from+rest*math.Remainder(step, 360)+360, 360)
}

// between is the dose's place: after which point, and how far to the next.
func (t *trace) between(dose float64) (i int, rest float64) {
	last := len(t.Dose) - 1
	x := dose / float64(t.Dose[last]) * float64(last)
	x = min(max(x, 0), float64(last))
	if math.IsNaN(x) { // a ladder of no dose
		return 0, 0
	}
	i = int(x)
	return i, x - float64(i)
}

// screen is the colour at a dose, "cell" or "glass".
func (t *trace) screen(key string, dose float64) cie.Screen {
	i, rest := t.between(dose)
	next := i
	if rest > 0 {
		next++
	}
	hex := mixed(t.Colours[key][6*i:6*i+6], t.Colours[key][6*next:6*next+6], rest)
	nearest := i
	if rest >= 0.5 {
		nearest = next
	}
	return cie.Screen{Hex: "#" + hex, InGamut: t.Clipped[key][nearest] == '0'}
}

// level is the colour of a depth of the drawn glass at a dose.
func (t *trace) level(k int, dose float64) string {
	i, rest := t.between(dose)
	l := t.Levels
	row := i / l.Every
	x := (float64(i%l.Every) + rest) / float64(l.Every)
	next := min(row+1, len(l.Colours)/(6*l.Count)-1)
	at := func(row int) string { return l.Colours[6*(row*l.Count+k) : 6*(row*l.Count+k)+6] }
	return "#" + mixed(at(row), at(next), x)
}

// mixed is a colour between two, channel by channel.
func mixed(from, to string, x float64) string {
	var b strings.Builder
	for i := 0; i < 6; i += 2 {
		low, _ := strconv.ParseUint(from[i:i+2], 16, 8) // the program's own digits
		high, _ := strconv.ParseUint(to[i:i+2], 16, 8)
		v := math.Floor(float64(low) + x*(float64(high)-float64(low)) + 0.5)
		b.WriteString(strconv.FormatUint(0x100+uint64(v), 16)[1:])
	}
	return b.String()
}

func join(screens func(func(cie.Screen))) (colours, clipped string) {
	var c, o strings.Builder
	screens(func(s cie.Screen) {
		c.WriteString(strings.TrimPrefix(s.Hex, "#"))
		if s.InGamut {
			o.WriteByte('0')
		} else {
			o.WriteByte('1')
		}
	})
	return c.String(), o.String()
}

// chart is what is drawn beside the path itself.
type chart struct {
	Rungs      []mark      `json:"rungs"`
	Measured   []mark      `json:"measured"`
	Target     *targetMark `json:"target"`
	Nearest    *mark       `json:"nearest"`
	Acceptable *[2]rounded `json:"acceptable"`
	Nominal    *[2]rounded `json:"nominal"`
	Predicted  *predicted  `json:"predicted"`
}

// mark is a point of the chart.
type mark struct {
	Dose  rounded `json:"dose"`
	Label string  `json:"label,omitempty"`
	Hex   string  `json:"hex,omitempty"`
	L     rounded `json:"L"`
	A     rounded `json:"a"`
	B     rounded `json:"b"`
	UL    rounded `json:"uL"`
	UA    rounded `json:"ua"`
	UB    rounded `json:"ub"`
	// DeltaE is the difference from the target.
	DeltaE rounded `json:"delta_e"`
}

type targetMark struct {
	L         rounded      `json:"L"`
	A         rounded      `json:"a"`
	B         rounded      `json:"b"`
	Tolerance rounded      `json:"tolerance"`
	Outline   [][2]rounded `json:"outline"`
}

type predicted struct {
	L []rounded `json:"L"`
	A []rounded `json:"a"`
	B []rounded `json:"b"`
}
