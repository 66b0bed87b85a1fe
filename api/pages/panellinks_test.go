package pages

import (
	"strconv"
	"sync"
	"testing"

	"pourpath/api/panel"
)

// TestLinksHeldAtOnce: of judges who are asked in several tabs all links are held.
func TestLinksHeldAtOnce(t *testing.T) {
	held := newHeldLinks()
	var all sync.WaitGroup
	for i := range 500 {
		all.Go(func() { held.hold("p", []panel.JudgeLink{{Judge: strconv.Itoa(i)}}) })
	}
	all.Wait()
	if links, _ := held.byPanel.Get("p"); len(links) != 500 {
		t.Errorf("%d of 500 links are held", len(links))
	}
}
