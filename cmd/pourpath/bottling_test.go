package main

import (
	"strings"
	"testing"

	"pourpath/api/release"
)

// TestLotBottled: the command tells later when a lot was bottled, and a correction says why.
func TestLotBottled(t *testing.T) {
	d := aDesk{t, t.TempDir()}
	d.does(nil, with([]string{"spec", "add"}, houseSpec)...)
	d.does(nil, "lot", "add", "--name", "L-9", "--spec", "House rosé")
	d.does([]string{"Bottled: 2026-03-14", "as Ada told"}, "lot", "bottled", "L-9", "--at", "2026-03-14T12:00:00Z", "--by", "Ada")
	if got := d.run("", "lot", "bottled", "L-9", "--at", "2026-03-15", "--by", "Ben"); got.exit != 2 || !strings.Contains(got.err, "say why it is corrected") {
		t.Errorf("without a reason: %+v", got)
	}
	lot := printed[release.LotAnswer](d, "lot", "bottled", "L-9", "--at", "2026-03-16T12:00:00Z", "--by", "Ben", "--reason", "the line stood")
	if len(lot.Bottlings) != 2 || lot.Bottlings[1].Reason != "the line stood" || lot.BottledAt.Format("2006-01-02") != "2026-03-16" {
		t.Errorf("corrected: %+v", lot.Lot)
	}
}
