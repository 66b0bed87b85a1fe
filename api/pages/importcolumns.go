package pages

import (
	"slices"
	"strings"

	"pourpath/api/intake"
)

// columnAsked is a column of a file with what it may hold.
type columnAsked struct {
	ID, Key, Header, Letter string
	Examples                []string
	Held                    string // what it was taken for; unsaid where nobody knows
	By                      string
	Groups                  []optionGroup
}

// unsaid stands for what a column holds where nobody has said it.
const unsaid = "?"

// columnsTold is how many columns of a file are told.
const columnsTold = 60

// fieldGroups are what a column may hold, in the order in which it is asked.
var fieldGroups = []struct {
	key    string
	fields []string
}{
	{"wine", []string{"name", "lot", "kind", "vintage", "varieties", "stock_l", "notes"}},
	{"reading", []string{"a420", "a520", "a620", "a460", "a560", "a570", "t420", "t520", "t620", "L", "a", "b", "illuminant", "observer"}},
	{"long", []string{"nm", "absorbance", "transmittance"}},
	{"cell", []string{"path_mm", "path_cm", "dilution", "diluent", "u_absorbance", "blank", "temperature_c"}},
	{"when", []string{"taken_at", "date", "time", "instrument", "analyst", "minutes_since_blending", "replicate", "status"}},
}

// columns lists the columns of a file: those that nobody knows first.
func (v *draftView) columns(p intake.Preview) {
	for i, c := range p.Columns {
		asked := columnAsked{ID: "column-" + c.Letter, Key: c.Key, Header: c.Header, Letter: c.Letter, Examples: c.Examples, Held: c.Field, By: c.By}
		if c.By == "none" && strings.TrimSpace(c.Header) == "" && len(c.Examples) == 0 {
			continue // an empty column
		}
		if c.By == "none" || c.By == "mapping" && c.Field == "" && !v.Read {
			asked.Held = unsaid
		}
		if c.Field == "scan" {
			asked.Groups = nil // its header names the wine
		} else {
			asked.Groups = holdsOptions(asked.Held)
		}
		switch {
		case asked.Held == unsaid && len(v.Unknown) < columnsTold:
			v.Unknown = append(v.Unknown, asked)
		case asked.Held != unsaid && len(v.Known) < columnsTold:
			v.Known = append(v.Known, asked)
		default:
			v.MoreColumns = len(p.Columns) - i
			return
		}
	}
}

// holdsOptions are the choices of a column, with what it holds now among them.
func holdsOptions(held string) []optionGroup {
	first := optionGroup{Key: "none"}
	if held == unsaid {
		first.Options = append(first.Options, option{Value: unsaid, Chosen: true})
	}
	first.Options = append(first.Options, option{Value: "", Chosen: held == ""})
	out := []optionGroup{first}
	listed := held == unsaid || held == ""
	for _, g := range fieldGroups {
		group := optionGroup{Key: g.key}
		for _, f := range g.fields {
			listed = listed || f == held
			group.Options = append(group.Options, option{Value: f, Chosen: f == held})
		}
		out = append(out, group)
	}
	if !listed { // another wavelength
		out[2].Options = append(out[2].Options, option{Value: held, Name: held, Chosen: true})
	}
	return out
}

// slotOf is the column of the preview that a field of the file is shown in.
func slotOf(field string) string {
	switch field {
	case "name", "lot", "kind", "vintage", "varieties", "stock_l", "notes":
		return "wine"
	case "a420", "t420":
		return "a420"
	case "a520", "t520":
		return "a520"
	case "a620", "t620":
		return "a620"
	case "path_mm", "path_cm":
		return "path"
	case "dilution":
		return "dilution"
	case "taken_at", "date", "time":
		return "taken"
	case "":
		return "other"
	}
	if strings.HasPrefix(field, "a") || strings.HasPrefix(field, "t") {
		if first := strings.TrimLeft(field, "at"); first != "" && first[0] >= '0' && first[0] <= '9' {
			return "reading"
		}
	}
	if slices.Contains([]string{"L", "a", "b", "illuminant", "observer", "nm", "absorbance", "transmittance", "ordinate", "scan"}, field) {
		return "reading"
	}
	return "other"
}
