package pages

import (
	"bytes"
	"errors"
	"net/http"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/shelf"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// spectrumShown is a wine's spectrum: its picture, and the numbers behind it.
type spectrumShown struct {
	SVG  drawn
	Save savedPicture
	Rows []spectrumRow
	Read []spectrumRow // as read, for 10 mm; empty for a scan, which has too many, and for a stated colour
}

// spectrumRow is an absorbance per 10 mm at a wavelength, with the ends of its band.
type spectrumRow struct{ NM, A, Lower, Upper digits }

// depthsShown is how a wine looks under one light, from a thin layer to a deep one.
type depthsShown struct {
	Lamp string
	Rows []depthRow
}

type depthRow struct {
	DepthMM digits
	Glass   bool // the depth of the tasting glass
	figures
}

// historyShown are the readings of a wine over time: their picture, and the numbers
// behind it.
type historyShown struct {
	SVG      drawn
	Save     savedPicture
	Rows     []historyRow
	Archived int
	Older    bool
}

type historyRow struct {
	ID         string
	At         moment
	Source     string // empty where what was read is no colour
	Superseded bool
	figures
}

// The depths and lights that a wine is shown at beside the standard cell under
// daylight: from a thin film to a jug, and the lights that wines are judged and drunk
// under. Which are useful is common practice, no source.
var (
	shownDepths = []float64{1, 5, 10, 20, calc.GlassDepthMM, 100}
	shownLamps  = []calc.Illuminant{"D65", "A", "FL11", "LED-B3"}
)

// tableNM is how far apart the rows of the table behind a spectrum are, in nm.
const tableNM = 10

// looks fills in what is computed from the wine's current reading: its spectrum, and
// its colour at other depths and under other lights.
func (v *wineView) looks(s *site, r *http.Request) error {
	seen, err := s.seen(r, v.Wine.ID)
	switch {
	case errors.Is(err, calc.ErrNoReading), calc.AsProblem(err) != nil:
		return nil //nolint:nilerr // nothing was read, or no colour of a wine: the page says so
	case err != nil:
		return err
	}
	if v.Spectrum, err = spectrumOf(seen.SpectrumFigure(s.config.Version, &s.papers.Figures)); err != nil {
		return err
	}
	v.Spectrum.Save = wineSaved(v.Wine, "spectrum")
	v.Depths, err = depthsOf(seen)
	return err
}

// seen is the wine's current reading as it is looked at.
func (s *site) seen(r *http.Request, id string) (calc.Seen, error) {
	stored, err := s.config.Records.StoredWine(r.Context(), id)
	if err != nil {
		return calc.Seen{}, err
	}
	return calc.See(stored.Wine)
}

func spectrumOf(f reports.SpectrumFigure) (*spectrumShown, error) {
	svg, err := inlineSVG(f)
	if err != nil {
		return nil, err
	}
	out := &spectrumShown{SVG: svg}
	us := make([]*float64, len(f.Curve))
	for i := range f.Curve {
		us[i] = &f.Curve[i].U
	}
	decimals := max(3, indexDecimals(us))
	row := func(p reports.SpectrumPoint) spectrumRow {
		return spectrumRow{plain(p.NM), fixed(p.A, decimals), fixed(p.A-2*p.U, decimals), fixed(p.A+2*p.U, decimals)}
	}
	for i, p := range f.Curve {
		if i%(tableNM/int(cie.StepNM)) == 0 {
			out.Rows = append(out.Rows, row(p))
		}
	}
	if f.Source == "readings" {
		for _, p := range f.Read {
			out.Read = append(out.Read, row(p))
		}
	}
	return out, nil
}

func depthsOf(seen calc.Seen) ([]depthsShown, error) {
	var out []depthsShown
	for _, lamp := range shownLamps {
		shown := depthsShown{Lamp: string(lamp)}
		for _, depth := range shownDepths {
			c, err := seen.Colour(calc.View{Illuminant: lamp, PathMM: &depth})
			if err != nil {
				return nil, err
			}
			shown.Rows = append(shown.Rows, depthRow{plain(depth), depth == calc.GlassDepthMM, figuresOf(&c)})
		}
		for _, column := range []func(*depthRow) *figure{
			func(r *depthRow) *figure { return &r.L }, func(r *depthRow) *figure { return &r.A }, func(r *depthRow) *figure { return &r.B },
		} {
			cells := make([]*figure, len(shown.Rows))
			for i := range shown.Rows {
				cells[i] = column(&shown.Rows[i])
			}
			align(cells)
		}
		out = append(out, shown)
	}
	return out, nil
}

func (s *site) historyOf(h shelf.History, w record.Wine) (*historyShown, error) {
	over, ok := h.Figure(w.Name, s.config.Version, &s.papers.Figures)
	if !ok {
		return nil, nil //nolint:nilnil // nothing to show is a usual answer
	}
	svg, err := inlineSVG(over)
	if err != nil {
		return nil, err
	}
	out := &historyShown{SVG: svg, Save: wineSaved(w, "history"), Archived: h.Archived, Older: h.Older}
	for _, one := range h.Reads {
		row := historyRow{ID: one.ID, At: momentOf(one.At()), Superseded: one.SupersededBy != "", figures: figuresOf(one.Colour)}
		if one.Colour != nil {
			row.Source = one.Colour.Source
		}
		out.Rows = append(out.Rows, row)
	}
	for _, column := range []func(*historyRow) *figure{
		func(r *historyRow) *figure { return &r.Intensity }, func(r *historyRow) *figure { return &r.Tint },
		func(r *historyRow) *figure { return &r.L }, func(r *historyRow) *figure { return &r.A }, func(r *historyRow) *figure { return &r.B },
	} {
		cells := make([]*figure, len(out.Rows))
		for i := range out.Rows {
			cells[i] = column(&out.Rows[i])
		}
		align(cells)
	}
	return out, nil
}

// inlineSVG is a figure as it stands inside a page.
func inlineSVG(f reports.Figure) (drawn, error) {
	drawing, err := f.Drawing()
	if err != nil {
		return "", err
	}
	var svg bytes.Buffer
	if err := drawing.WriteInlineSVG(&svg); err != nil {
		return "", err
	}
	return drawn(svg.String()), nil
}

// winePicture answers with a picture of a wine alone: its spectrum, or its history.
func (s *site) winePicture(kind string) func(*http.Request) (document, error) {
	return func(r *http.Request) (document, error) {
		id := r.PathValue("id")
		if uuid.Validate(id) != nil {
			return document{}, errNothingHere
		}
		w, err := s.config.Records.Wine(r.Context(), id)
		if err != nil {
			return document{}, err
		}
		figure, err := s.wineFigure(r, w, kind)
		return picturedOf(r, figure, err, fileName(kind, w.Name))
	}
}

// wineSaved is where such a picture can be saved from.
func wineSaved(w record.Wine, kind string) savedPicture {
	return savedAt("/wines/"+w.ID+"/"+kind, nil, kind, w.Name)
}

// wineFigure is a picture of a wine; errNothingHere where there is nothing to draw.
func (s *site) wineFigure(r *http.Request, w record.Wine, kind string) (reports.Figure, error) {
	if kind == "spectrum" {
		seen, err := s.seen(r, w.ID)
		switch {
		case errors.Is(err, calc.ErrNotStored):
			return nil, record.ErrNotFound
		case errors.Is(err, calc.ErrNoReading), calc.AsProblem(err) != nil:
			return nil, errNothingHere
		}
		return seen.SpectrumFigure(s.config.Version, &s.papers.Figures), err
	}
	h, err := s.shelf.History(r.Context(), w.ID)
	if err != nil {
		return nil, err
	}
	figure, ok := h.Figure(w.Name, s.config.Version, &s.papers.Figures)
	if !ok {
		return nil, errNothingHere
	}
	return figure, nil
}
