package bench

import (
	"context"
	"fmt"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// judged warns of an entry that changes a glass which an open panel judges. It is
// kept all the same: what was poured was poured, and a log that refused it would be
// wrong from then on.
func (b *Bench) judged(ctx context.Context, e *record.Logged, trialID string) error {
	page := record.Page{Limit: 1000}
	for {
		list, err := b.store.PanelsOf(ctx, trialID, page)
		if err != nil {
			return err
		}
		for _, p := range list {
			if p.Closing == nil && p.Has(e.Glass) {
				name := p.Name
				if name == "" {
					name = "opened " + p.CreatedAt.Format("2006-01-02 15:04") + " UTC"
				}
				e.Warnings = append(e.Warnings, calc.Warning{Code: "panel_open", Message: fmt.Sprintf(
					"Glass %s is being judged in a panel (%s) at the dose that it held when that was opened. The entry is kept and changes nothing of the panel: judge no more of this glass from now on, or close the panel and open another.", e.Glass, name)})
			}
		}
		if len(list) < page.Limit {
			return nil
		}
		page.After = list[len(list)-1].ID
	}
}
