package calc

import (
	"pourpath/colour/cie"
	"pourpath/colour/conform"
)

// Process is how the true colours of lots are distributed: a normal distribution
// with a mean and either standard deviations or a covariance.
type Process struct {
	Mean              TargetColour     `json:"mean" doc:"Mean colour of the lots."`
	StandardDeviation *ColourDeviation `json:"standard_deviation,omitempty" doc:"Standard deviations of the lots' true L*, a*, b*, without what measuring adds; they are taken to vary independently. Give these or the covariance."`
	Covariance        *[3][3]float64   `json:"covariance,omitempty" doc:"Covariance matrix of L*, a*, b* in that order, without what measuring adds. Give this or the standard deviations."`
}

// ColourDeviation holds standard deviations of L*, a*, b*.
type ColourDeviation struct {
	L float64 `json:"L" exclusiveMinimum:"0" maximum:"50" doc:"Of L*."`
	A float64 `json:"a" exclusiveMinimum:"0" maximum:"50" doc:"Of a*."`
	B float64 `json:"b" exclusiveMinimum:"0" maximum:"50" doc:"Of b*."`
}

// Risks are shares of the lots of a process (JCGM 106, 9).
type Risks struct {
	Prior         Process  `json:"prior" doc:"The process that they hold for, as it was given. For another one they are others."`
	Conforming    float64  `json:"conforming" minimum:"0" maximum:"1" doc:"Share of the lots that truly meet the specification."`
	Passed        float64  `json:"passed" minimum:"0" maximum:"1" doc:"Share of the lots that pass."`
	Consumer      float64  `json:"consumer_risk" minimum:"0" maximum:"1" doc:"Global consumer's risk: share of the lots that pass and do not conform."`
	ConsumerSE    float64  `json:"consumer_risk_standard_error" minimum:"0" doc:"Its standard error, from the draws that it is counted over."`
	Producer      float64  `json:"producer_risk" minimum:"0" maximum:"1" doc:"Global producer's risk: share of the lots that conform and do not pass: fail or inconclusive."`
	ProducerSE    float64  `json:"producer_risk_standard_error" minimum:"0" doc:"Its standard error."`
	OutsidePassed *float64 `json:"outside_among_passed" minimum:"0" maximum:"1" doc:"Share of the passed lots that do not conform; null where less than one lot in a thousand passes."`
}

// check appends what is wrong with p, which may be nil.
func (p *Process) check(pointer string, f *Faults) {
	if p != nil && (p.StandardDeviation == nil) == (p.Covariance == nil) {
		f.Addf(pointer, nil, "how do the lots scatter? Give exactly one of \"standard_deviation\" or \"covariance\"")
	}
}

func (p *Process) core(view cie.View) conform.Process {
	mean := cie.Lab{L: p.Mean.L, A: p.Mean.A, B: p.Mean.B, View: view}
	if d := p.StandardDeviation; d != nil {
		return conform.Independent(mean, [3]float64{d.L, d.A, d.B})
	}
	return conform.Process{Mean: mean, Covariance: *p.Covariance}
}

// risks are those of a specification over the lots of p; nil where p is.
func (p *Process) risks(spec conform.Spec, view cie.View) (*Risks, error) {
	if p == nil {
		return nil, nil //nolint:nilnil // nothing was asked for
	}
	r, err := conform.RisksOf(spec, p.core(view), view)
	if err != nil {
		return nil, refused(err)
	}
	return &Risks{
		Prior: *p, Conforming: r.Conforming, Passed: r.Passed, Consumer: r.Consumer, ConsumerSE: r.ConsumerSE,
		Producer: r.Producer, ProducerSE: r.ProducerSE, OutsidePassed: number(r.OutsideAmongPassed),
	}, nil
}
