package sheettest_test

import (
	"slices"
	"testing"

	"pourpath/reports/sheet"
	"pourpath/reports/sheet/sheettest"
)

func TestEnglish(t *testing.T) {
	french, _ := sheet.In("fr")
	for page, want := range map[string][]string{
		"Work order of 24 Dec":                           {"work", "order", "dec"},
		"019ac0f3-41d2-7dec-93de-c5b24dec7a10, 019dec3f": nil,
		french.Base + " 019ac0f3 " + french.Lot:          nil,
	} {
		if got := sheettest.English(page, french); !slices.Equal(got, want) {
			t.Errorf("English(%q) = %q, want %q", page, got, want)
		}
	}
	if got := sheettest.English("Work order", french, "Work"); !slices.Equal(got, []string{"order"}) {
		t.Errorf("a word that was given: %q", got)
	}
}
