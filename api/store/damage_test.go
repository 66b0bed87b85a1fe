package store

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/record"
)

// wholeFile makes an SQLite store with some records and returns its one file's
// content and all that was written.
func wholeFile(t *testing.T) (content []byte, wines []record.Wine, readings []record.Reading) {
	t.Helper()
	dir, ctx := t.TempDir(), context.Background()
	s, err := Open(ctx, Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	var list []record.Entry
	for i := range 60 {
		e := entry(fmt.Sprintf("Tank %d", i%20), 0.1+float64(i)/1000)
		e.Wine.Notes = strings.Repeat("notes ", i)
		list = append(list, e)
	}
	imported(t, s, sent(strings.Repeat("x", 3000), list...), ImportOptions{})
	wines, readings = readAll(t, s)
	closed(t, s)
	content, err = os.ReadFile(filepath.Join(dir, sqliteFile))
	if err != nil {
		t.Fatal(err)
	}
	return content, wines, readings
}

func readAll(t *testing.T, s *Store) ([]record.Wine, []record.Reading) {
	t.Helper()
	wines, err := s.Wines(context.Background(), record.Page{Limit: 1000, Archived: true})
	if err != nil {
		t.Fatal(err)
	}
	readings, err := s.Readings(context.Background(), record.Page{Limit: 1000, Archived: true})
	if err != nil {
		t.Fatal(err)
	}
	return wines, readings
}

// TestBitFlips: a bit that is turned over anywhere in the file is either found
// by opening or by verify, or is where nothing is stored; and no reader is ever
// given anything but what was written.
func TestBitFlips(t *testing.T) {
	content, wines, readings := wholeFile(t)
	random := rand.New(rand.NewPCG(1, 2))
	const trials = 400
	var opening, verifying, harmless int
	for range trials {
		bit := random.IntN(len(content) * 8)
		damaged := append([]byte{}, content...)
		damaged[bit/8] ^= 1 << (bit % 8)
		switch found := damagedStore(t, damaged, wines, readings); found {
		case "opening":
			opening++
		case "verify":
			verifying++
		case "":
			harmless++
		default:
			t.Fatalf("bit %d of byte %d (of %d): %s", bit%8, bit/8, len(content), found)
		}
	}
	t.Logf("of %d bits, opening finds %d, verify %d more; %d are where nothing is stored", trials, opening, verifying, harmless)
	if opening+verifying == 0 {
		t.Error("no flip did any damage: the test proves nothing")
	}
}

// damagedStore tells what found the damage, or what was read wrong.
func damagedStore(t *testing.T, content []byte, wines []record.Wine, readings []record.Reading) string {
	t.Helper()
	dir, ctx := t.TempDir(), context.Background()
	if err := os.WriteFile(filepath.Join(dir, sqliteFile), content, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(ctx, Config{Dir: dir})
	if err != nil {
		return "opening"
	}
	defer closed(t, s)
	v, err := s.Verify(ctx)
	found := err != nil || len(v.Findings) > 0
	gotWines, err := s.Wines(ctx, record.Page{Limit: 1000, Archived: true})
	if err == nil && !reflect.DeepEqual(gotWines, wines) && !found {
		return "wines were read that nobody wrote, and verify found nothing"
	}
	if err == nil {
		for _, w := range gotWines {
			if !contains(wines, w) {
				return fmt.Sprintf("a wine was read that nobody wrote: %+v", w)
			}
		}
	}
	gotReadings, err := s.Readings(ctx, record.Page{Limit: 1000, Archived: true})
	if err == nil && !reflect.DeepEqual(gotReadings, readings) && !found {
		return "readings were read that nobody wrote, and verify found nothing"
	}
	if err == nil {
		for _, r := range gotReadings {
			r.SupersededBy = "" // told by another row
			if !contains(readings, r) {
				return fmt.Sprintf("a reading was read that nobody wrote: %+v", r)
			}
		}
	}
	if found {
		return "verify"
	}
	return ""
}

func contains[T any](list []T, v T) bool {
	for _, x := range list {
		if reflect.DeepEqual(x, v) {
			return true
		}
	}
	return false
}

// TestCutShort: a file that lost its end, or all of it, is not opened.
func TestCutShort(t *testing.T) {
	content, _, _ := wholeFile(t)
	for _, keep := range []int{0, 1, 99, 100, 4095, 4096, len(content) / 2, len(content) - 4096, len(content) - 1} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, sqliteFile), content[:keep], 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(context.Background(), Config{Dir: dir})
		if err == nil {
			closed(t, s)
		}
		if !errors.Is(err, record.ErrDamaged) {
			t.Errorf("%d of %d bytes: %v, want ErrDamaged", keep, len(content), err)
		}
	}
}

// TestSomethingElse: a file of another program is not taken for ours.
func TestSomethingElse(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, sqliteFile), []byte(strings.Repeat("not a database ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(context.Background(), Config{Dir: dir}); !errors.Is(err, record.ErrDamaged) {
		t.Errorf("%v, want ErrDamaged", err)
	}
}
