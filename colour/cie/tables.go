package cie

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
)

// The CIE's data, CC BY-SA 4.0; see tables/NOTICE. Each file states its source,
// interval and licence in its first lines.
//
//go:embed tables/*.csv tables/NOTICE
var tables embed.FS

// column reads one named column of an embedded table. A missing or malformed
// table is a fault of the build, never of a caller, hence the panics.
func column(file, name string) *Curve {
	f, err := tables.Open("tables/" + file)
	if err != nil {
		panic(fmt.Sprintf("cie: embedded table: %v", err))
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("cie: embedded table %s: %v", file, err))
	}
	if len(rows) != Points+1 {
		panic(fmt.Sprintf("cie: embedded table %s has %d rows, want %d", file, len(rows)-1, Points))
	}
	at := -1
	for i, heading := range rows[0] {
		if heading == name {
			at = i
		}
	}
	if at < 0 {
		panic(fmt.Sprintf("cie: embedded table %s has no column %s", file, name))
	}
	var c Curve
	for i, row := range rows[1:] {
		if nm := mustParse(file, row[0]); nm != FirstNM+StepNM*float64(i) {
			panic(fmt.Sprintf("cie: embedded table %s has %g nm in row %d, want %g nm", file, nm, i+1, FirstNM+StepNM*float64(i)))
		}
		c[i] = mustParse(file, row[at])
	}
	return &c
}

func mustParse(file, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("cie: embedded table %s: %v", file, err))
	}
	return v
}
