package record

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
)

// Kind is the kind of a wine by its colour.
type Kind string

// The kinds of wine; Other also stands for a kind that was not told.
const (
	White Kind = "white"
	Rose  Kind = "rose"
	Red   Kind = "red"
	Other Kind = "other"
)

// Kinds lists the kinds there are.
func Kinds() []Kind { return []Kind{White, Rose, Red, Other} }

// WineFields are what a person says of a wine and may change later.
type WineFields struct {
	Name      string    `json:"name" minLength:"1" maxLength:"200" doc:"What the wine is called. Two wines may have one name if their lots differ."`
	Kind      Kind      `json:"kind" enum:"white,rose,red,other" doc:"By colour."`
	Lot       string    `json:"lot,omitempty" maxLength:"200" doc:"Lot, tank or cask."`
	Vintage   *int      `json:"vintage,omitempty" minimum:"1800" maximum:"2200" doc:"Year of harvest."`
	Varieties []Variety `json:"varieties,omitempty" maxItems:"50" doc:"Grape varieties with their shares."`
	StockL    *float64  `json:"stock_l,omitempty" minimum:"0" doc:"Volume in stock in L."`
	Notes     string    `json:"notes,omitempty" maxLength:"10000" doc:"Anything else."`
}

// Variety is a grape variety in a wine.
type Variety struct {
	Name         string   `json:"name" minLength:"1" maxLength:"100" doc:"Name of the variety."`
	SharePercent *float64 `json:"share_percent,omitempty" minimum:"0" maximum:"100" doc:"Share of the wine in % by volume, where it is known."`
}

// Wine is the record of a wine.
type Wine struct {
	ID string `json:"id" doc:"Identifier."`
	WineFields
	// Version counts the changes, from 1; the header ETag holds it.
	Version       int64    `json:"version" doc:"Counts the changes of this record, from 1."`
	CreatedAt     Instant  `json:"created_at" doc:"When the record was made."`
	UpdatedAt     Instant  `json:"updated_at" doc:"When it was last changed."`
	ArchivedAt    *Instant `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
	ArchiveReason string   `json:"archive_reason,omitempty" doc:"Why it was archived, where that was told."`
}

// Check implements calc.Request.
func (w WineFields) Check(f *calc.Faults) {
	if strings.TrimSpace(w.Name) == "" {
		f.Addf("/name", w.Name, "a wine needs a name")
	}
	sum := 0.0
	for i, v := range w.Varieties {
		if strings.TrimSpace(v.Name) == "" {
			f.Addf(fmt.Sprintf("/varieties/%d/name", i), v.Name, "a variety needs a name")
		}
		if v.SharePercent != nil {
			sum += *v.SharePercent
		}
	}
	if sum > 100.05 { // shares are rounded to 0.1 %
		f.Addf("/varieties", nil, "the shares add up to %.1f %%, more than the whole wine", sum)
	}
}

// WineBody is a new wine, with what was read of it where something was.
type WineBody struct {
	WineFields
	Measurement
	Circumstances
}

// Check implements calc.Request.
func (b WineBody) Check(f *calc.Faults) {
	b.WineFields.Check(f)
	if b.Measurement.given() == 0 {
		b.Circumstances.withoutReading(f)
		return
	}
	b.Measurement.check(f)
	b.Circumstances.check(f)
}

// Reading is the reading in the body, and whether there is one.
func (b WineBody) Reading() (r Reading, ok bool) {
	return Reading{Measurement: b.Measurement, Circumstances: b.Circumstances}, b.Measurement.given() > 0
}
