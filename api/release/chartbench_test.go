package release

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

// lotsLike returns the archive of a store that has a lot with one sample, with
// n lots of made-up colours in place of it: bottled a day after each other.
func lotsLike(tb testing.TB, archive string, n int) io.Reader {
	tb.Helper()
	rows, fixed := map[string]map[string]any{}, []string{}
	var head string
	for line := range strings.Lines(archive) {
		var l struct {
			Table string
			Row   map[string]any
		}
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			tb.Fatal(err)
		}
		switch l.Table {
		case "lot", "lot_detail", "lot_sample", "lot_verdict":
			rows[l.Table] = l.Row
		case "":
			if head == "" {
				head = line
			}
		default:
			fixed = append(fixed, line)
		}
	}
	var answer map[string]any
	if err := json.Unmarshal([]byte(fmt.Sprint(rows["lot_verdict"]["answer"])), &answer); err != nil {
		tb.Fatal(err)
	}
	in, out := io.Pipe()
	go func() { out.CloseWithError(writeLots(out, head, fixed, rows, answer, n)) }()
	return in
}

func writeLots(to io.Writer, head string, fixed []string, rows map[string]map[string]any, answer map[string]any, n int) error {
	buffered, sum := bufio.NewWriterSize(to, 1<<20), sha256.New()
	w := io.MultiWriter(buffered, sum)
	e := json.NewEncoder(w)
	if _, err := io.WriteString(w, head+strings.Join(fixed, "")); err != nil {
		return err
	}
	count := len(fixed)
	r := rand.New(rand.NewPCG(5, 8))
	for _, table := range []string{"lot", "lot_sample", "lot_verdict", "lot_detail"} {
		row := rows[table]
		for i := range n {
			lot := fmt.Sprintf("01900000-0000-7000-8000-%012x", i)
			row["id"] = lot
			switch table {
			case "lot":
				row["name"] = fmt.Sprintf("L-%06d", i+1)
			case "lot_sample":
				row["lot_id"] = lot
			case "lot_verdict":
				row["sample_id"] = lot
				colour, ok := answer["colour"].(map[string]any)
				if !ok {
					return errors.New("the verdict has no colour")
				}
				colour["cielab"] = calc.ColourValues{L: 84 + 0.4*r.NormFloat64(), A: 13 + 0.3*r.NormFloat64(), B: 8 + 0.2*r.NormFloat64()}
				text, err := json.Marshal(answer)
				if err != nil {
					return err
				}
				row["answer"] = string(text)
			case "lot_detail":
				delete(row, "id")
				row["lot_id"] = lot
				row["bottled_at"] = record.At(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Hour)).String()
			}
			if err := e.Encode(map[string]any{"table": table, "row": row}); err != nil {
				return err
			}
			count++
		}
	}
	if _, err := fmt.Fprintf(buffered, `{"rows":%d,"sha256":"%s"}`+"\n", count, hex.EncodeToString(sum.Sum(nil))); err != nil {
		return err
	}
	return buffered.Flush()
}

// withLots is a store with n lots of the product Rosé.
func withLots(tb testing.TB, n int) (*store.Store, *Release) {
	tb.Helper()
	from, r := open(tb)
	wine := readings(0.142, 0.118, 0.021).Wine("as it was")
	spec, err := r.AddSpec(tb.Context(), record.SpecBody{Product: "Rosé", Spec: calc.Spec{
		Name: "House", Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 3}, Limits: &calc.Limits{L: &[2]float64{82, 95}},
	}})
	if err != nil {
		tb.Fatal(err)
	}
	bottled, _ := record.ParseInstant("2020-01-01")
	lot, err := r.AddLot(tb.Context(), record.LotBody{Name: "L", Spec: spec.ID, Product: "Rosé", BottledAt: &bottled})
	if err != nil {
		tb.Fatal(err)
	}
	if _, err := r.AddSample(tb.Context(), lot.ID, record.SampleBody{Measurement: readings(0.142, 0.118, 0.021)}); err != nil {
		tb.Fatal(err)
	}
	var archive bytes.Buffer
	if _, err := from.Archive(tb.Context(), &archive); err != nil {
		tb.Fatal(err)
	}
	dir, address := storetest.Made(tb, opening)
	s, err := store.Open(tb.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	if _, err := s.Restore(tb.Context(), lotsLike(tb, archive.String(), n)); err != nil {
		tb.Fatal(err)
	}
	return s, New(s, bench.New(s), "1.0")
}

// BenchmarkChart charts 100,000 lots: the first time after the program began
// (cold), again (warm), and after one more lot was judged (one_more).
func BenchmarkChart(b *testing.B) {
	s, r := withLots(b, 100_000)
	for _, kind := range ChartKinds {
		ask := ChartAsk{Product: "Rosé", Kind: kind}
		b.Run(kind+"/cold", func(b *testing.B) {
			for b.Loop() {
				if got, err := New(s, bench.New(s), "1.0").Chart(b.Context(), ask); err != nil || got.Lots < 100_000 {
					b.Fatal(got.Lots, err)
				}
			}
		})
		b.Run(kind+"/warm", func(b *testing.B) {
			for b.Loop() {
				if got, err := r.Chart(b.Context(), ask); err != nil || got.Lots < 100_000 {
					b.Fatal(got.Lots, err)
				}
			}
		})
	}
	b.Run("one_more", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			now := s.Now()
			lot, err := r.AddLot(b.Context(), record.LotBody{Name: "new", Product: "Rosé", BottledAt: &now})
			if err == nil {
				_, err = r.AddSample(b.Context(), lot.ID, record.SampleBody{Measurement: readings(0.142, 0.118, 0.021)})
			}
			if err != nil {
				b.Fatal(err)
			}
			b.StartTimer()
			if _, err := r.Chart(b.Context(), ChartAsk{Product: "Rosé"}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
