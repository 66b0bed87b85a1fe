package invented_test

import (
	"testing"
	"time"

	"pourpath/api/bench"
	"pourpath/api/invented"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

func filled(t *testing.T) (*store.Store, *release.Release) {
	t.Helper()
	var clock invented.Clock
	s, err := store.Open(t.Context(), store.Config{Dir: t.TempDir(), Now: clock.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := invented.Fill(t.Context(), s, &clock, "test"); err != nil {
		t.Fatal(err)
	}
	return s, release.New(s, bench.New(s), "test")
}

// TestVerdicts: most lots pass, one fails, of one the reading cannot tell; what was
// decided goes by that, and every verdict is found again.
func TestVerdicts(t *testing.T) {
	t.Parallel()
	s, r := filled(t)
	lots, err := r.Lots(t.Context(), record.Page{Limit: 100})
	if err != nil {
		t.Fatal(err)
	}
	fits := map[string]string{"pass": "released", "inconclusive": "held", "fail": "rejected"}
	verdicts, undecided, retained := map[string]int{}, 0, 0
	for _, l := range lots {
		found := l.Samples[0].Verdict
		verdicts[found]++
		switch {
		case l.Decision == nil:
			undecided++
		case l.Decision.Decision != fits[found]:
			t.Errorf("%s: %s, and %s", l.Name, found, l.Decision.Decision)
		}
		retained += len(l.Samples) - 1
	}
	if verdicts["pass"] != 24 || verdicts["inconclusive"] != 1 || verdicts["fail"] != 1 || undecided != 1 || retained < 15 {
		t.Errorf("verdicts %v, %d undecided, %d retained bottles", verdicts, undecided, retained)
	}
	again, err := r.Verify(t.Context(), release.VerifyBody{}, func(int) {})
	if err != nil || again.Verdicts != len(lots)+retained || again.Differed != 0 {
		t.Errorf("computed anew: %+v, %v", again, err)
	}
	whole, err := s.Verify(t.Context())
	if err != nil || len(whole.Findings) != 0 {
		t.Errorf("the store: %+v, %v", whole.Findings, err)
	}
}

// TestAnswers: the chart of lightness is steady enough for a capability, the drift is
// known, and the panel prefers a dose within an interval.
func TestAnswers(t *testing.T) {
	t.Parallel()
	s, r := filled(t)
	chart, err := r.Chart(t.Context(), release.ChartAsk{Product: "House rosé 750 mL"})
	if err != nil || chart.Lots != 26 || chart.Capability == nil || chart.Capability.Ppk.Value < 1 {
		t.Errorf("the chart of L*: %d lots, capability %+v, %s, %v", chart.Lots, chart.Capability, chart.NoCapability, err)
	}
	drift, err := r.Drift(t.Context(), "")
	if err != nil || len(drift.Classes) != 1 || !drift.Classes[0].Known {
		t.Fatalf("the drift: %+v, %v", drift, err)
	}
	if red := drift.Classes[0].Learned.Bands[1]; red.RateIn95[1] >= 0 {
		t.Errorf("A520 falls by %+v", red)
	}
	panels := panel.New(s)
	list, err := panels.Panels(t.Context(), record.Page{Limit: 10})
	if err != nil || len(list) != 2 || list[0].State != "closed" || list[1].State != "open" {
		t.Fatalf("the panels: %+v, %v", list, err)
	}
	result, err := panels.Outcome(t.Context(), list[0].ID)
	if err != nil || result.Preference == nil || result.Preference.Best == nil {
		t.Fatalf("the result: %+v, %v", result.Preference, err)
	}
	if best := result.Preference.Best; best.AtLowest || best.AtHighest {
		t.Errorf("the preferred dose lies at an end: %+v", best)
	}
}

// TestTimes: the past is told up to now, nothing lies ahead, and the clock goes on.
func TestTimes(t *testing.T) {
	t.Parallel()
	s, _ := filled(t)
	now := time.Now()
	if d := s.Now().Sub(now); d < -time.Minute || d > time.Minute {
		t.Errorf("the store's clock is %v off", d)
	}
	readings, err := s.Readings(t.Context(), record.Page{Limit: 1000})
	if err != nil || len(readings) < 10 {
		t.Fatalf("%d readings, %v", len(readings), err)
	}
	newest := time.Time{}
	for _, r := range readings {
		if r.TakenAt.After(now) {
			t.Errorf("a reading of %v", r.TakenAt)
		}
		if r.TakenAt.After(newest) {
			newest = r.TakenAt.Time
		}
	}
	lots, err := s.Lots(t.Context(), record.Page{Limit: 100, Newest: true})
	if err != nil {
		t.Fatal(err)
	}
	if age := now.Sub(lots[0].BottledAt.Time); age < 0 || age > 7*24*time.Hour {
		t.Errorf("the newest lot was bottled %v ago", age)
	}
	if age := now.Sub(newest); age > 5*24*time.Hour {
		t.Errorf("the newest reading of a wine is %v old", age)
	}
	trials, err := s.Trials(t.Context(), record.Page{Limit: 10})
	if err != nil {
		t.Fatal(err)
	}
	for _, trial := range trials {
		for i, e := range trial.Log {
			if e.RecordedAt.After(now) || i > 0 && e.RecordedAt.Before(trial.Log[i-1].RecordedAt.Time) {
				t.Errorf("%s: entry %d was recorded at %v", trial.Name, e.No, e.RecordedAt)
			}
		}
	}
}
