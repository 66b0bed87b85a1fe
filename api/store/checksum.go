package store

import (
	"encoding/binary"
	"fmt"
	"math"

	"github.com/cespare/xxhash/v2"

	"pourpath/api/record"
)

// row is a row of a table, as its columns hold it.
type row interface {
	// values are the columns but for the checksum, in the table's order.
	values() []any
	// stored is the checksum beside them.
	stored() *int64
}

// seal sets the checksum of a row that is about to be written.
func seal(r row) { *r.stored() = checksum(r.values()) }

// intact returns record.ErrDamaged unless a row that was read is what was
// written.
func intact(table, id string, r row) error {
	if *r.stored() != checksum(r.values()) {
		return fmt.Errorf("store: %s %q: %w: its checksum does not fit; restore the last backup", table, id, record.ErrDamaged)
	}
	return nil
}

// checksum is a 64-bit hash (xxHash) over the values with their kinds, so that
// neither a changed value nor one that moved to its neighbour goes unseen. It is
// against chance, not against an attacker.
func checksum(values []any) int64 {
	buffer := make([]byte, 0, 512)
	for _, v := range values {
		buffer = appendValue(buffer, v)
	}
	return hashed(buffer)
}

func hashed(b []byte) int64 { return int64(xxhash.Sum64(b)) } //nolint:gosec // a hash has no sign

func appendNumber(b []byte, kind byte, bits uint64) []byte {
	return binary.LittleEndian.AppendUint64(append(b, kind), bits)
}

func appendText(b []byte, v string) []byte { return append(appendNumber(b, 's', uint64(len(v))), v...) }

func appendFloat(b []byte, v float64) []byte { return appendNumber(b, 'f', math.Float64bits(v)) }

func appendInt(b []byte, v int64) []byte { return appendNumber(b, 'i', uint64(v)) } //nolint:gosec // the bits are what counts

func appendValue(b []byte, v any) []byte {
	switch v := v.(type) {
	case nil:
		return append(b, 'n')
	case string:
		return appendText(b, v)
	case *string:
		if v == nil {
			return append(b, 'n')
		}
		return appendValue(b, *v)
	case []byte:
		if v == nil {
			return append(b, 'n')
		}
		return append(appendNumber(b, 'b', uint64(len(v))), v...)
	case float64:
		return appendFloat(b, v)
	case *float64:
		if v == nil {
			return append(b, 'n')
		}
		return appendValue(b, *v)
	case int64:
		return appendInt(b, v)
	case *int64:
		if v == nil {
			return append(b, 'n')
		}
		return appendValue(b, *v)
	case record.Instant:
		return appendValue(b, v.String())
	case *record.Instant:
		if v == nil {
			return append(b, 'n')
		}
		return appendValue(b, v.String())
	}
	panic(fmt.Sprintf("store: no checksum of %T", v)) // a column of a new type
}
