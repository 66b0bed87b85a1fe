package panel

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Codes of the warnings of a result.
const (
	CodeLeftOut      = "judges_left_out"
	CodeUneven       = "uneven_serving"
	CodeNoDifference = "no_difference_found"
	CodeMissed       = "preference_may_be_missed"
	CodePairsByOne   = "pairs_one_by_one"
	CodeBestAtEnd    = "best_dose_at_end"
	CodeCurveMisses  = "curve_misses"
)

// firmShare is a preference that a panel should be able to find: three judges of
// four. One that cannot is told so whatever it found.
const firmShare = 0.75

func (r Result) warnings() []colour.Warning {
	var ws []colour.Warning
	warn := func(code, format string, args ...any) {
		ws = append(ws, colour.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if n := len(r.LeftOut); n > 0 {
		warn(CodeLeftOut, "%d of %d judges answered for fewer than two glasses and are not counted.", n, n+r.Judges)
	}
	if r.Difference.Name == SkillingsMack {
		warn(CodeUneven, "Not every glass, or not every two glasses, were with equally many judges: rank sums do not compare, and pairs are compared with who met whom allowed for.")
	}
	found := r.Difference.Found || r.Trend != nil && r.Trend.Found
	if !found {
		warn(CodeNoDifference, "The answers do not show that the judges prefer any glass. That does not show that the glasses are alike.")
	}
	if share := r.Power.OneGlass; !found || share == nil || *share > firmShare {
		warn(CodeMissed, "%s", r.Power.says(r.Judges))
	}
	if r.Difference.Found && len(r.Glasses) > 3 {
		warn(CodePairsByOne, "Each of the %d pairs is judged at a risk of %g %% of its own: with so many, a pair may differ by chance.", len(r.Pairs), 100*r.Level)
	}
	if p := r.Preference; p != nil && p.Best != nil && (p.AtLowest || p.AtHighest) {
		end := "highest"
		switch {
		case p.AtLowest && p.AtHighest:
			end = "lowest and the highest"
		case p.AtLowest:
			end = "lowest"
		}
		warn(CodeBestAtEnd, "The interval of the preferred dose reaches the %s dose that was judged: what lies beyond was not asked.", end)
	}
	for _, g := range r.Preference.missed() {
		warn(CodeCurveMisses, "The curve along the dose gives the glass with %.2f mL per 100 mL of base a share outside the interval of what the judges said of it: go by the glass that is put first, not by the top of the curve.", r.Glasses[g].DoseMLPer100ML)
	}
	return ws
}

// missed are the glasses that a curve with a preferred dose misses.
func (p *Preference) missed() []int {
	if p == nil || p.Best == nil {
		return nil
	}
	return p.Misses
}

// says is in plain terms what so few judges could not have found.
func (p Power) says(judges int) string {
	if p.OneGlass == nil {
		return fmt.Sprintf("With %d judges and these glasses not even full agreement on one glass would be found with a probability of %.0f %%.", judges, 100*p.Probability)
	}
	return fmt.Sprintf("With %d judges one glass stands out with a probability of %.0f %% only if about %d of 100 people would put it above any other one; a weaker preference is likely to be missed.",
		judges, 100*p.Probability, int(math.Round(100**p.OneGlass)))
}
