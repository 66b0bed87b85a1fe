// Package record holds what a laboratory and a cellar write down: wines, the
// readings that were taken of them over time, and targets. It says what a record
// must look like and which of a wine's readings is its current one; it stores
// nothing itself.
//
// A reading is never changed. A correction is a new reading that supersedes the
// old one and says why; both stay. Deleting is archiving: the record stays
// readable and is left out of lists and computations.
package record

import "errors"

// Errors of whoever keeps records. They are matched with errors.Is.
var (
	// ErrNotFound: there is no such record.
	ErrNotFound = errors.New("there is no such record")
	// ErrChanged: somebody else has changed the record since it was read.
	ErrChanged = errors.New("the record was changed by somebody else since it was read")
	// ErrArchived: the record was archived and takes no changes.
	ErrArchived = errors.New("the record is archived and takes no changes")
	// ErrNotArchived: the record is in use, so there is nothing to bring back.
	ErrNotArchived = errors.New("the record is not archived: it is in use")
	// ErrSuperseded: the reading has a correction already.
	ErrSuperseded = errors.New("the reading is superseded already: correct its correction")
	// ErrUnavailable: the store cannot be reached now; the same call may work
	// later.
	ErrUnavailable = errors.New("the store cannot be reached now")
	// ErrFull: there is no room left for the record; nothing of it was kept.
	ErrFull = errors.New("there is no room left where the records are kept")
	// ErrNotJudged: no sample of the lot was judged, so nothing can be stated of it.
	ErrNotJudged = errors.New("no sample of this lot was judged yet: there is nothing to state")
	// ErrDamaged: what is stored is not what was written.
	ErrDamaged = errors.New("the store is damaged")
)

// Page is a part of a list, in the order in which the records were made.
type Page struct {
	// Newest turns the order of a list of wines, targets, trials or lots, or of one
	// wine's readings, around: the newest comes first, and After is followed by what
	// is older.
	Newest bool
	// After is the identifier of the last record of the page before; "" starts.
	After string
	// Limit is the most records that are wanted, 1 to 1000.
	Limit int
	// Archived asks for archived records too.
	Archived bool
	// Named, of a list of wines, asks for those alone that have each of these words
	// in their name or lot, whatever the letter case.
	Named string
}
