package labfile_test

import (
	"slices"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

// TestKindByCells: a column that is headed by colour has the kinds of wine where most of
// its cells are kinds, and is left out where they are something else, or where another
// column says the kind.
func TestKindByCells(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		want       []record.Kind
		leftOut    bool
	}{
		{"English", "Wine,Colour,A420,A520,A620\n1,white,0.1,0.1,0.1\n2,Red,0.1,0.1,0.1\n3,rosé,0.1,0.1,0.1\n", []record.Kind{"white", "red", "rose"}, false},
		{"American", "Wine,Color,A420,A520,A620\n1,White,0.1,0.1,0.1\n", []record.Kind{"white"}, false},
		{"French", "Vin;Couleur;DO 420;DO 520;DO 620\n1;Blanc;0,1;0,1;0,1\n2;;0,1;0,1;0,1\n3;Rouge;0,1;0,1;0,1\n4;Rosé;0,1;0,1;0,1\n", []record.Kind{"white", "", "red", "rose"}, false},
		{"Spanish", "Vino;Color;DO 420;DO 520;DO 620\n1;Blanco;0,1;0,1;0,1\n2;tinto;0,1;0,1;0,1\n3;Rosado;0,1;0,1;0,1\n", []record.Kind{"white", "red", "rose"}, false},
		{"one that is none", "Wine,Colour,A420,A520,A620\n1,white,0.1,0.1,0.1\n2,red,0.1,0.1,0.1\n3,orange,0.1,0.1,0.1\n", []record.Kind{"white", "red", ""}, false},
		{"a value", "Wine,Colour,A420,A520,A620\n1,4.2,0.1,0.1,0.1\n2,red,0.1,0.1,0.1\n", []record.Kind{"", ""}, true},
		{"nothing in it", "Wine,Colour,A420,A520,A620\n1,,0.1,0.1,0.1\n", []record.Kind{""}, true},
		{"beside the kind", "Wine,Type,Colour,A420,A520,A620\n1,red,white,0.1,0.1,0.1\n", []record.Kind{"red"}, true},
		{"one row for each wavelength", "Wine,Colour,nm,absorbance\n1,red,420,0.1\n1,red,520,0.1\n1,red,620,0.1\n", []record.Kind{"red"}, false},
	} {
		f, err := labfile.Open(strings.NewReader(c.text), int64(len(c.text)), "log.csv", labfile.Options{})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var got []record.Kind
		for e, err := range f.Entries() {
			if err != nil || len(e.Faults) > 0 {
				t.Fatalf("%s: %v, %v", c.name, err, e.Faults)
			}
			got = append(got, e.Wine.Kind)
		}
		left := slices.ContainsFunc(f.Warnings(), func(w calc.Warning) bool { return w.Code == "columns_left_out" })
		if !slices.Equal(got, c.want) || left != c.leftOut {
			t.Errorf("%s: %q, left out %t; want %q, %t", c.name, got, left, c.want, c.leftOut)
		}
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}
}
