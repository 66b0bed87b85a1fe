package pages

import (
	"net/http"
	"strconv"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/shelf"
)

// wineView is one wine.
type wineView struct {
	frame
	Wine           record.Wine
	Vintage        string
	StockL         digits
	Varieties      []variety
	Added, Changed moment
	Archived       archivedNote
	Colour         *wineColour
	HasReading     bool
	Replicates     *replicates
	Age            age // of the current reading
	Warnings       []english
	Readings       leaf[readingRow]
	Spectrum       *spectrumShown
	Depths         []depthsShown
	History        *historyShown
}

type variety struct {
	Name    string
	Percent digits
}

// wineColour is the colour of the current reading.
type wineColour struct {
	figures
	C, H              digits
	A420, A520, A620  digits // for 10 mm; empty where there are none
	Yellow, Red, Blue digits // shares in %, empty likewise
	Conditions        calc.Conditions
	DepthMM           digits
	Source            string
	ReadAt            moment
}

// wine answers with the page of one wine.
func (s *site) wine(r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	w, err := s.shelf.Wine(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	readings, err := leafOf(r.URL, func(r record.Reading) string { return r.ID }, func(p record.Page) ([]record.Reading, error) {
		p.Archived = true
		return s.config.Records.ReadingsOf(r.Context(), id, p)
	})
	if err != nil {
		return document{}, err
	}
	doubts, err := s.doubts(r, w)
	if err != nil {
		return document{}, err
	}
	v := wineView{
		frame: s.frame(r, "wines"), Wine: w.Wine, Varieties: varietiesOf(w.Varieties), HasReading: len(w.ReadingsUsed) > 0,
		Added: momentOf(w.CreatedAt), Changed: momentOf(w.UpdatedAt), Archived: archivedNoteOf(w.Wine),
		Colour: wineColourOf(w), Replicates: replicatesOf(w), Warnings: doubts, Readings: readingRows(readings, w),
	}
	if w.Vintage != nil {
		v.Vintage = strconv.Itoa(*w.Vintage)
	}
	if w.StockL != nil {
		v.StockL = plain(*w.StockL)
	}
	if w.ReadAt != nil {
		v.Age = ageOf(*w.ReadAt, s.config.Records.Now().Time)
	}
	if err := v.looks(s, r); err != nil {
		return document{}, err
	}
	h, err := s.shelf.History(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	if v.History, err = s.historyOf(h, w.Wine); err != nil {
		return document{}, err
	}
	return s.render("wine.html", v)
}

func varietiesOf(list []record.Variety) []variety {
	out := make([]variety, len(list))
	for i, v := range list {
		out[i].Name = v.Name
		if v.SharePercent != nil {
			out[i].Percent = plain(*v.SharePercent)
		}
	}
	return out
}

func wineColourOf(w shelf.Wine) *wineColour {
	c := w.Colour
	if c == nil {
		return nil
	}
	v, u := c.CIELAB, c.Uncertainty
	out := &wineColour{
		figures: figuresOf(c), C: fixed(v.C, decimalsOf([]*float64{u.A, u.B}, 2)), H: fixed(v.H, 0),
		Conditions: c.Conditions, DepthMM: plain(c.Conditions.PathMM), Source: c.Source, ReadAt: momentOf(*w.ReadAt),
	}
	if a := c.Absorbance; a != nil {
		at := func(x float64, u *float64) digits { return withU(&x, u, indexDecimals([]*float64{u})) }
		out.A420, out.A520, out.A620 = at(a.A420, u.A420), at(a.A520, u.A520), at(a.A620, u.A620)
	}
	if c.YellowPercent != nil && c.RedPercent != nil && c.BluePercent != nil {
		out.Yellow, out.Red, out.Blue = fixed(*c.YellowPercent, 0), fixed(*c.RedPercent, 0), fixed(*c.BluePercent, 0)
	}
	return out
}

// doubts are what must be known of a wine's colour and of its current reading,
// each once.
func (s *site) doubts(r *http.Request, w shelf.Wine) ([]english, error) {
	if len(w.ReadingsUsed) == 0 {
		return nil, nil
	}
	var list []calc.Warning
	if w.Colour != nil {
		list = append(list, w.Colour.Warnings...)
	}
	readings, err := s.config.Records.ReadingsOf(r.Context(), w.ID, record.Page{Newest: true, Limit: leafRows})
	if err != nil {
		return nil, err
	}
	var current, before *record.Reading
	used := map[string]bool{}
	for _, id := range w.ReadingsUsed {
		used[id] = true
	}
	for i := range readings {
		switch one := &readings[i]; {
		case one.ID == w.ReadingsUsed[0]:
			current = one
		case !used[one.ID] && one.SupersededBy == "" && current != nil && before == nil:
			before = one
		}
	}
	if current != nil {
		list = append(list, record.Suspicions(w.Kind, *current, before)...)
	}
	var out []english
	told := map[string]bool{}
	for _, warning := range list {
		if !told[warning.Message] {
			told[warning.Message] = true
			out = append(out, english(warning.Message))
		}
	}
	return out, nil
}
