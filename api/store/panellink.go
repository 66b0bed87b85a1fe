package store

import (
	"context"
	"crypto/subtle"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// panelLinkRow is a row of the table panel_link, which is no part of a backup: who
// holds an old one must not judge from it.
type panelLinkRow struct {
	bun.BaseModel `bun:"table:panel_link,alias:l"`

	JudgeID   string `bun:"judge_id,pk"`
	KeySHA256 string `bun:"key_sha256"`
	MadeAt    record.Instant
	Checksum  int64
}

func (r *panelLinkRow) values() []any  { return []any{r.JudgeID, r.KeySHA256, r.MadeAt} }
func (r *panelLinkRow) stored() *int64 { return &r.Checksum }

// link gives a judge a link by the SHA-256 of its key; the one before dies.
func link(ctx context.Context, tx bun.Tx, judgeID, keySHA256 string, now record.Instant) error {
	if _, err := tx.NewDelete().Model((*panelLinkRow)(nil)).Where("judge_id = ?", judgeID).Exec(ctx); err != nil {
		return err
	}
	row := &panelLinkRow{JudgeID: judgeID, KeySHA256: keySHA256, MadeAt: now}
	seal(row)
	_, err := tx.NewInsert().Model(row).Exec(ctx)
	return err
}

// JudgeByKey finds the judge whose link has a key with this SHA-256 (in
// hexadecimal), with the panel; record.ErrNotFound where there is none.
func (s *Store) JudgeByKey(ctx context.Context, keySHA256 string) (panelID, judgeID string, err error) {
	err = s.inSnapshot(ctx, "the judge of a link", func(ctx context.Context, tx bun.Tx) error {
		row := new(panelLinkRow)
		if err := tx.NewSelect().Model(row).Where("key_sha256 = ?", keySHA256).Scan(ctx); err != nil {
			return err
		}
		if err := intact("panel_link", row.JudgeID, row); err != nil {
			return err
		}
		if subtle.ConstantTimeCompare([]byte(row.KeySHA256), []byte(keySHA256)) != 1 {
			return record.ErrNotFound
		}
		panelID, judgeID, err = panelOfJudge(ctx, tx, row.JudgeID)
		return err
	})
	return panelID, judgeID, err
}

// LinkMadeAt is when the link of a judge was given out; record.ErrNotFound where the
// judge has none.
func (s *Store) LinkMadeAt(ctx context.Context, judgeID string) (record.Instant, error) {
	row := new(panelLinkRow)
	if err := s.read.NewSelect().Model(row).Where("judge_id = ?", judgeID).Scan(ctx); err != nil {
		return record.Instant{}, fault("the link of a judge", err)
	}
	return row.MadeAt, intact("panel_link", row.JudgeID, row)
}

// PanelOfJudge is the panel that a judge belongs to; record.ErrNotFound where there
// is no such judge.
func (s *Store) PanelOfJudge(ctx context.Context, judgeID string) (panelID string, err error) {
	panelID, _, err = panelOfJudge(ctx, s.read, judgeID)
	return panelID, fault("the panel of a judge", err)
}

func panelOfJudge(ctx context.Context, db bun.IDB, id string) (panelID, judgeID string, err error) {
	row := new(panelJudgeRow)
	if err := db.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return "", "", err
	}
	return row.PanelID, row.ID, intact("panel_judge", row.ID, row)
}
