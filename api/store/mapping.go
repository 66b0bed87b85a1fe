package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

type mappingRow struct {
	bun.BaseModel `bun:"table:header_mapping"`

	Signature string `bun:",pk"`
	Mapping   string
	UpdatedAt record.Instant
	Checksum  int64
}

func (r *mappingRow) values() []any  { return []any{r.Signature, r.Mapping, r.UpdatedAt} }
func (r *mappingRow) stored() *int64 { return &r.Checksum }

// signature tells headers apart: the same columns in the same order.
func signature(header []string) string {
	keys := make([]string, len(header))
	for i, h := range header {
		keys[i] = nameKey(h)
	}
	sum := sha256.Sum256([]byte(strings.Join(keys, "\x00")))
	return hex.EncodeToString(sum[:])
}

// MappingFor returns what a person once said the columns of such a header are;
// nil where nobody did.
func (s *Store) MappingFor(ctx context.Context, header []string) (map[string]string, error) {
	row := new(mappingRow)
	err := fault("the mapping of a header", s.read.NewSelect().Model(row).Where("signature = ?", signature(header)).Scan(ctx))
	if errors.Is(err, record.ErrNotFound) {
		return nil, nil //nolint:nilnil // no mapping is a usual answer
	}
	if err != nil {
		return nil, err
	}
	if err := intact("header_mapping", row.Signature, row); err != nil {
		return nil, err
	}
	var mapping map[string]string
	err = fromJSON(row.Mapping, &mapping)
	return mapping, err
}

// mostMappings is how many mappings are tried on a header that is not understood.
const mostMappings = 50

// Mappings returns the mappings that were given last, the newest first.
func (s *Store) Mappings(ctx context.Context) ([]map[string]string, error) {
	var rows []*mappingRow
	if err := s.read.NewSelect().Model(&rows).Order("updated_at DESC").Limit(mostMappings).Scan(ctx); err != nil {
		return nil, fault("listing mappings", err)
	}
	return records(rows, func(r *mappingRow) (mapping map[string]string, err error) {
		if err := intact("header_mapping", r.Signature, r); err != nil {
			return nil, err
		}
		err = fromJSON(r.Mapping, &mapping)
		return mapping, err
	})
}

// rememberMapping keeps a mapping for the next file with such a header.
func (s *Store) rememberMapping(ctx context.Context, tx bun.Tx, header []string, mapping map[string]string) error {
	written, err := jsonText(mapping)
	if err != nil {
		return err
	}
	row := &mappingRow{Signature: signature(header), Mapping: written, UpdatedAt: s.instant()}
	seal(row)
	_, err = tx.NewInsert().Model(row).On("CONFLICT (signature) DO UPDATE").
		Set("mapping = EXCLUDED.mapping").Set("updated_at = EXCLUDED.updated_at").Set("checksum = EXCLUDED.checksum").Exec(ctx)
	return err
}
