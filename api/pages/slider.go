package pages

import (
	"math"
	"strings"
)

// slider moves the dose of one addition.
type slider struct {
	Index             int
	Slot, Name        string // Name is the wine's, empty where it was typed
	Field             input
	Graduation        digits // one step
	Shown             liveNumber
	Percent           liveNumber
	Control, Share    control
	Ticks             []tick
	AcceptableX, Wide string // of the bar for the acceptable doses, in %; empty where there is none
	NearestX          string // empty where there is none
	Announce          string
}

// control is what a browser's slider has, with decimal points in every language.
type control struct{ Step, Largest, Value string }

// tick is a mark on the slider's track, in % of its length.
type tick struct {
	X     string
	Label digits
}

// tickGap is how far apart rungs must be for their doses to be written beneath
// the track, in % of it.
const tickGap = 12

func sliderOf(c *choice, i int, data liveSlider) slider {
	at := c.dosed[i]
	largest := float64(data.Largest)
	percentOf := func(dose float64) string { return string(fixed(100*dose/largest, 2)) }
	now := shown{trace: data.Trace, dose: at.dose}
	percents := data.Trace.Columns["percent"]
	out := slider{
		Index: i, Slot: at.name, Name: c.picked[at.name].name,
		Graduation: plain(float64(data.Step)), Shown: now.Number("dose"), Percent: now.Number("percent"),
	}
	out.Control = control{string(out.Graduation), string(plain(largest)), string(plain(roundDose(at.dose)))}
	out.Share = control{"0.01", string(fixed(float64(percents[len(percents)-1]), 2)), string(out.Percent.Text)}
	out.Field = input{Name: at.slot.dose(), Label: "field.dose", Text: entered(out.Control.Value)}
	for _, n := range c.notes {
		if n.Field == at.slot.dose() {
			out.Field.Faults, out.Field.Text = append(out.Field.Faults, n.Message), entered(c.typed[at.slot.dose()])
		}
	}
	last := -float64(tickGap)
	for _, dose := range data.Rungs {
		at, label := 100*float64(dose)/largest, digits("")
		if at-last >= tickGap {
			last, label = at, plain(roundDose(float64(dose)))
		}
		out.Ticks = append(out.Ticks, tick{percentOf(float64(dose)), label})
	}
	if i > 0 {
		return out
	}
	if a := data.Trace.Chart.Acceptable; a != nil {
		out.AcceptableX, out.Wide = percentOf(float64(a[0])), percentOf(float64(a[1]-a[0]))
	}
	if n := data.Trace.Chart.Nearest; n != nil {
		out.NearestX = percentOf(float64(n.Dose))
	}
	return out
}

// roundDose is a dose to a microlitre per litre, as a field shows it.
func roundDose(dose float64) float64 { return math.Round(dose*1e4) / 1e4 }

// doseText is a dose with at least so many decimals, and more where it has them.
func doseText(dose float64, decimals int) digits {
	dose = roundDose(dose)
	if _, own, _ := strings.Cut(string(plain(dose)), "."); len(own) > decimals {
		return plain(dose)
	}
	return fixed(dose, decimals)
}
