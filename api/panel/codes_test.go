package panel

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

// TestCodesTellNothing: over many openings neither a code nor its place in an order of
// serving goes with the dose, the glass, or an identifier.
func TestCodesTellNothing(t *testing.T) {
	trial := record.Trial{ID: "t", Glasses: []string{"A", "B", "C", "D", "E", "F"}}
	trial.BaseML = 100
	for i, glass := range trial.Glasses {
		trial.Log = append(trial.Log, record.PourBody{Glass: glass, VolumeML: float64(2 + 2*i)}.Entry())
		trial.Log[i].No = i + 1
	}
	asked := record.PanelBody{PanelFields: record.PanelFields{Question: "which?", Answer: record.ByRanks}, Judges: []record.PanelJudgeBody{{Name: "Ada"}, {Name: "Ben"}, {Name: "Cleo"}}}
	const openings = 4000
	n := len(trial.Glasses)
	highest, first := make([]int, n), make([]int, n) // how often a glass has the highest code, and is served first
	digits := make([]int, 1000)
	var withDose float64 // sum of products of code and dose, each about its mean
	for range openings {
		made, change, err := opened(trial, asked, keyring{})
		if err != nil {
			t.Fatal(err)
		}
		top, seen := 0, map[string]bool{}
		for i, g := range made.Glasses {
			code, err := strconv.Atoi(g.Code)
			if err != nil || code < 100 || code > 999 || seen[g.Code] {
				t.Fatalf("codes %+v", made.Glasses)
			}
			seen[g.Code] = true
			digits[code]++
			withDose += (float64(code) - 549.5) * (g.DoseMLPer100ML - 7)
			if other, _ := strconv.Atoi(made.Glasses[top].Code); code > other {
				top = i
			}
		}
		highest[top]++
		for _, j := range change.Judges {
			g, _ := made.CodeOf(j.Codes[0])
			for i := range trial.Glasses {
				if trial.Glasses[i] == g.Glass {
					first[i]++
				}
			}
		}
	}
	// Chi-square with 5 degrees of freedom is above 30 once in 100,000 times (R:
	// pchisq(30, 5, lower.tail = FALSE) is 1.5e-5); with 899 above 1,100 in 4e-6.
	if x := chiSquare(highest); x > 30 {
		t.Errorf("the highest code goes with the glass: %v, chi-square %.1f", highest, x)
	}
	if x := chiSquare(first); x > 30 {
		t.Errorf("the first glass served goes with the dose: %v, chi-square %.1f", first, x)
	}
	if x := chiSquare(digits[100:]); x > 1100 {
		t.Errorf("some codes come more often than others: chi-square %.1f", x)
	}
	// A code's variance is (900²-1)/12, the doses' sum of squares 70 an opening.
	if z := withDose / math.Sqrt(openings*70*(900*900-1)/12.); math.Abs(z) > 4.5 {
		t.Errorf("codes go with doses: z = %.1f", z)
	}
}

// chiSquare is against all counts being alike.
func chiSquare(counts []int) (x float64) {
	var sum float64
	for _, c := range counts {
		sum += float64(c)
	}
	want := sum / float64(len(counts))
	for _, c := range counts {
		x += (float64(c) - want) * (float64(c) - want) / want
	}
	return x
}

// TestCodesAreInNoIdentifier: the code of a glass and the keys are drawn beside the
// identifiers, not from them: of many panels, an identifier has the digits of a
// code as often as that of another panel has.
func TestCodesAreInNoIdentifier(t *testing.T) {
	dir, address := storetest.Place(t)
	s, err := store.Open(t.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	fields := record.TrialFields{Base: record.TrialWine{Name: "white"}, Addition: record.TrialWine{Name: "red"}, BaseML: 100}
	trial, err := s.CreateTrial(t.Context(), record.Trial{TrialFields: fields, Glasses: []string{"A", "B", "C"}})
	if err != nil {
		t.Fatal(err)
	}
	p := New(s)
	asked := record.PanelBody{PanelFields: record.PanelFields{Question: "which?", Answer: record.ByRanks}, Judges: []record.PanelJudgeBody{{Name: "Ada"}, {Name: "Ben"}}}
	const panels = 150
	made := make([]SessionOpened, panels)
	keys := map[string]bool{}
	for i := range made {
		if made[i], err = p.Open(t.Context(), trial.ID, asked); err != nil {
			t.Fatal(err)
		}
		for _, l := range made[i].Links {
			if keys[l.Key] || len(l.Key) != 27 {
				t.Fatalf("key %q", l.Key)
			}
			keys[l.Key] = true
		}
	}
	own, other := 0, 0
	for i := range made {
		for _, g := range made[i].Glasses {
			own += holds(made[i], g.Code)
			other += holds(made[(i+1)%panels], g.Code)
		}
	}
	// Both are counts of chance; their difference has about the spread of a Poisson
	// variable, widened as identifiers share their beginning.
	if apart := math.Abs(float64(own - other)); apart > 6*math.Sqrt(float64(own+other)+10) {
		t.Errorf("codes stand in their own identifiers %d times, in others' %d times", own, other)
	}
}

// holds counts in which identifiers and keys of a panel a code stands.
func holds(p SessionOpened, code string) (n int) {
	list := []string{p.ID, p.TrialID}
	for i, j := range p.Judges {
		list = append(list, j.ID, p.Links[i].Key, fmt.Sprint(p.CreatedAt.UnixMicro()))
	}
	for _, id := range list {
		if strings.Contains(id, code) {
			n++
		}
	}
	return n
}
