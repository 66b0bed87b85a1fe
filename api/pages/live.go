package pages

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// liveData is what the page's script is given: all that it may have to show, so
// that a slider asks for nothing while it moves.
type liveData struct {
	Sliders []liveSlider      `json:"sliders"`
	Texts   map[string]string `json:"texts"`
	Marks   marks             `json:"marks"`

	rungs   swatches
	target  *reports.Swatch
	volumes volumes
}

// marks are those of the page's numbers.
type marks struct {
	Decimal string `json:"decimal"`
	Group   string `json:"group"`
}

// liveSlider is a slider with the path along its addition, the others held.
type liveSlider struct {
	Name    string    `json:"name"`
	Step    rounded   `json:"step"`
	Largest rounded   `json:"largest"`
	Dose    rounded   `json:"dose"`
	Rungs   []rounded `json:"rungs"`
	Trace   *trace    `json:"trace"`
}

// swatches are the screen colours of a ladder by the mL added in the glass.
type swatches map[float64]reports.Swatch

// scripted is what the texts of the script begin with in the catalogue.
const scripted = "script."

// noLive is what the script is given where there is nothing to move: the words to
// say so.
func (s *site) noLive() liveData {
	out := liveData{Sliders: []liveSlider{}, Texts: map[string]string{}, Marks: marks{s.words.Writing.Decimal, s.words.Writing.Group}}
	for key, text := range s.words.Texts {
		if name, ok := strings.CutPrefix(key, scripted); ok {
			out.Texts[name] = text
		}
	}
	return out
}

// live computes what the script is given.
func (s *site) live(c *choice) (liveData, error) {
	out := s.noLive()
	largest := c.largest()
	for i, at := range c.dosed {
		request := c.along(i)
		path, err := calc.TraceLadder(request, largest, reports.GlassLevelsMM())
		if err != nil {
			return out, fmt.Errorf("pages: %w", err)
		}
		t := traceOf(&path)
		if err := s.name(&t.Words); err != nil {
			return out, err
		}
		t.decide(columnsOf(c.answer))
		slide := liveSlider{Name: at.slot.dose(), Step: rounded(c.step()), Largest: rounded(largest), Dose: rounded(at.dose), Trace: t}
		for _, ml := range c.request.DosesML {
			slide.Rungs = append(slide.Rungs, rounded(100*ml/c.request.BaseML))
		}
		slices.Sort(slide.Rungs)
		answer := c.answer
		if i == 0 {
			out.keep(&path)
		} else if answer, err = calc.Ladder(request); err != nil {
			return out, fmt.Errorf("pages: %w", err)
		}
		t.against(answer.Nearest)
		out.Sliders = append(out.Sliders, slide)
	}
	var err error
	out.volumes, err = s.volumes(c, out.Sliders)
	return out, err
}

// keep remembers the swatches of the rungs and of the target.
func (l *liveData) keep(p *calc.Trace) {
	l.rungs = swatches{}
	for _, r := range p.Rungs {
		l.rungs[r.DoseML] = reports.Swatch{At10MM: r.Cell, InGlass: r.Glass}
	}
	if p.Target != nil {
		l.target = &reports.Swatch{At10MM: p.Target.Cell, InGlass: p.Target.Glass}
	}
}

// decide gives each column the decimals that its uncertainty supports. An
// uncertainty too small for them is rounded up to the last, as everywhere.
func (t *trace) decide(d columns) {
	t.Decimals = map[string]int{
		"dose": d.dose, "percent": d.dose, "L": d.l, "a": d.a, "b": d.b, "C": d.a, "h": 0,
		"intensity": d.intensity, "tint": d.tint,
		"delta_e": 1, "dL": 1, "da": 1, "db": 1, "dintensity": d.intensity, "dtint": d.tint,
	}
	for _, key := range []string{"L", "a", "b", "C", "h", "intensity", "tint"} {
		t.Decimals["u"+key] = t.Decimals[key]
		least := rounded(math.Pow10(-t.Decimals[key]))
		for i, u := range t.Columns["u"+key] {
			if u > 0 && u < least {
				t.Columns["u"+key][i] = least
			}
		}
	}
}

// traceOf is a computed path in columns.
func traceOf(p *calc.Trace) *trace {
	t := &trace{Columns: map[string][]rounded{}, Colours: map[string]string{}, Clipped: map[string]string{}}
	for _, dose := range p.DosesMLPer100ML {
		t.Dose = append(t.Dose, rounded(dose))
	}
	for key, value := range map[string]func(*calc.TracePoint) float64{
		"percent": func(q *calc.TracePoint) float64 { return 100 * q.Fraction },
		"L":       func(q *calc.TracePoint) float64 { return q.L }, "uL": func(q *calc.TracePoint) float64 { return q.UL },
		"a": func(q *calc.TracePoint) float64 { return q.A }, "ua": func(q *calc.TracePoint) float64 { return q.UA },
		"b": func(q *calc.TracePoint) float64 { return q.B }, "ub": func(q *calc.TracePoint) float64 { return q.UB },
		"C": func(q *calc.TracePoint) float64 { return q.C }, "uC": func(q *calc.TracePoint) float64 { return q.UC },
		"h": func(q *calc.TracePoint) float64 { return q.H }, "uh": func(q *calc.TracePoint) float64 { return q.UH },
		"intensity": func(q *calc.TracePoint) float64 { return q.Intensity }, "uintensity": func(q *calc.TracePoint) float64 { return q.UIntensity },
		"tint": func(q *calc.TracePoint) float64 { return q.Tint }, "utint": func(q *calc.TracePoint) float64 { return q.UTint },
		"rab":     func(q *calc.TracePoint) float64 { return q.RAB },
		"delta_e": func(q *calc.TracePoint) float64 { return q.DeltaE00 },
		"dL":      func(q *calc.TracePoint) float64 { return q.DL }, "da": func(q *calc.TracePoint) float64 { return q.DA }, "db": func(q *calc.TracePoint) float64 { return q.DB },
		"dintensity": func(q *calc.TracePoint) float64 { return q.DIntensity }, "dtint": func(q *calc.TracePoint) float64 { return q.DTint },
	} {
		t.Columns[key] = column(p, value)
	}
	for key, at := range map[string]func(*calc.TracePoint) cie.Screen{
		"cell": func(q *calc.TracePoint) cie.Screen { return q.Cell }, "glass": func(q *calc.TracePoint) cie.Screen { return q.Glass },
	} {
		t.Colours[key], t.Clipped[key] = join(func(yield func(cie.Screen)) {
			for i := range p.Points {
				yield(at(&p.Points[i]))
			}
		})
	}
	t.Levels = levels{Every: calc.TraceGlassEvery, Count: len(p.LevelsMM)}
	t.Levels.Colours, _ = join(func(yield func(cie.Screen)) {
		for _, row := range p.Glass {
			for _, c := range row {
				yield(c)
			}
		}
	})
	for i := range p.Points {
		word := wordOf(p.Points[i].L)
		if n := len(t.Words); n == 0 || t.Words[n-1][1] != word {
			t.Words = append(t.Words, wordFrom{t.Dose[i], word})
		}
	}
	t.Chart = chartOf(p)
	return t
}

// name puts the words of a path into the page's language.
func (s *site) name(words *[]wordFrom) error {
	for i, w := range *words {
		key, _ := w[1].(string)
		text, err := s.words.text(key)
		if err != nil {
			return err
		}
		(*words)[i][1] = text
	}
	return nil
}

func chartOf(p *calc.Trace) chart {
	out := chart{Rungs: []mark{}, Measured: []mark{}}
	for _, r := range p.Rungs {
		out.Rungs = append(out.Rungs, mark{
			Dose: rounded(r.DoseMLPer100ML), Label: string(plain(r.DoseML)), Hex: r.Cell.Hex, L: rounded(r.L), A: rounded(r.A), B: rounded(r.B),
		})
	}
	for _, m := range p.Measured {
		out.Measured = append(out.Measured, mark{
			Dose: rounded(m.DoseMLPer100ML), L: rounded(m.L), A: rounded(m.A), B: rounded(m.B),
			UL: rounded(m.U[0]), UA: rounded(m.U[1]), UB: rounded(m.U[2]), DeltaE: rounded(m.DeltaE00),
		})
	}
	if t := p.Target; t != nil {
		out.Target = &targetMark{L: rounded(t.L), A: rounded(t.A), B: rounded(t.B), Tolerance: rounded(t.Tolerance), Outline: [][2]rounded{}}
		for _, at := range t.Outline {
			out.Target.Outline = append(out.Target.Outline, [2]rounded{rounded(at[0]), rounded(at[1])})
		}
	}
	if p.Predicted != nil {
		out.Predicted = &predicted{}
		for _, q := range p.Predicted {
			out.Predicted.L = append(out.Predicted.L, rounded(q.L))
			out.Predicted.A = append(out.Predicted.A, rounded(q.A))
			out.Predicted.B = append(out.Predicted.B, rounded(q.B))
		}
	}
	return out
}

// against adds what the ladder found about the target.
func (t *trace) against(n *calc.Nearest) {
	if n == nil {
		return
	}
	t.Chart.Nearest = &mark{Dose: rounded(n.DoseMLPer100ML)}
	t.Chart.Acceptable, t.Chart.Nominal = roundedPair(n.AcceptableDoses), roundedPair(n.NominalDoses)
}

func roundedPair(x *[2]float64) *[2]rounded {
	if x == nil {
		return nil
	}
	return &[2]rounded{rounded(x[0]), rounded(x[1])}
}
