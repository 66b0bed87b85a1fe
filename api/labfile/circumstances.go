package labfile

import (
	"strings"

	"pourpath/api/record"
)

// circumstances reads how the reading came about.
func (d *draft) circumstances() {
	c := &d.Circumstances
	c.Instrument = d.text(fInstrument)
	c.Analyst = d.text(fAnalyst)
	c.Blank = d.text(fBlank)
	d.takenAt()
	if text, _ := d.value(fDiluent); text != "" {
		var ok bool
		if c.Diluent, ok = diluentOf(text); !ok {
			d.warnf("diluent_unknown", "%s is no diluent that is known (water, model wine, acid, wine); it was taken for another one.", quoted(text))
		}
	}
	if x, column, ok := d.number(fTemperature); ok {
		if column >= 0 && d.p.meanings[column].unit == unitFahrenheit {
			x = (x - 32) / 1.8
		}
		if c.TemperatureC = &x; !(x >= -10 && x <= 60) {
			d.faultf(column, "the temperature of the sample must be from -10 to 60 °C")
		}
	}
	if x, column, ok := d.number(fMinutes); ok {
		if column >= 0 {
			x *= minutesIn(d.p.meanings[column].unit)
		}
		if c.MinutesSinceBlending = &x; !(x >= 0 && x < 1e9) {
			d.faultf(column, "the minutes since blending must be 0 or more")
		}
	}
	if x, column, ok := d.number(fReplicate); ok {
		n := int(x)
		if c.Replicate = &n; !(x >= 1 && x <= 1000) || float64(n) != x {
			d.faultf(column, "the replicate must be a whole number from 1 to 1000")
		}
	}
}

func minutesIn(u unit) float64 {
	switch u {
	case unitHour:
		return 60
	case unitSecond:
		return 1. / 60
	}
	return 1
}

// takenAt joins the columns of date and time.
func (d *draft) takenAt() {
	text, column := d.value(fTakenAt)
	f := fTakenAt
	if text == "" {
		text, column = d.value(fDate)
		f = fDate
	}
	if text == "" {
		return // a time of day without a date tells nothing
	}
	m, ok := parseMoment(text, d.p.order)
	if !ok {
		d.badValue(f, column, text, noDate)
		return
	}
	if clock, at := d.value(fTime); clock != "" && !m.hasClock {
		if !m.parseClock(clockOf(clock)) {
			d.badValue(fTime, at, clock, noClock)
			return
		}
	}
	if m.hasClock && m.zone == nil {
		d.w.addf("time_zone_assumed", "The times have no zone and were taken for UTC. Write them as 2026-11-25T14:30:00+01:00 to be sure.")
	}
	at := record.At(m.at())
	d.TakenAt = &at
}

// clockOf takes the day off a time of day that a workbook holds as a date.
func clockOf(text string) string {
	if day, clock, ok := strings.Cut(text, "T"); ok && len(day) == len("1899-12-30") {
		return clock
	}
	return text
}

// diluents are the words for a diluent, in compared form.
var diluents = map[string]record.Diluent{
	"water": "water", "distilledwater": "water", "deionisedwater": "water", "h2o": "water", "eau": "water", "eaudistillee": "water", "agua": "water",
	"aguadestilada": "water", "acqua": "water", "acquadistillata": "water", "wasser": "water", "destwasser": "water",
	"modelwine": "model_wine", "winemodel": "model_wine", "syntheticwine": "model_wine", "vinmodele": "model_wine", "vinsynthetique": "model_wine", "vinomodelo": "model_wine",
	"vinosintetico": "model_wine", "vinomodello": "model_wine", "modellwein": "model_wine", "hydroalcoholicsolution": "model_wine", "solutionhydroalcoolique": "model_wine",
	"acid": "acid", "hcl": "acid", "hydrochloricacid": "acid", "acide": "acid", "acido": "acid", "saure": "acid", "salzsaure": "acid",
	"wine": "wine", "vin": "wine", "vino": "wine", "wein": "wine",
	"other": "other", "autre": "other", "otro": "other", "altro": "other", "andere": "other",
}

func diluentOf(text string) (record.Diluent, bool) {
	if known, ok := diluents[folded(text)]; ok {
		return known, true
	}
	return "other", false
}
