package ladder

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/volumetric"
)

// Validate returns what is wrong with the plan before anything is poured: see
// Steps.
func (p TopUp) Validate() error {
	var faults colour.FieldErrors
	checkBase(p.BaseML, &faults)
	p.checkGlasses(&faults)
	if err := p.Tool.Validate(); err != nil {
		faults.AddUnder("tool", err)
	} else {
		p.checkDoses(&faults)
	}
	if len(faults) == 0 && p.BaseTool != (volumetric.Tool{}) {
		_, err := p.BaseTool.Fill(p.BaseML)
		underTool(err, "base_tool", "base_ml", &faults)
	}
	if !(p.WithdrawML >= 0 && !math.IsInf(p.WithdrawML, 1)) || p.BaseML > 0 && p.WithdrawML >= p.BaseML {
		faults.Addf("withdraw_ml", finite(p.WithdrawML), "what is taken out at each rung is 0 mL or more and less than the %g mL of base", p.BaseML)
	}
	if !(p.WithdrawU >= 0 && !math.IsInf(p.WithdrawU, 1)) {
		faults.Addf("withdraw_u_ml", finite(p.WithdrawU), "the standard uncertainty of what is taken out is 0 mL or more")
	}
	return faults.Err()
}

func (p TopUp) checkGlasses(faults *colour.FieldErrors) {
	if p.Reference == "" {
		faults.Addf("reference", nil, "one glass keeps base alone, to compare with: give its label, such as A")
	}
	if len(p.Glasses) < 1 || len(p.Glasses) > MaxGlasses {
		faults.Addf("glasses", len(p.Glasses), "a plan walks 1 to %d glasses up the ladder besides the reference, this one has %d", MaxGlasses, len(p.Glasses))
	}
	for i, label := range p.Glasses {
		switch {
		case label == "":
			faults.Addf(fmt.Sprintf("glasses/%d", i), label, "a glass needs a label, such as B")
		case label == p.Reference:
			faults.Addf(fmt.Sprintf("glasses/%d", i), label, "%s is the reference, which gets no addition: give the glass another label", label)
		case slices.Contains(p.Glasses[:i], label):
			faults.Addf(fmt.Sprintf("glasses/%d", i), label, "%s stands twice: each glass has a label of its own", label)
		}
	}
}

func (p TopUp) checkDoses(faults *colour.FieldErrors) {
	if len(p.DosesML) < 1 || len(p.DosesML) > MaxRungs {
		faults.Addf("doses_ml", len(p.DosesML), "a ladder has 1 to %d rungs above the base, this one has %d", MaxRungs, len(p.DosesML))
	}
	for i, ml := range p.DosesML {
		field := fmt.Sprintf("doses_ml/%d", i)
		if _, err := p.Tool.Fill(ml); err != nil {
			underTool(err, "tool", field, faults)
			continue
		}
		if i > 0 && !(ml > p.DosesML[i-1]) {
			faults.Addf(field, ml, "the rungs ascend, as nothing can be poured back: %.6g mL comes after %.6g mL", ml, p.DosesML[i-1])
		}
		if p.BaseML > 0 && blend.DoseOf(ml, p.BaseML) > blend.MaxDose {
			faults.Addf(field, ml, "%.6g mL in %g mL of base is more than %g mL per 100 mL: are base and addition exchanged?", ml, p.BaseML, float64(blend.MaxDose))
		}
	}
}
