package spectrum

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"pourpath/colour/cie"
)

// family is what one kind of wine spectrum looks like once it is scaled to 1
// at its reference wavelength (420 nm for whites, 520 nm for reds): a mean, the
// leading components of the spread scaled to one standard deviation, and the
// variance left over at each wavelength.
type family struct {
	name       string
	mean       cie.Curve
	components []cie.Curve
	rest       cie.Curve
}

// prior is what is known of wine spectra before a wine is read.
type prior struct {
	white family
	reds  []weighted
}

// weighted is a family with its share before any reading.
type weighted struct {
	family
	weight float64
}

// redWeights: half of the reds are taken to look as they do in acid and half as
// they do neat, which their A620/A520 then decides; a twentieth is left to
// shapes in no family. A judgement, no source: the readings outweigh it.
var redWeights = []struct {
	name   string
	weight float64
}{
	{"acid", 0.49}, {"shifted", 0.163}, {"shouldered", 0.163}, {"broad", 0.164}, {"other", 0.02},
}

// shapesCSV is derived from the spectra in testdata/wine by the test
// TestShapesTable, which also proves that it still follows from them.
//
//go:embed shapes.csv
var shapesCSV string

// wines is the prior that the embedded table holds.
var wines = sync.OnceValue(func() *prior {
	p, err := parsePrior(shapesCSV)
	if err != nil {
		panic("spectrum: embedded shapes.csv: " + err.Error()) // a broken build, not an input
	}
	return p
})

func parsePrior(text string) (*prior, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	families := map[string]*family{}
	for _, row := range rows[1:] {
		if len(row) != 2+cie.Points {
			return nil, fmt.Errorf("row %s %s has %d fields", row[0], row[1], len(row))
		}
		var c cie.Curve
		for i, s := range row[2:] {
			if c[i], err = strconv.ParseFloat(s, 64); err != nil {
				return nil, fmt.Errorf("row %s %s: %w", row[0], row[1], err)
			}
		}
		f := families[row[0]]
		if f == nil {
			f = &family{name: row[0]}
			families[row[0]] = f
		}
		switch row[1] {
		case "mean":
			f.mean = c
		case "rest":
			f.rest = c
		default:
			f.components = append(f.components, c)
		}
	}
	p := &prior{}
	for _, w := range redWeights {
		f := families[w.name]
		if f == nil {
			return nil, fmt.Errorf("family %q is missing", w.name)
		}
		p.reds = append(p.reds, weighted{*f, w.weight})
	}
	white := families["white"]
	if white == nil {
		return nil, fmt.Errorf("family %q is missing", "white")
	}
	p.white = *white
	return p, nil
}
