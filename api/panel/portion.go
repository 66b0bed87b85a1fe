package panel

import "pourpath/api/record"

// PortionML is what each judge is poured of a glass, in mL: common practice, no source.
const PortionML = 30

// Portion is how much of a glass's blend its judges take together, at PortionML each:
// what is made beside the trial's glass, which is seldom enough for all.
type Portion struct {
	Glass      string  `json:"glass" doc:"Label of the trial's glass."`
	Judges     int     `json:"judges" doc:"How many judges have it."`
	EachML     float64 `json:"each_ml" doc:"What each of them is poured, in mL: 30, which is common practice, no source."`
	BlendML    float64 `json:"blend_ml" doc:"The least to make of its blend, in mL."`
	BaseML     float64 `json:"base_ml" doc:"Base in that, with what is held in it, in mL."`
	AdditionML float64 `json:"addition_ml" doc:"Addition in that, in mL."`
}

// portionsOf are the portions of glasses, which so many judges have each.
func portionsOf(glasses []record.PanelGlass, served []int) []Portion {
	list := make([]Portion, len(glasses))
	for i, g := range glasses {
		ml := PortionML * float64(served[i])
		list[i] = Portion{Glass: g.Glass, Judges: served[i], EachML: PortionML, BlendML: ml, BaseML: ml * (1 - g.AdditionFraction), AdditionML: ml * g.AdditionFraction}
	}
	return list
}

// servedOf is how many judges have each glass, by the orders in which they are served.
func servedOf(orders [][]int, glasses int) []int {
	served := make([]int, glasses)
	for _, order := range orders {
		for _, glass := range order {
			served[glass]++
		}
	}
	return served
}
