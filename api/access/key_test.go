package access

import (
	"strings"
	"testing"
)

func TestKeys(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		key := NewKey()
		hash, ok := Hash(key)
		if len(key) != 27 || !ok || len(hash) != 64 || seen[key] {
			t.Fatalf("key %q, hash %q, %t", key, hash, ok)
		}
		seen[key] = true
	}
	key := NewKey()
	for _, not := range []string{"", " ", key + " ", " " + key, key + "=", key[1:], key + "A", key[:26] + "+", strings.Repeat("A", 26) + "B", strings.Repeat("A", 1<<20), "\x00" + key[1:], key[:10] + "\n" + key[11:]} {
		if _, ok := Hash(not); ok {
			t.Errorf("%.60q is taken for a key", not)
		}
	}
}

// FuzzHash: each key has one way to be written, so that no text but the key itself has
// its hash.
func FuzzHash(f *testing.F) {
	f.Add(strings.Repeat("A", 27), strings.Repeat("A", 26)+"E")
	f.Add("", "AAAAAAAAAAAAAAAAAAAAAAAAAA=")
	f.Add("AAAAAAAAAAAAAAAAAAAAAAAAAAA\n", "AAAAAAAAAAAAAAAAAAAAAAAAAAB")
	f.Fuzz(func(t *testing.T, a, b string) {
		one, ok := Hash(a)
		other, also := Hash(b)
		if ok && len(a) != 27 || ok && also && (a == b) != (one == other) {
			t.Errorf("%q and %q: %s, %t and %s, %t", a, b, one, ok, other, also)
		}
	})
}
