package pages

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"pourpath/api/calc"
)

// dosed is an addition with the dose that the page shows, in mL per 100 mL of
// base.
type dosed struct {
	slot
	dose float64
}

// dose settles the doses that are shown: as typed, else for the red the closest
// one, to the tool's graduation.
func (c *choice) dose() error {
	c.checkGraduation()
	for i := range c.dosed {
		at := &c.dosed[i]
		text := c.typed[at.slot.dose()]
		if text == "" {
			if i == 0 {
				at.dose = c.usualDose()
			}
			continue
		}
		dose, list, err := c.site.words.dose(text)
		if err != nil {
			return err
		}
		for _, f := range list {
			message, err := c.site.words.refused(f, english(f.Message))
			if err != nil {
				return err
			}
			c.notes = append(c.notes, note{Field: at.slot.dose(), Message: message})
		}
		if len(list) > 0 && i == 0 {
			dose = c.usualDose()
		}
		at.dose = dose
	}
	return nil
}

// dose reads a dose, or says in the interface's words what is wrong with it.
func (c *catalogue) dose(text string) (float64, []calc.Fault, error) {
	typed := c.number(text)
	if n, ok := typed.(json.Number); ok {
		x, err := n.Float64()
		if err == nil && x == 0 {
			return 0, nil, nil // no addition, which is no dose to scale
		}
	}
	if x, ok := typed.(float64); ok && x == 0 {
		return 0, nil, nil
	}
	data, err := json.Marshal(map[string]any{"dose_ml_per_100ml": typed, "base_l": 1})
	if err != nil {
		return 0, nil, fmt.Errorf("pages: dose: %w", err)
	}
	asked, err := calc.Decode[calc.ScaleRequest](data)
	list, err := faultsOf(err)
	return asked.Dose, list, err
}

// step is what the tool's graduation is in the glass, in mL per 100 mL of base.
func (c *choice) step() float64 {
	const usual = 0.1
	ml, ok := c.site.words.float(c.typed[graduationField])
	if !ok || !fitsGlass(ml, c.request.BaseML) {
		return 100 * usual / c.request.BaseML
	}
	return 100 * ml / c.request.BaseML
}

func fitsGlass(ml, baseML float64) bool { return ml > 0 && ml <= baseML }

// checkGraduation notes a graduation that no tool for the glass can have.
func (c *choice) checkGraduation() {
	text := c.typed[graduationField]
	if ml, ok := c.site.words.float(text); text != "" && (!ok || !fitsGlass(ml, c.request.BaseML)) {
		c.notef(graduationField, "note.graduation", plain(c.request.BaseML))
	}
}

// largest is where the sliders end: the largest rung, or a larger dose that was
// typed.
func (c *choice) largest() float64 {
	most := 100 * slices.Max(c.request.DosesML) / c.request.BaseML
	for _, at := range c.dosed {
		most = max(most, at.dose)
	}
	return most
}

// usualDose is the closest dose, else half the largest rung, on the graduation.
func (c *choice) usualDose() float64 {
	dose := 50 * slices.Max(c.request.DosesML) / c.request.BaseML
	if n := c.answer.Nearest; n != nil {
		dose = n.DoseMLPer100ML
	}
	step := c.step()
	steps := math.Round(dose / step)
	// Division by a whole number keeps 8.7 from becoming 8.700000000000001.
	if per := math.Round(1 / step); math.Abs(per*step-1) < 1e-9 {
		return steps / per
	}
	return steps * step
}

// along is the request whose addition is the i-th of the additions, with the
// others held at the doses shown.
func (c *choice) along(i int) calc.LadderRequest {
	r := *c.request
	wines := []calc.Wine{r.Addition.Wine}
	for _, h := range r.Held {
		wines = append(wines, h.Wine)
	}
	r.Addition.Wine, r.Held = wines[i], nil
	for k, w := range wines {
		if k != i {
			r.Held = append(r.Held, calc.Held{Wine: w, DoseMLPer100ML: c.dosed[k].dose})
		}
	}
	return r
}
