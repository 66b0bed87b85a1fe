package pages

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// driftView is how the colour of lots drifts, and what to aim at.
type driftView struct {
	frame
	release.Drift
	Choices []option // products; the first is all of them
	Shown   []driftClassView
	Aim     aimForm
	Problem english // why there is nothing to show; empty where there is
}

// driftClassView is a class of storage with its picture.
type driftClassView struct {
	release.DriftClass
	Picture drawn
	Save    savedPicture
	Points  []driftPointRow
	Rates   []driftRate
}

type driftPointRow struct {
	Days                digits
	A420, A520, A620    digits
	In420, In520, In620 digits
}

// driftRate is a band's rate for people.
type driftRate struct {
	NM                 int
	Rate, Lower, Upper digits
	Absolute           bool   // in thousandths of absorbance, not in per cent
	HalfLife           digits // empty where it goes on
}

// aimForm is what to aim at, as it was asked for.
type aimForm struct {
	Storages, Specs, Trials []option
	Faults                  map[string]said // by field
	Whole                   said            // a fault that is no field's
	Answer                  *aimAnswer
	typed                   url.Values
}

// Typed is what was typed into a field.
func (f aimForm) Typed(field string) string { return f.typed.Get(field) }

// aimAnswer is an answer with its numbers as they are shown.
type aimAnswer struct {
	release.DriftAim
	Apart []apart
	Lines []aimLine
	Dose  *doseWords
}

// apart is how far the aim of today is from the target, aim less target, and the
// word for that way.
type apart struct {
	Way string // of the catalogue's drift_apart
	By  digits
}

// apartBy takes its word from the sign of what is shown.
func apartBy(x float64, decimals int, above, below, same string) apart {
	by := signed(&x, decimals)
	switch by[0] {
	case '+':
		return apart{above, by}
	case '-':
		return apart{below, by}
	}
	return apart{same, by}
}

// aimLine is a quantity today, with its interval, and on release.
type aimLine struct {
	Name                        string
	Value, Lower, Upper, Target digits
}

// aimFields are the fields of the form and their places in the body.
var aimFields = []sentField{
	{"product", "/product", aText}, {"storage", "/storage", aText}, {"release_days", "/release_days", aNumber}, {"from_days", "/from_days", aNumber},
	{"spec", "/spec", aText}, {"trial", "/trial", aText},
}

// drift answers with what the lots of a product say, and with the form's answer
// where it was sent.
func (s *site) drift(r *http.Request) (document, error) {
	typed := r.URL.Query()
	v := driftView{frame: s.frame(r, "drift"), Aim: aimForm{typed: typed, Faults: map[string]said{}}}
	d, err := s.release.Drift(r.Context(), typed.Get("product"))
	status := http.StatusOK
	if problem := calc.AsProblem(err); problem != nil {
		v.Problem, status = english(problem.Errors[0].Message), http.StatusUnprocessableEntity
		d, err = s.release.Drift(r.Context(), "")
	}
	if err != nil {
		return document{}, err
	}
	v.Drift = d
	v.Choices = []option{{Chosen: d.Product == ""}}
	for _, name := range d.Products {
		v.Choices = append(v.Choices, option{name, name, name == d.Product})
	}
	if v.Problem == "" {
		if err := s.showClasses(r, &v); err != nil {
			return document{}, err
		}
	}
	if len(v.Aim.Storages) > 0 {
		if err := s.aim(r, &v.Aim, d.Product); err != nil {
			return document{}, err
		}
		if len(v.Aim.Faults) > 0 || v.Aim.Whole != nil {
			status = http.StatusUnprocessableEntity
		}
	}
	out, err := s.render("drift.html", v)
	out.status = status
	return out, err
}

// showClasses draws the classes of which something is known.
func (s *site) showClasses(r *http.Request, v *driftView) error {
	for _, c := range v.Classes {
		shown := driftClassView{DriftClass: c}
		if c.Learned != nil {
			figure, err := s.release.DriftFigure(r.Context(), v.Product, c.Storage, &s.papers.Figures)
			if err != nil {
				return err
			}
			drawing, err := figure.Drawing()
			if err != nil {
				return err
			}
			var svg bytes.Buffer
			if err := drawing.WriteInlineSVG(&svg); err != nil {
				return err
			}
			shown.Picture = drawn(svg.String())
			shown.Save = savedAt("/drift/picture", url.Values{"product": {v.Product}, "storage": {c.Storage}}, "drift", v.Product, c.Storage)
			shown.tabulate(c.Learned)
			v.Aim.Storages = append(v.Aim.Storages, option{c.Storage, c.Storage, c.Storage == v.Aim.typed.Get("storage")})
		}
		v.Shown = append(v.Shown, shown)
	}
	return nil
}

// driftPicture draws one class of storage alone.
func (s *site) driftPicture(r *http.Request) (document, error) {
	product, storage := r.URL.Query().Get("product"), r.URL.Query().Get("storage")
	figure, err := s.release.DriftFigure(r.Context(), product, storage, &s.papers.Figures)
	return picturedOf(r, figure, err, fileName("drift", product, storage))
}

// tableStep is how many points of the curve a row of the table is apart.
const tableStep = 4

func (c *driftClassView) tabulate(l *release.Learnt) {
	in := func(e release.DriftEstimate) digits { return fixed(e.Lower, 4) + "–" + fixed(e.Upper, 4) }
	for i := 0; i < len(l.Curve); i += tableStep {
		p := l.Curve[i]
		c.Points = append(c.Points, driftPointRow{
			fixed(p.Days, 0), fixed(p.A420.Value, 4), fixed(p.A520.Value, 4), fixed(p.A620.Value, 4), in(p.A420), in(p.A520), in(p.A620),
		})
	}
	for _, b := range l.Bands {
		by := 30 * 100.0 // % in 30 days
		if b.Scale == "absolute" {
			by = 30 * 1000
		}
		rate := driftRate{NM: b.NM, Rate: plus(by * b.Rate), Lower: plus(by * b.RateIn95[0]), Upper: plus(by * b.RateIn95[1]), Absolute: b.Scale == "absolute"}
		if b.HalfLife != nil {
			rate.HalfLife = fixed(*b.HalfLife, 0)
		}
		c.Rates = append(c.Rates, rate)
	}
}

// plus writes a change with its sign.
func plus(x float64) digits {
	return signed(&x, 2)
}

// aim fills in the form's choices, and its answer where it was sent.
func (s *site) aim(r *http.Request, f *aimForm, product string) error {
	newest := record.Page{Newest: true, Limit: pickable}
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Limit: pickable})
	if err != nil {
		return err
	}
	for _, spec := range slices.Backward(specs) {
		f.Specs = append(f.Specs, option{spec.ID, calcName(spec), spec.ID == f.Typed("spec")})
	}
	trials, err := s.config.Records.Trials(r.Context(), newest)
	if err != nil {
		return err
	}
	for _, t := range trials {
		f.Trials = append(f.Trials, option{t.ID, s.trialName(t), t.ID == f.Typed("trial")})
	}
	if !f.typed.Has("release_days") {
		return nil
	}
	body, at := sent{fields: aimFields}.body(s.words, f.typed.Get)
	body["product"] = product
	data, err := json.Marshal(body)
	if err != nil {
		return fmt.Errorf("pages: aim: %w", err)
	}
	asked, err := calc.DecodeWhole[release.DriftAimBody](data)
	if err == nil {
		var answer release.DriftAim
		if answer, err = s.release.DriftAim(r.Context(), asked); err == nil {
			f.Answer = aimAnswerOf(answer)
			return nil
		}
	}
	list, err := faultsOf(err)
	if err != nil {
		return err
	}
	for _, fault := range list {
		message, err := s.words.refused(fault, english(fault.Message))
		if err != nil {
			return err
		}
		field := at.field(fault.Location)
		switch {
		case field == "" && below(fault.Location, "/target"):
			field = "spec"
		case field == "" && below(fault.Location, "/release_days"):
			field = "release_days"
		}
		if field == "" {
			f.Whole = message
		} else {
			f.Faults[field] = message
		}
	}
	return nil
}

// calcName is what a specification is called.
func calcName(s record.Spec) string {
	switch {
	case s.Name != "":
		return s.Name
	case s.Product != "":
		return s.Product
	}
	return s.ID
}

func aimAnswerOf(a release.DriftAim) *aimAnswer {
	out := &aimAnswer{DriftAim: a}
	if t := a.Today; t != nil {
		target := a.Target.CIELAB
		line := func(name string, e release.DriftEstimate, decimals int, target digits) {
			out.Lines = append(out.Lines, aimLine{name, fixed(e.Value, decimals), fixed(e.Lower, decimals), fixed(e.Upper, decimals), target})
		}
		out.Apart = []apart{apartBy(t.Redder, 2, "redder", "less_red", "as_red"), apartBy(-t.Darker, 1, "paler", "darker", "as_dark")}
		line("L*", t.L, 1, fixed(target.L, 1))
		line("a*", t.A, 2, fixed(target.A, 2))
		line("b*", t.B, 2, fixed(target.B, 2))
		line("A420", t.Absorbances.A420, 4, "")
		line("A520", t.Absorbances.A520, 4, "")
		line("A620", t.Absorbances.A620, 4, "")
	}
	if d := a.Dose; d != nil {
		words := doseWordsOf(d.DoseMLPer100ML, d.AdditionFraction, nil)
		out.Dose = &words
	}
	return out
}

// driftLotsView are the lots that are about to leave their specification.
type driftLotsView struct {
	frame
	release.DriftLots
	Product string
	Leaving []release.LotDrift // those that are expected to
	Staying int                // how many are not
	Most    float64            // the largest probability of leaving among those
	Problem english
}

// driftLots answers with forecasts of the lots of a product.
func (s *site) driftLots(r *http.Request) (document, error) {
	product := r.URL.Query().Get("product")
	v := driftLotsView{frame: s.frame(r, "drift"), Product: product}
	var err error
	v.DriftLots, err = s.release.DriftLots(r.Context(), product, s.config.Records.Now())
	status := http.StatusOK
	if problem := calc.AsProblem(err); problem != nil {
		v.Problem, status = english(problem.Errors[0].Message), http.StatusUnprocessableEntity
	} else if err != nil {
		return document{}, err
	}
	v.Leaving, v.Staying, v.Most = v.DriftLots.Leaving()
	out, err := s.render("driftlots.html", v)
	out.status = status
	return out, err
}
