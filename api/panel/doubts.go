package panel

import (
	"fmt"
	"math"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// Codes of the warnings of glasses that a panel is opened on. It is opened all the
// same: the base alone may be a control, and a dose twice a hidden repeat.
const (
	codeUnpoured = "nothing_poured"
	codeSameDose = "same_dose"
	codeEmpty    = "glass_empty"
)

// emptyDoubts are the glasses of a panel in which the trial's log leaves nothing: the
// dose is known, and what judges get must be made.
func emptyDoubts(t record.Trial, p record.Panel) ([]calc.Warning, error) {
	progress, err := t.Progress()
	if err != nil {
		return nil, err
	}
	var list []calc.Warning
	for _, g := range progress.Glasses {
		if p.Has(g.Glass) && g.BaseInGlassML+g.HeldInGlassML+g.AdditionInGlass <= sameDose {
			list = append(list, calc.Warning{Code: codeEmpty, Message: fmt.Sprintf("Glass %s is empty by the log: make its blend anew at the dose that it last held, or leave it out.", g.Glass)})
		}
	}
	return list, nil
}

// glassDoubts are what a leader may not have meant of the glasses.
func glassDoubts(glasses []record.PanelGlass) []calc.Warning {
	list := []calc.Warning{}
	for i, g := range glasses {
		if g.DoseMLPer100ML == 0 {
			list = append(list, calc.Warning{Code: codeUnpoured, Message: fmt.Sprintf("Nothing was poured into glass %s: it is judged as the base alone. Leave it out where that is not meant.", g.Glass)})
		}
		for _, o := range glasses[:i] {
			if math.Abs(o.DoseMLPer100ML-g.DoseMLPer100ML) <= sameDose*(1+g.DoseMLPer100ML) {
				list = append(list, calc.Warning{Code: codeSameDose, Message: fmt.Sprintf("The glasses %s and %s hold the same dose. Leave one out where that is not meant as a hidden repeat.", o.Glass, g.Glass)})
				break
			}
		}
	}
	return list
}
