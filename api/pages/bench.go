package pages

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"

	"github.com/google/uuid"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// benchView is the page of one trial: what is in the glasses, and what can be
// done to them.
type benchView struct {
	frame
	ID            string
	At            benchPlace
	Name          string
	Base          string
	Addition      string
	Held          []heldWine
	BaseML        digits
	Archived      moment
	ArchivedWines []archivedNote
	Glasses       []benchGlass
	Now           benchGlass // the one in hand
	Bands         []band
	Beneath       []bandName // what stands in them
	Lamp          string     // that they are seen under
	Usual         []usualPour
	Tools         []option
	Withdraw      []usualOut
	Last          *logRow
	Log           []logRow // the newest first
	Kinds         []option // of plan
	Plan          *planView
	Closest       *closestDose
	Picture       *savedPicture    // nil where there is nothing to draw
	Seen          *calc.Conditions // of the glasses' colours; nil where there are none
	Panels        []panelRow       // blind panels on its glasses
	Order         []string         // the fields of a work order
	Choice        *logRow
	ChoiceOff     bool   // it is outside the tolerance of the target
	PanelReasons  string // what a panel said for the glass in hand, where its result led here
	Check         *checkView
	Warnings      []english
	Key           string // of what is sent from this page
	Faults        []note
	Sent          string // the form that was refused; empty where none was

	typed url.Values // what that form had
}

// bandName is what stands below bands for one of their colours.
type bandName struct {
	swatch
	Unknown digits // the depth at which it has no colour; empty where there is none
	Nowhere bool   // it has none at any depth
}

type heldWine struct {
	Name string
	Dose digits
}

// benchGlass is a glass with what is in it.
type benchGlass struct {
	Label     string
	Here      bool
	Href      string
	Reference bool // holds base alone, to compare with
	Total     digits
	doseWords
	LeftML   digits // what it holds
	Colour   *figures
	DeltaE   digits // ΔE00 from the target
	Measured bool

	doseML float64 // its dose as mL into base_ml
}

// usualPour is a pour that one press logs.
type usualPour struct{ ML digits }

// usualOut is a withdrawal that one press logs.
type usualOut struct {
	ML  digits
	Why string
}

// closestDose is the dose that comes closest to the target, by what is known.
type closestDose struct {
	doseWords
	From, To digits // 95 % interval; empty at an end of the path
	DeltaE   digits
	Measured int
}

// checkView is the final check of the chosen dose.
type checkView struct {
	VolumeML            digits
	Read, Looked, Clear bool
	Done                bool
	DeltaE              digits
	LookedAgain         string
}

// trial answers with the page of a trial.
func (s *site) trial(r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	t, err := s.shownTrial(r)
	if err != nil {
		return document{}, err
	}
	v, err := s.benchViewOf(r, t, benchPlaceOf(id, r.URL.Query()))
	if err != nil {
		return document{}, err
	}
	d, err := s.render("bench.html", v)
	d.passing = true // it has a key for one entry
	return d, err
}

func (s *site) benchViewOf(r *http.Request, t bench.TrialAnswer, place benchPlace) (*benchView, error) {
	place.settle(t)
	v := &benchView{
		frame: s.frame(r, "trials"), ID: t.ID, At: place, Name: s.trialName(t.Trial), Base: t.Base.Name, Addition: t.Addition.Name,
		BaseML: plain(t.BaseML), Key: uuid.NewString(), Withdraw: usualOuts(), Order: orderFields(), Usual: usualPours(t, place.Tool), Tools: toolOptions(t, place.Tool),
		Kinds: planKinds(place.Plan),
	}
	for _, h := range t.Held {
		v.Held = append(v.Held, heldWine{h.Wine.Name, plain(h.DoseMLPer100ML)})
	}
	if t.ArchivedAt != nil {
		v.Archived = momentOf(*t.ArchivedAt)
	}
	wines := append(winesUsed(t.ReadingsUsed), t.Base.ID, t.Addition.ID) // those that nothing was read of, too
	var err error
	if v.ArchivedWines, err = s.archivedAmong(r.Context(), wines...); err != nil {
		return nil, err
	}
	if v.Panels, err = s.panelsOf(r.Context(), t.ID); err != nil {
		return nil, err
	}
	if v.PanelReasons, err = s.panelReasons(r.Context(), place, t.Trial); err != nil {
		return nil, err
	}
	v.glasses(t)
	v.entries(t)
	warnings := t.Warnings
	if t.Ladder != nil {
		warnings = slices.Concat(warnings, t.Ladder.Warnings)
	}
	for _, w := range warnings {
		v.Warnings = append(v.Warnings, english(w.Message))
	}
	if err := v.outlook(s, t); err != nil {
		return nil, err
	}
	v.final(t)
	err = v.plan(r, s, t)
	return v, err
}

// glasses shows what is in each glass.
func (v *benchView) glasses(t bench.TrialAnswer) {
	read := map[string]bool{}
	for _, m := range t.Measurements {
		read[m.Glass] = read[m.Glass] || m.UndoneBy == 0
	}
	for i, g := range t.Glasses {
		one := benchGlass{
			Label: g.Glass, Here: g.Glass == v.At.Glass, Href: v.At.At(g.Glass), Reference: i == 0 && len(t.Glasses) > 1 && g.PouredTotalML == 0,
			Total: plainML(g.PouredTotalML), doseWords: doseWordsOf(g.DoseMLPer100ML, g.AdditionFraction, &g.UDose),
			LeftML:   plainML(math.Round(10*(g.BaseInGlassML+g.HeldInGlassML+g.AdditionInGlass)) / 10),
			Measured: read[g.Glass], doseML: g.DoseMLPer100ML * t.BaseML / 100,
		}
		if t.Ladder != nil {
			rung := t.Ladder.Rungs[i]
			v.Seen = &rung.Colour.Conditions
			f := figuresOf(&rung.Colour)
			one.Colour = &f
			if d := rung.Difference; d != nil && d.DeltaE00 != nil {
				one.DeltaE = fixed(*d.DeltaE00, 1)
			}
		}
		if one.Here {
			v.Now = one
		}
		v.Glasses = append(v.Glasses, one)
	}
}

// plainML writes mL as they were poured, without the noise of a sum.
func plainML(ml float64) digits { return plain(math.Round(ml*1e6) / 1e6) }

// outlook adds the path beyond the glasses: swatches that touch, the closest dose
// and the picture.
func (v *benchView) outlook(s *site, t bench.TrialAnswer) error {
	figure, ok, err := s.bench.Figure(t)
	if err != nil || !ok {
		return err
	}
	saved := savedAt("/trials/"+t.ID+"/ladder", nil, s.trialFile(t.Trial))
	v.Picture = &saved
	v.bands(figure)
	if n := figure.Nearest; n != nil {
		c := closestDose{doseWords: closestWords(n, t), DeltaE: fixed(n.DeltaE00, 1), Measured: len(figure.Measured)}
		if i := n.Interval95; i != nil {
			decimals := doseDecimals(i)
			c.From, c.To = fixed(i[0], decimals), fixed(i[1], decimals)
		}
		v.Closest = &c
	}
	return nil
}

func closestWords(n *reports.NearestMark, t bench.TrialAnswer) doseWords {
	decimals := doseDecimals(n.Interval95)
	more := t.GlassBaseML() / t.BaseML
	fraction := n.DoseMLPer100ML / (n.DoseMLPer100ML + 100*more)
	return doseWords{Per100: fixed(n.DoseMLPer100ML, decimals), Share: fixed(100*fraction, decimals)}
}

// bands are base, the glass in hand and the target, in the glass and in the cell.
func (v *benchView) bands(figure reports.LadderFigure) {
	at := func(ml float64) *reports.Swatch {
		i := slices.IndexFunc(figure.Rungs, func(r reports.RungMark) bool { return math.Abs(r.DoseML-ml) < 1e-9 })
		if i < 0 {
			return nil
		}
		return &figure.Rungs[i].Swatch
	}
	base, glass := at(0), at(v.Now.doseML)
	v.Lamp = string(figure.View.Illuminant)
	for _, row := range []struct {
		key     string
		depthMM float64
		of      func(*reports.Swatch) cie.Screen
	}{
		{"glass", figure.GlassDepthMM, func(s *reports.Swatch) cie.Screen { return s.InGlass }},
		{"cell", cie.OIV().DepthMM, func(s *reports.Swatch) cie.Screen { return s.At10MM }},
	} {
		b := band{Key: row.key, DepthMM: plain(row.depthMM)}
		for _, one := range []struct {
			key string
			of  *reports.Swatch
		}{{"base", base}, {"blend", glass}} {
			if one.of != nil {
				b.add(swatch{Key: one.key}, row.of(one.of))
			}
		}
		if m := figure.Target; m != nil {
			b.add(swatch{Key: "target"}, row.of(&m.Swatch))
		}
		b.place()
		v.Bands = append(v.Bands, b)
	}
	v.beneath()
}

// beneath names the colours of the bands, once for all.
func (v *benchView) beneath() {
	for i, s := range v.Bands[0].Swatches {
		name, known := bandName{swatch: s}, 0
		for _, b := range v.Bands {
			if b.Swatches[i].Hex == "" {
				name.Unknown = b.DepthMM
				continue
			}
			known++
		}
		name.Nowhere = known == 0
		v.Beneath = append(v.Beneath, name)
	}
}

// usualPours are what one press pours with a tool: volumes of its scale that
// people pour, from one graduation on.
func usualPours(t bench.TrialAnswer, name string) []usualPour {
	step, most := 0.5, 10.0
	if tool, ok := calc.ToolNamed(t.Tools, name); ok {
		core := tool.Core()
		step, most = core.StepML(), core.CapacityML
	}
	var out []usualPour
	for _, ml := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 3, 5, 10, 15, 20, 50, 100} {
		if n := ml / step; math.Abs(n-math.Round(n)) < 1e-6 && n >= 1 && ml <= most {
			out = append(out, usualPour{ML: plain(ml)})
		}
	}
	if len(out) == 0 { // a spoon of its own size
		out = append(out, usualPour{ML: plainML(step)})
	}
	const buttons = 4 // what fits under a thumb
	if len(out) > buttons {
		// The finest one, and those around a bench's usual 1 to 5 mL.
		from := slices.IndexFunc(out, func(p usualPour) bool { return p.ML == "1" })
		from = min(max(from, 1), len(out)-buttons+1)
		out = append(out[:1:1], out[from:from+buttons-1]...)
	}
	return out
}

// usualOuts are a sip and what fills a 10 mm cell twice over: common practice, no
// source.
func usualOuts() []usualOut { return []usualOut{{"15", "tasting"}, {"5", "reading"}} }

func toolOptions(t bench.TrialAnswer, name string) []option {
	var out []option
	for _, tool := range t.Tools {
		out = append(out, option{Value: tool.Name, Name: tool.Name, Chosen: tool.Name == name})
	}
	return out
}

// Typed is what a refused form had in a field, so that nothing is typed twice.
func (v *benchView) Typed(form, field string) string {
	if v.Sent != form {
		return ""
	}
	return v.typed.Get(field)
}

// undoing is an entry with the page that it can be taken back on.
type undoing struct {
	Page *benchView
	Row  logRow
}

// typing is a form that has the fields of a reading, with its page.
type typing struct {
	Page *benchView
	Form string
}

// benchFunctions are what the bench's templates need beside words.
func benchFunctions() template.FuncMap {
	return template.FuncMap{
		"undoing": func(page *benchView, row any) (undoing, error) {
			switch r := row.(type) {
			case logRow:
				return undoing{page, r}, nil
			case *logRow:
				return undoing{page, *r}, nil
			}
			return undoing{}, fmt.Errorf("pages: %T is no entry", row)
		},
		"typing": func(page *benchView, form string) typing { return typing{page, form} },
	}
}
