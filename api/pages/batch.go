package pages

import (
	"encoding/json"
	"fmt"

	"pourpath/api/calc"
)

// batch is what to pour in the cellar for one size: base-led, where the addition
// comes on top, or blend-led, where it is part of what is wanted.
type batch struct {
	Key                       string // "tank" or "bottles"
	Size, ML                  string
	Base, Red, First, Blend   string
	Lost, Arrives, RedOfBlend string
	DoseML                    string
}

// batches scales the closest dose to the sizes that were typed; a size left
// empty is left out. What cannot be read is noted.
func (s *site) batches(c *choice, n *calc.Nearest) ([]batch, error) {
	var out []batch
	for _, size := range []struct {
		field, key string
		request    func(typed any) map[string]any
	}{
		{tankField, "tank", func(typed any) map[string]any { return map[string]any{"base_l": typed} }},
		{bottlesField, "bottles", func(typed any) map[string]any {
			return map[string]any{"bottles": map[string]any{"count": typed, "ml": s.cellar.BottleML}, "loss_percent": s.cellar.Loss}
		}},
	} {
		typed := c.typed[size.field]
		if typed == "" {
			continue
		}
		request := size.request(number(typed))
		request["dose_ml_per_100ml"] = n.DoseMLPer100ML
		answer, list, err := scale(request)
		if err != nil {
			return nil, err
		}
		for _, f := range list {
			c.notes = append(c.notes, note{Field: size.field, Message: f.Message})
		}
		if len(list) > 0 {
			continue
		}
		b := batchOf(answer, n)
		b.Key, b.Size, b.ML = size.key, typed, plain(s.cellar.BottleML)
		out = append(out, b)
	}
	return out, nil
}

// scale answers a request that was put together, or lists its faults.
func scale(request map[string]any) (calc.ScaleResponse, []calc.Fault, error) {
	data, err := json.Marshal(request)
	if err != nil {
		return calc.ScaleResponse{}, nil, fmt.Errorf("pages: scale: %w", err)
	}
	asked, err := calc.Decode[calc.ScaleRequest](data)
	var answer calc.ScaleResponse
	if err == nil {
		answer, err = calc.Scale(asked)
	}
	list, err := faultsOf(err)
	return answer, list, err
}

// faultsOf lists what a problem is about. Any other error it returns.
func faultsOf(err error) ([]calc.Fault, error) {
	p := calc.AsProblem(err)
	if p == nil {
		return nil, err
	}
	if len(p.Errors) == 0 { // too long, say: the whole is at fault
		return []calc.Fault{{Message: p.Detail}}, nil
	}
	return p.Errors, nil
}

func batchOf(a calc.ScaleResponse, n *calc.Nearest) batch {
	l := litres(a.FirstAdditionL)
	decimals := doseDecimals(n.DoseInterval95)
	return batch{
		Base: l(a.BaseL), Red: l(a.AdditionL), First: l(a.FirstAdditionL), Blend: l(a.BlendL),
		Lost: l(a.LostL), Arrives: l(a.ArrivesL),
		RedOfBlend: fixed(a.AdditionPercent, decimals), DoseML: fixed(n.DoseMLPer100ML, decimals),
	}
}
