package shelf

import (
	"context"
	"math"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports"
)

// mostHistory is how many of a wine's newest readings a history has.
const mostHistory = 200

// Read is a reading with the colour that it shows by itself; nil where what was read
// is no colour of a wine.
type Read struct {
	record.Reading
	Colour *calc.WineColour
}

// History is what was read of a wine over time.
type History struct {
	// Reads are the newest readings that were not archived, the newest first.
	Reads []Read
	// Archived counts those that were archived among the readings that were looked
	// at; Older says that there are readings before those.
	Archived int
	Older    bool
}

// History returns the newest readings of a wine, 200 at most, each with its own
// colour under D65, 10°, for 10 mm; record.ErrNotFound where there is no such wine.
func (s *Shelf) History(ctx context.Context, wineID string) (History, error) {
	var h History
	readings, err := s.store.ReadingsOf(ctx, wineID, record.Page{Newest: true, Limit: mostHistory + 1, Archived: true})
	if err != nil {
		return h, err
	}
	if len(readings) > mostHistory {
		h.Older, readings = true, readings[:mostHistory]
	}
	for _, r := range readings {
		if r.ArchivedAt != nil {
			h.Archived++
			continue
		}
		shown, known := s.colours.Get(r.ID)
		if !known {
			if shown, err = colourOf("", []record.Reading{r}); err != nil {
				return h, err
			}
			s.colours.Add(r.ID, shown)
		}
		h.Reads = append(h.Reads, Read{Reading: r, Colour: shown.Colour})
	}
	return h, nil
}

// Figure is the picture of a history; ok is false where no reading shows a colour.
// name is the wine's, version the program's; texts are the figure's words, nil for
// English.
func (h History) Figure(name, version string, texts *reports.Texts) (f reports.HistoryFigure, ok bool) {
	words := &reports.InEnglish(texts).History
	f = reports.HistoryFigure{Name: name, Archived: h.Archived, Conditions: words.Conditions, Version: "Pourpath " + version, Texts: texts}
	if h.Older {
		f.Conditions = reports.Fill(words.Newest, "conditions", f.Conditions)
	}
	for _, r := range h.Reads {
		c := r.Colour
		if c == nil {
			f.Colourless++
			continue
		}
		u := c.Uncertainty
		f.Points = append(f.Points, reports.HistoryPoint{
			At: r.At().Time, Superseded: r.SupersededBy != "",
			Values: [5]float64{orNaN(c.Intensity), orNaN(c.Tint), c.CIELAB.L, c.CIELAB.A, c.CIELAB.B},
			U:      [5]float64{orNaN(u.Intensity), orNaN(u.Tint), orNaN(u.L), orNaN(u.A), orNaN(u.B)},
		})
	}
	return f, len(f.Points) > 0
}

func orNaN(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}
