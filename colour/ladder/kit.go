package ladder

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/volumetric"
)

// DefaultVisibleStep is the ΔE00 that counts as visible where nobody says
// otherwise: a threshold for two samples side by side. It is a setting: in a
// glass at the table people need about three times as much (from memory).
const DefaultVisibleStep = 1.0

// Kit is what is at hand to pour a ladder with, and what is asked of it.
type Kit struct {
	Tools       []volumetric.Tool
	BaseML      []float64  // volumes of base per glass that would do, in mL
	Smallest    blend.Dose // the first rung above the base
	Largest     blend.Dose // the last rung
	VisibleStep float64    // ΔE00; 0 for DefaultVisibleStep
}

// Option is one tool with one volume of base, and what that makes of the colour.
type Option struct {
	Tool   volumetric.Tool
	BaseML float64
	// GraduationDeltaE00 is the most that one graduation changes the colour
	// between the first and the last rung, and SteepestAt the dose where.
	GraduationDeltaE00 float64
	SteepestAt         blend.Dose
	// SmallestML is the pour that makes the first rung, on the tool's graduation,
	// and LimitPercent the tool's maximum permissible error in percent of it.
	SmallestML   float64
	LimitPercent float64
	// LimitDeltaE00 is the colour error that the tool's maximum permissible error
	// makes, the larger one of the first and the last rung.
	LimitDeltaE00 float64
	Fills         int  // pours that the last rung takes
	Fits          bool // both ΔE00 are below the visible step
}

// Proposal is which tool and volume of base to take.
type Proposal struct {
	// Options are all that can pour the ladder at all, the proposed one first:
	// those that fit before those that do not; of those that fit fewest pours,
	// then least base, then the least error; of those that do not, the least
	// visible.
	Options  []Option
	Fits     bool // the first option fits
	Warnings []colour.Warning
}

// worst is the more visible one of an option's two errors, as ΔE00.
func (o Option) worst() float64 { return math.Max(o.GraduationDeltaE00, o.LimitDeltaE00) }

// Propose finds the tool and volume of base with which one graduation, and the
// tool's own permissible error, change the colour by less than the visible step
// all along the ladder. Where the kit cannot, the least visible option comes
// first and a warning with the code kit_too_coarse says by how much it misses and
// what would do.
//
// Errors: colour.FieldErrors at "tools", "tools/i/...", "base_ml", "base_ml/i",
// "smallest", "largest" and "visible_step"; those of the view.
func (k Kit) Propose(path *blend.Path, v cie.View) (Proposal, error) {
	if err := k.Validate(); err != nil {
		return Proposal{}, err
	}
	if k.VisibleStep == 0 {
		k.VisibleStep = DefaultVisibleStep
	}
	var p Proposal
	for _, tool := range k.Tools {
		for _, base := range k.BaseML {
			o, ok, err := k.option(path, v, tool, base)
			if err != nil {
				return Proposal{}, err
			}
			if ok {
				p.Options = append(p.Options, o)
			}
		}
	}
	slices.SortStableFunc(p.Options, func(a, b Option) int {
		switch {
		case a.Fits != b.Fits:
			return cmp.Compare(b2i(b.Fits), b2i(a.Fits))
		case a.Fits:
			return cmp.Or(cmp.Compare(a.Fills, b.Fills), cmp.Compare(a.BaseML, b.BaseML), cmp.Compare(a.worst(), b.worst()), cmp.Compare(a.LimitDeltaE00, b.LimitDeltaE00))
		}
		return cmp.Or(cmp.Compare(a.worst(), b.worst()), cmp.Compare(a.LimitDeltaE00, b.LimitDeltaE00))
	})
	p.Fits = len(p.Options) > 0 && p.Options[0].Fits
	if !p.Fits {
		w, err := k.tooCoarse(path, v, p.Options)
		if err != nil {
			return Proposal{}, err
		}
		p.Warnings = append(p.Warnings, w)
	}
	return p, nil
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// option looks at one tool and volume; ok is false where the tool cannot pour
// the ladder's first and last rung.
func (k Kit) option(path *blend.Path, v cie.View, tool volumetric.Tool, baseML float64) (o Option, ok bool, err error) {
	o = Option{Tool: tool, BaseML: baseML, SmallestML: tool.Round(float64(k.Smallest) * baseML / 100)}
	last := tool.Round(float64(k.Largest) * baseML / 100)
	if o.SmallestML == 0 {
		return o, false, nil // the first rung is less than half a graduation
	}
	first, err := tool.Fill(o.SmallestML)
	if err != nil {
		return o, false, nil //nolint:nilerr // too many pours: no option, and no fault of the request
	}
	fills, err := tool.Fill(last)
	if err != nil {
		return o, false, nil //nolint:nilerr // the same
	}
	o.Fills = len(fills)
	limit := permitted(first)
	o.LimitPercent = 100 * limit / o.SmallestML
	if err := o.graduation(path, v, k.Smallest, k.Largest); err != nil {
		return o, false, err
	}
	for _, rung := range []struct{ ml, limit float64 }{{o.SmallestML, limit}, {last, permitted(fills)}} {
		d, err := apart(path, v, blend.DoseOf(rung.ml, baseML), blend.DoseOf(rung.ml+rung.limit, baseML))
		if err != nil {
			return o, false, err
		}
		o.LimitDeltaE00 = math.Max(o.LimitDeltaE00, d)
	}
	o.Fits = o.worst() < k.VisibleStep
	return o, true, nil
}

// permitted is the most that pours of one tool may be off together, in mL.
func permitted(pours []volumetric.Pour) (ml float64) {
	for _, p := range pours {
		ml += p.Tool.LimitML(p.VolumeML)
	}
	return ml
}

// graduation finds where along the ladder one graduation is most visible. Doses
// are closer together where they are small and colour moves fast.
func (o *Option) graduation(path *blend.Path, v cie.View, smallest, largest blend.Dose) error {
	const places = 33
	one := blend.DoseOf(o.Tool.StepML(), o.BaseML)
	from, to := math.Max(float64(smallest-one), 0), math.Max(float64(largest-one), 0)
	doses := make([]blend.Dose, 0, 2*places)
	for i := range places {
		root := math.Sqrt(from) + (math.Sqrt(to)-math.Sqrt(from))*float64(i)/(places-1)
		doses = append(doses, blend.Dose(root*root), blend.Dose(root*root)+one)
	}
	colours, err := path.Colours(doses, v)
	if err != nil {
		return fmt.Errorf("ladder: %w", err)
	}
	for i := 0; i < len(colours); i += 2 {
		d, err := difference.CIEDE2000(colours[i].Lab, colours[i+1].Lab)
		if err != nil {
			return fmt.Errorf("ladder: %w", err)
		}
		if d > o.GraduationDeltaE00 {
			o.GraduationDeltaE00, o.SteepestAt = d, doses[i]
		}
	}
	return nil
}

// apart is the ΔE00 between two doses of a path.
func apart(path *blend.Path, v cie.View, a, b blend.Dose) (float64, error) {
	colours, err := path.Colours([]blend.Dose{a, b}, v)
	if err != nil {
		return 0, fmt.Errorf("ladder: %w", err)
	}
	d, err := difference.CIEDE2000(colours[0].Lab, colours[1].Lab)
	if err != nil {
		return 0, fmt.Errorf("ladder: %w", err)
	}
	return d, nil
}
