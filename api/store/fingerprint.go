package store

import "crypto/sha256"

// fingerprint is what a reading is told by in a file: the wine by the name and
// lot that the file has, and what was read, in which cell, when, and as which
// replicate. Who read it and on which instrument is left out: one report may
// name them and another not.
func fingerprint(nameKey, lot string, r *readingRow) []byte {
	b := make([]byte, 0, 256)
	for _, v := range []any{
		nameKey, lot, r.Kind, r.PathMM, r.Dilution, r.A420, r.A520, r.A620, r.Body, r.TakenAt, r.Replicate,
	} {
		b = appendValue(b, v)
	}
	sum := sha256.Sum256(b)
	return sum[:16]
}
