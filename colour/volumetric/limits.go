package volumetric

import (
	"cmp"
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// The limits and measures; each file states its source, table and year in its
// first lines.
//
//go:embed tables/*.csv
var tables embed.FS

// limit is the maximum permissible error of glass of one size. Where two
// standards have the size it is the wider one: the tool may be made to either.
type limit struct {
	capacityML, limitML float64
	graduations         []string
}

// glass holds the limits by kind and class, capacities ascending; syringes the
// rows of the syringe table.
var (
	glass    = readGlass()
	syringes = readSyringes()
)

type kindClass struct {
	kind  Kind
	class Class
}

// Limits of what no table covers.
const (
	// noClass widens the limit of class B for glass that shows no class. A
	// judgement, no source.
	noClass = 2
	// kitchenLimit is the part of its capacity by which a kitchen measure may be
	// off: ASA Z61.1-1963, household measuring utensils, 5 %, from memory.
	kitchenLimit = 0.05
)

// LimitML is the largest error, either way in mL, that the tool may have when it
// measures volumeML: the limit of its class at any line of the scale, for a
// syringe by how much is expelled, for glass without a class twice that of class
// B, for a kitchen measure 5 % of its capacity. A size between those of the tables
// has the limit of the next larger one. The tool must be valid and hold the
// volume.
//
// Sources: tables/limits.csv and tables/syringes.csv (E1272, ISO4788, ISO648,
// ISO835, ISO7886-1).
func (t Tool) LimitML(volumeML float64) float64 {
	switch {
	case t.Kind == Syringe:
		return syringeLimit(t.CapacityML, volumeML)
	case t.Kind == Spoon || t.Kind == Cup:
		return kitchenLimit * t.CapacityML
	case t.Class == NoClass:
		row, _ := t.row(ClassB)
		return noClass * row.limitML
	}
	row, _ := t.row(t.Class)
	return row.limitML
}

// LimitPercent is LimitML in percent of the volume: 1 mL from a 10 mL class B
// cylinder is ±20 %.
func (t Tool) LimitPercent(volumeML float64) float64 { return 100 * t.LimitML(volumeML) / volumeML }

// row is the smallest size of the tables that is not below the tool's.
func (t Tool) row(c Class) (limit, bool) {
	for _, row := range glass[kindClass{t.Kind, c}] {
		if row.capacityML >= t.CapacityML {
			return row, true
		}
	}
	return limit{}, false
}

// largestML is the largest capacity that a kind has limits for.
func (k Kind) largestML() float64 {
	switch k {
	case Syringe:
		return largestSyringe
	case Spoon:
		return largestSpoon
	case Cup:
		return largestCup
	}
	rows := glass[kindClass{k, ClassB}]
	return rows[len(rows)-1].capacityML
}

type syringeRow struct{ fromML, belowML, ofCapacity, ofVolume, fromHalf float64 }

func syringeLimit(capacityML, volumeML float64) float64 {
	for _, row := range syringes {
		if capacityML < row.fromML || capacityML >= row.belowML {
			continue
		}
		if volumeML < capacityML/2 {
			return (row.ofCapacity*capacityML + row.ofVolume*volumeML) / 100
		}
		return row.fromHalf * volumeML / 100
	}
	return math.NaN() // no such syringe is valid
}

func readGlass() map[kindClass][]limit {
	out := map[kindClass][]limit{}
	for _, r := range rows("limits.csv") {
		key := kindClass{Kind(r[0]), Class(r[1])}
		row := limit{capacityML: number(r[2]), limitML: number(r[3]), graduations: strings.Fields(r[4])}
		at, found := slices.BinarySearchFunc(out[key], row, func(a, b limit) int { return cmp.Compare(a.capacityML, b.capacityML) })
		if !found {
			out[key] = slices.Insert(out[key], at, row)
			continue
		}
		if was := &out[key][at]; row.limitML > was.limitML {
			was.limitML = row.limitML
		}
	}
	return out
}

func readSyringes() []syringeRow {
	var out []syringeRow
	for _, r := range rows("syringes.csv") {
		out = append(out, syringeRow{number(r[0]), number(r[1]), number(r[2]), number(r[3]), number(r[4])})
	}
	return out
}

// rows reads an embedded table without its heading. A malformed table is a fault
// of the build, never of a caller, hence the panics.
func rows(file string) [][]string {
	f, err := tables.Open("tables/" + file)
	if err != nil {
		panic(fmt.Sprintf("volumetric: embedded table: %v", err))
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		panic(fmt.Sprintf("volumetric: embedded table %s: %d rows, %v", file, len(all), err))
	}
	return all[1:]
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("volumetric: embedded table: %v", err))
	}
	return v
}
