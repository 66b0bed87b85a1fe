package blend

import (
	"fmt"
	"strings"

	"pourpath/colour"
)

// way is one direction in which a blend can miss, and the wine that would help.
type way struct {
	miss, help string
}

// byAxis holds for L*, a* and b* what a value below and above the target means.
var byAxis = [3][2]way{
	{{"too dark", "paler"}, {"too pale", "deeper in colour"}},
	{{"not red enough", "redder, such as a younger or deeper red"}, {"too red", "less red, such as a white"}},
	{{"not yellow enough", "yellower, such as a more evolved white or a brick-red wine"}, {"too yellow", "less yellow, such as a bluer red or a paler white"}},
}

// byIndex holds the same for intensity and tint.
var byIndex = [2][2]way{
	{{"too pale", "deeper in colour"}, {"too deep", "paler"}},
	{{"too red for its yellow (tint too low)", "yellower, such as a more evolved white or a brick-red wine"}, {"too yellow for its red (tint too high)", "less yellow, such as a bluer red or a paler white"}},
}

// notable is the share of the largest part of a miss from which another part
// is named too.
const notable = 0.3

// ways names the directions in which p misses t. A direction counts by how much
// of the misfit squared would go if p were right in it.
func (t Target) ways(by aim, p place) []way {
	var on place // intensity and tint are relative misfits already
	names := byIndex[:]
	if t.Lab != nil {
		on, names = place{t.Lab.L, t.Lab.A, t.Lab.B}, byAxis[:]
	}
	var parts place
	var largest float64
	for k := range names {
		q := p
		q[k] = on[k]
		parts[k] = by.square(p) - by.square(q)
		largest = max(largest, parts[k])
	}
	var out []way
	for k := range names {
		switch {
		case p[k] == on[k] || parts[k] < notable*largest:
		case p[k] < on[k]:
			out = append(out, names[k][0])
		default:
			out = append(out, names[k][1])
		}
	}
	return out
}

// missed is the warning that the best blend of so many wines does not reach t.
// freed tells that without the limits it would.
func missed(t Target, by aim, best found, wines int, freed bool) colour.Warning {
	misses, helps := inWords(t.ways(by, by.at(&best.f, nil)))
	nearest := fmt.Sprintf("The nearest blend misses the target by ΔE00 %.2g", best.misfit)
	if t.Lab == nil {
		nearest = fmt.Sprintf("The nearest blend misses the intensity and tint by %.2g %%", 100*best.misfit)
	}
	var message string
	switch {
	case freed:
		message = fmt.Sprintf("%s: it is %s. The limits stand in the way: without them these wines reach it.", nearest, misses)
	case wines == 2:
		message = fmt.Sprintf("%s: it is %s. A third wine would be needed, one that is %s.", nearest, misses, helps)
	default:
		message = fmt.Sprintf("%s: it is %s. A further wine would be needed, one that is %s.", nearest, misses, helps)
	}
	return colour.Warning{Code: "target_not_reached", Message: message}
}

// inWords joins ways for a sentence.
func inWords(ways []way) (misses, helps string) {
	var miss, help []string
	for _, w := range ways {
		miss = append(miss, w.miss)
		help = append(help, w.help)
	}
	return strings.Join(miss, " and "), strings.Join(help, "; and ")
}
