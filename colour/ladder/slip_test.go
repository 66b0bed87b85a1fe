package ladder

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pourpath/colour"
)

// tallies reads pours in the order of a log: "B2 C4 B4" is 2 mL into B, 4 into C,
// 4 into B. Glasses without a pour are named alone: "D".
func tallies(t testing.TB, log string) []Tally {
	t.Helper()
	var out []Tally
	for i, word := range strings.Fields(log) {
		label := word[:1]
		at := slices.IndexFunc(out, func(t Tally) bool { return t.Glass == label })
		if at < 0 {
			at = len(out)
			out = append(out, Tally{Glass: label, Now: after(t, 100)})
		}
		if len(word) == 1 {
			continue
		}
		var ml float64
		if _, err := fmt.Sscan(word[1:], &ml); err != nil {
			t.Fatal(err)
		}
		out[at].Pours = append(out[at].Pours, Logged{i + 1, ml})
		var err error
		if out[at].Now, err = out[at].Now.Pour(ml); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func TestSlips(t *testing.T) {
	for _, row := range []struct {
		name, log, glass string
		stated           float64
		want             string // kinds in order
		words            string // in the first
	}{
		// Common practice, no source: a glass at 3 mL that gets 2 mL more holds 5.
		{"right", "B3 B2", "B", 5, "", ""},
		{"right within a rounding", "B3 B2.01", "B", 5, "", ""},
		{"missed pour", "B2 C4 B2", "B", 6, "missed_pour wrong_glass counted_twice", "2 mL more"},
		{"missed pour of an empty glass", "B2 C4 D", "D", 4, "missed_pour wrong_glass other_glass", "as much as entry 2"},
		{"logged twice", "C4 B2 B2", "B", 2, "logged_twice not_counted last_alone", "Entries 2 and 3 are both 2 mL"},
		{"the same pour, but not in a row", "B2 C4 B2", "B", 2, "not_counted last_alone", "not been counted"},
		{"last pour not counted", "B3 B2", "B", 3, "not_counted", "without the last pour of 2 mL"},
		{"another glass's last pour", "B2 C5 B3", "B", 10, "wrong_glass", "logged for glass C (entry 2)"},
		{"this pour went into C", "B2 C7 B3", "B", 10, "wrong_glass", "glass C would have"},
		{"total of another glass", "B2 C7 B3.5", "B", 7, "other_glass", "total of glass C"},
		{"last pour alone", "B4 B1.5", "B", 1.5, "last_alone earlier_pour", "alone"},
		{"an earlier pour forgotten", "B2 B3.5 B1", "B", 4.5, "earlier_pour", "entry 1"},
		{"decimal of the total", "B3 B2", "B", 50, "decimal", "ten times"},
		{"decimal of the total, the other way", "B30 B20", "B", 5, "decimal", "a tenth of"},
		{"decimal of a pour", "B2 B30", "B", 5, "decimal", "entry 2 were 3 mL and not 30"},
		{"base and addition", "B3 B2", "B", 105, "whole_contents", "base and addition"},
		{"nothing fits", "B3 B2", "B", 7.7, "unexplained", "2.7 mL more"},
		{"nothing fits, below", "B3 B2", "B", 4.1, "unexplained", "0.9 mL less"},
	} {
		t.Run(row.name, func(t *testing.T) {
			all := tallies(t, row.log)
			slips, err := Slips(row.glass, row.stated, all)
			if err != nil {
				t.Fatal(err)
			}
			var kinds []string
			for _, s := range slips {
				if k := string(s.Kind); len(kinds) == 0 || kinds[len(kinds)-1] != k {
					kinds = append(kinds, k)
				}
			}
			if got := strings.Join(kinds, " "); got != row.want {
				t.Errorf("slips %s, want %s: %+v", got, row.want, slips)
			}
			if len(slips) > 0 && !strings.Contains(slips[0].Words, row.words) {
				t.Errorf("words %q, want %q in them", slips[0].Words, row.words)
			}
			if fmt.Sprint(all) != fmt.Sprint(tallies(t, row.log)) {
				t.Error("the tallies were changed")
			}
		})
	}
}

// TestSlipsAfterSip: what is left and the dose differ from the total once
// something was taken out.
func TestSlipsAfterSip(t *testing.T) {
	g := after(t, 50, 6, -14, 2)
	tally := Tally{Glass: "B", Pours: []Logged{{1, 6}, {3, 2}}, Now: g}
	for _, row := range []struct {
		stated float64
		want   SlipKind
	}{{g.AdditionML(), LeftInGlass}, {float64(g.Dose()), DoseForTotal}, {g.VolumeML(), WholeContents}} {
		slips, err := Slips("B", row.stated, []Tally{tally})
		if err != nil || len(slips) != 1 || slips[0].Kind != row.want {
			t.Errorf("stated %.4g: %v, %v, want %s", row.stated, slips, err, row.want)
		}
	}
}

// TestSlipsFindWhatWasDone makes one slip at random in a random ladder, states
// the total that follows from it, and expects it in the list.
func TestSlipsFindWhatWasDone(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	first := 0
	const trials = 3000
	for range trials {
		var truth []string // what was done
		var log []string   // what was logged
		labels := []string{"B", "C", "D"}
		n := 5 + random.IntN(5)
		for i := range n {
			truth = append(truth, fmt.Sprintf("%s%g", labels[i%3], float64(1+random.IntN(20))/2))
		}
		log = slices.Clone(truth)
		at := random.IntN(n)
		label := truth[at][:1]
		var want SlipKind
		switch random.IntN(3) {
		case 0: // not logged
			log = slices.Delete(log, at, at+1)
			want = MissedPour
			if !strings.Contains(strings.Join(log, " ")+" ", label+truth[at][1:]+" ") {
				continue // no pour of that size is left to tell by
			}
		case 1: // logged twice
			log = slices.Insert(log, at+1, truth[at])
			want = LoggedTwice
			if slices.ContainsFunc(log[at+2:], func(s string) bool { return s[:1] == label }) {
				continue // poured on since: that is an earlier pour
			}
		case 2: // logged for another glass
			other := labels[(slices.Index(labels, label)+1)%3]
			log[at] = other + truth[at][1:]
			want = WrongGlass
		}
		var stated float64
		for _, p := range truth {
			var ml float64
			if _, err := fmt.Sscan(p[1:], &ml); err != nil {
				t.Fatal(err)
			}
			if p[:1] == label {
				stated += ml
			}
		}
		slips, err := Slips(label, stated, tallies(t, strings.Join(log, " ")+" B C D"))
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(slips, func(s Slip) bool { return s.Kind == want }) {
			t.Fatalf("done %v, logged %v, stated %g for %s: %v, want %s", truth, log, stated, label, slips, want)
		}
		if slips[0].Kind == want {
			first++
		}
	}
	t.Logf("the slip that was made comes first in %d of the trials", first)
	if first < trials/4 {
		t.Errorf("the slip that was made comes first in %d of %d trials at most", first, trials)
	}
}

func TestSlipsRefused(t *testing.T) {
	for _, row := range []struct {
		glass  string
		stated float64
		field  string
	}{{"B", -1, "stated_total_ml"}, {"B", math.NaN(), "stated_total_ml"}, {"B", math.Inf(1), "stated_total_ml"}, {"X", 2, "glass"}} {
		_, err := Slips(row.glass, row.stated, tallies(t, "B2"))
		var faults colour.FieldErrors
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field {
			t.Errorf("%g for %s: %v, want a fault at %s", row.stated, row.glass, err, row.field)
		}
	}
}

func ExampleSlips() {
	slips, err := Slips("B", 3, []Tally{
		{Glass: "B", Pours: []Logged{{No: 1, ML: 3}, {No: 3, ML: 2}}},
		{Glass: "C", Pours: []Logged{{No: 2, ML: 5}}},
	})
	if err != nil {
		panic(err)
	}
	for _, s := range slips {
		fmt.Println(s.Words)
	}
	// Output:
	// It is the total without the last pour of 2 mL: has that one not been counted, or did it go into another glass?
}
