package record

import (
	"fmt"
	"math"

	"pourpath/colour/reading"
)

// Statistics tell how the replicates of a reading scatter. They flag; nothing is
// left out of the mean for them.
type Statistics struct {
	N                int        `json:"n" doc:"Number of replicates."`
	Quantities       []Quantity `json:"quantities" doc:"Mean and standard deviation of each quantity that was read; of a scan, at 420, 520 and 620 nm."`
	PooledSD         *float64   `json:"pooled_sd,omitempty" doc:"Experimental standard deviation of one absorbance reading in the cell, over all wavelengths (JCGM 100); absent for colours from a report."`
	DegreesOfFreedom int        `json:"degrees_of_freedom,omitempty" doc:"Of pooled_sd."`
	Outliers         []Outlier  `json:"outliers" doc:"Replicates that lie too far out by Grubbs' test (ISO 5725-2:1994, 7.3.4). They are averaged all the same: archive or correct a reading that went wrong."`
}

// Quantity is one quantity of the replicates.
type Quantity struct {
	Quantity string  `json:"quantity" doc:"Name of the field: a420, a520 or a620, L, a or b, or the wavelength of a further reading, such as 460 nm."`
	Mean     float64 `json:"mean" doc:"Arithmetic mean, as read in the cell."`
	SD       float64 `json:"sd" doc:"Experimental standard deviation of one reading (JCGM 100:2008, 4.2.2)."`
}

// Outlier is a replicate that lies too far from the mean in one quantity.
type Outlier struct {
	Reading  string        `json:"reading" doc:"Identifier of the reading."`
	Quantity string        `json:"quantity" doc:"In which quantity."`
	Level    reading.Level `json:"level" enum:"straggler,outlier" doc:"straggler: as far out as this happens in fewer than 5 % of sets; outlier: in fewer than 1 %."`
	G        float64       `json:"g" doc:"Distance from the mean in standard deviations."`
	Critical float64       `json:"critical" doc:"The largest distance that the level allows for this number of replicates."`
}

// column is one quantity with its value in each replicate.
type column struct {
	quantity string
	values   []float64
}

// statisticsOf describes the columns of the replicates with those identifiers,
// which are at least two.
func statisticsOf(ids []string, columns []column, absorbances bool) *Statistics {
	out := &Statistics{N: len(ids), Outliers: []Outlier{}}
	spreads := make([]reading.Spread, len(columns))
	for i, c := range columns {
		spreads[i] = reading.SpreadOf(c.values)
		out.Quantities = append(out.Quantities, Quantity{Quantity: c.quantity, Mean: spreads[i].Mean, SD: spreads[i].SD})
		if s, ok := reading.Grubbs(c.values); ok {
			out.Outliers = append(out.Outliers, Outlier{Reading: ids[s.Index], Quantity: c.quantity, Level: s.Level, G: s.G, Critical: s.Critical})
		}
	}
	if absorbances {
		sd, degrees := reading.PooledSD(spreads)
		out.PooledSD, out.DegreesOfFreedom = &sd, degrees
	}
	return out
}

// uncertaintyOfMean is the standard uncertainty of the mean of n readings whose
// instrument has u for one: what they show between themselves counts where it is
// more (JCGM 100:2008, 4.2.3).
func (s *Statistics) uncertaintyOfMean(u float64) float64 {
	return math.Max(u, *s.PooledSD) / math.Sqrt(float64(s.N))
}

// nameAt names the absorbance at a wavelength.
func nameAt(nm float64) string {
	switch nm {
	case 420, 520, 620:
		return fmt.Sprintf("a%g", nm)
	}
	return fmt.Sprintf("%g nm", nm)
}
