package labfile

import (
	"strconv"
	"strings"

	"pourpath/api/record"
)

// wine reads a row that is a wine.
func (d *draft) wine(r row) {
	d.start(r)
	if r.fault != "" {
		d.faultf(-1, "%s", r.fault)
		d.Wine.Name = d.text(fName)
		return
	}
	d.identity()
	if n := len(d.p.header); len(r.cells) > n && filled(r.cells[n:]) > 0 {
		d.faultf(-1, "the row has %d cells below %d headers: a decimal comma or another separator in a value cuts it in two; put such values in quotation marks, or separate the cells by semicolons", len(r.cells), n)
		return
	}
	d.circumstances()
	d.measure()
	d.stillCounts()
}

// stillCounts refuses a reading that did not count any more where the file was
// exported from: brought in again it would.
func (d *draft) stillCounts() {
	switch text, column := d.value(fStatus); text {
	case "superseded", "archived", "wine archived":
		d.faultf(column, "this reading did not count any more in the records that it was exported from; to have it count, empty this cell")
	}
}

// identity reads what the row says of the wine.
func (d *draft) identity() {
	if d.Wine.Name = d.text(fName); d.Wine.Name == "" && d.Faults == nil {
		d.faultf(d.p.column[fName], "the wine has no name: every row needs one")
	}
	d.aboutWine()
}

// aboutWine reads what is said of the wine besides its name.
func (d *draft) aboutWine() {
	w := &d.Wine
	if text, column := d.value(fKind); text != "" {
		if text != d.last.text {
			d.last.text = text
			d.last.kind, d.last.ok = kindOf(text)
		}
		if w.Kind = d.last.kind; !d.last.ok && column >= 0 {
			d.warnf("kind_unknown", "%s is no kind of wine that is known (white, rosé, red); it was left out.", quoted(text))
		}
	}
	w.Lot = d.text(fLot)
	d.vintage()
	if text, column := d.value(fVarieties); text != "" {
		var ok bool
		if w.Varieties, ok = varietiesOf(text); !ok {
			d.faultf(column, "varieties want names of at most 100 characters with shares of at most 100 %% in all, such as Grenache 60 %%, Cinsault 40 %%")
		}
	}
	if x, column, ok := d.number(fStock); ok {
		if column >= 0 && d.p.meanings[column].unit == unitHectolitre {
			x *= 100
		}
		if w.StockL = &x; !(x >= 0 && x < 1e12) {
			d.faultf(column, "the volume in stock must be 0 L or more")
		}
	}
	w.Notes, _ = d.value(fNotes)
	if len(w.Notes) > 10000 && len([]rune(w.Notes)) > 10000 {
		w.Notes = ""
		d.faultf(d.p.column[fNotes], "the notes are longer than 10000 characters: shorten them")
	}
}

func (d *draft) vintage() {
	text, column := d.value(fVintage)
	switch strings.ToUpper(text) {
	case "", "NV", "N.V.", "SA", "S.A.": // a wine without a vintage
		return
	}
	x, fault := parseNumber(text, d.p.sign(column))
	year := int(x)
	if fault != "" || !(x >= 1800 && x <= 2200) || float64(year) != x {
		d.badValue(fVintage, column, text, "the vintage must be a year from 1800 to 2200, or empty")
		return
	}
	d.Wine.Vintage = &year
}

// kinds are the words for a kind of wine, in compared form.
var kinds = map[string]record.Kind{
	"white": record.White, "whitewine": record.White, "blanc": record.White, "vinblanc": record.White, "blanco": record.White, "vinoblanco": record.White,
	"bianco": record.White, "vinobianco": record.White, "weiss": record.White, "weisswein": record.White, "w": record.White,
	"rose": record.Rose, "rosewine": record.Rose, "vinrose": record.Rose, "rosado": record.Rose, "rosato": record.Rose, "rosewein": record.Rose, "blush": record.Rose,
	"pink": record.Rose, "clairet": record.Rose, "clarete": record.Rose, "chiaretto": record.Rose, "blushrose": record.Rose, "weissherbst": record.Rose,
	"red": record.Red, "redwine": record.Red, "rouge": record.Red, "vinrouge": record.Red, "tinto": record.Red, "vinotinto": record.Red, "rosso": record.Red,
	"vinorosso": record.Red, "rot": record.Red, "rotwein": record.Red, "r": record.Red,
	"other": record.Other, "autre": record.Other, "otro": record.Other, "altro": record.Other, "andere": record.Other,
}

func kindOf(text string) (record.Kind, bool) {
	k, ok := kinds[text]
	if !ok {
		k, ok = kinds[folded(text)]
	}
	return k, ok
}

// varietiesOf reads "Grenache 60 %, Cinsault 40 %".
func varietiesOf(text string) (list []record.Variety, ok bool) {
	cut := func(r rune) bool { return strings.ContainsRune(";,/+&\n", r) }
	var sum float64
	for part := range strings.FieldsFuncSeq(text, cut) {
		v := record.Variety{Name: strings.TrimSpace(part)}
		if stem, found := strings.CutSuffix(v.Name, "%"); found {
			stem = strings.TrimSpace(stem)
			i := strings.LastIndexFunc(stem, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }) + 1
			share, err := strconv.ParseFloat(stem[i:], 64)
			if err != nil {
				return nil, false
			}
			sum += share
			v.Name, v.SharePercent = strings.TrimRight(stem[:i], " :("), &share
		}
		if v.Name == "" {
			continue
		}
		if len([]rune(v.Name)) > 100 {
			return nil, false
		}
		list = append(list, v)
	}
	return list, len(list) <= 50 && sum <= 100.05 // shares are rounded to 0.1 %
}
