package calc

import "strconv"

// The places of each request where a stored wine or target may stand.

func (r *ColourRequest) visit(p places) { p.wine("/wine", &r.Wine) }

func (r *BlendRequest) visit(p places) {
	visitWines(r.Wines, p)
	p.target("/target", r.Target)
}

func (r *LadderRequest) visit(p places) {
	p.wine("/base", &r.Base)
	p.wine("/addition", &r.Addition.Wine)
	p.target("/target", r.Target)
	for i := range r.Held {
		p.wine("/held/"+strconv.Itoa(i)+"/wine", &r.Held[i].Wine)
	}
	visitMeasured(r.Measured, p)
}

func (r *ScaleRequest) visit(p places) {
	p.wine("/base", r.Base)
	if r.Addition != nil {
		p.wine("/addition", &r.Addition.Wine)
	}
	visitMeasured(r.Measured, p)
}

func (r *TrimRequest) visit(p places) {
	p.wine("/base", &r.Base)
	p.wine("/addition", &r.Addition.Wine)
	visitMeasured(r.Measured, p)
	p.wine("/top", &r.Top)
	p.wine("/bottom", &r.Bottom)
	p.target("/target", r.Target)
}

func (r *MatchRequest) visit(p places) {
	visitWines(r.Wines, p)
	p.target("/target", r.Target)
}

func (r *CheckRequest) visit(p places) {
	p.wine("/wine", &r.Wine)
	p.target("/spec/target", r.Spec.Target)
}

func (r *FeasibilityRequest) visit(p places) { p.target("/spec/target", r.Spec.Target) }

func visitWines(list []Wine, p places) {
	for i := range list {
		p.wine("/wines/"+strconv.Itoa(i), &list[i])
	}
}

func visitMeasured(list []Measured, p places) {
	for i := range list {
		p.wine("/measured/"+strconv.Itoa(i)+"/wine", &list[i].Wine)
	}
}
