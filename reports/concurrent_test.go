package reports_test

import (
	"bytes"
	"sync"
	"testing"
)

// A server draws many figures at once; they share the parsed fonts.
func TestFiguresAreDrawnConcurrently(t *testing.T) {
	f := realistic(t)
	for _, format := range formats {
		want := drawn(t, f, format.write)
		var wait sync.WaitGroup
		for range 4 {
			wait.Go(func() {
				var b bytes.Buffer
				if err := format.write(f, &b); err != nil || !bytes.Equal(b.Bytes(), want) {
					t.Errorf("%s: differs when drawn beside others (error %v)", format.name, err)
				}
			})
		}
		wait.Wait()
	}
}
