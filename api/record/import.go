package record

import "pourpath/api/calc"

// Entry is one reading that a file holds, before it is known whether the
// records have it already. Where Faults is not empty the rest may be partly
// filled, and the entry is rejected.
type Entry struct {
	// Row counts the readings' places in the file from 1: the line of a text
	// file, the row of a sheet, the first line of a JCAMP-DX block, or for scans
	// in columns the column.
	Row int
	// Place names Row for people: "row 12", "sheet Rosés, column C".
	Place string
	// Wine is what the file says of the wine; Kind is "" where it says nothing.
	Wine WineFields
	Measurement
	Circumstances
	// Raw are the cells as they stand in the file, but for those that were
	// corrected, for whoever mends them; nil for a scan in columns or a JCAMP-DX
	// block.
	Raw []string
	// Faults say why the entry cannot be taken: Location names the place in the
	// file, such as "row 12, a520", Message what is wrong and what would be
	// right.
	Faults []calc.Fault
	// Warnings say what must be known of an entry that is taken.
	Warnings []calc.Warning
}

// Reading is the entry's reading, of a wine yet to be found.
func (e Entry) Reading() Reading {
	return Reading{Measurement: e.Measurement, Circumstances: e.Circumstances}
}

// Status is what became of an entry.
type Status string

// What may become of an entry.
const (
	Accepted  Status = "accepted"
	Duplicate Status = "duplicate"
	Rejected  Status = "rejected"
)

// ImportRow tells what became of one entry of a file.
type ImportRow struct {
	Row      int            `json:"row" doc:"Place in the file, counted from 1: the line, the sheet's row, or the column of a scan."`
	Place    string         `json:"place" doc:"The same for people."`
	Status   Status         `json:"status" enum:"accepted,duplicate,rejected" doc:"What became of it."`
	Name     string         `json:"name,omitempty" doc:"Name of the wine as the file has it."`
	Wine     string         `json:"wine,omitempty" doc:"Identifier of the wine."`
	Reading  string         `json:"reading,omitempty" doc:"Identifier of the reading; of the one that is there already, for a duplicate."`
	Problem  *calc.Problem  `json:"problem,omitempty" doc:"Why it was rejected: what is wrong, where, and what would be right."`
	Warnings []calc.Warning `json:"warnings,omitempty" doc:"What must be known of it."`
	Raw      []string       `json:"raw,omitempty" doc:"The cells of a rejected row as they stand in the file, but for those that were corrected."`

	// NewWine says that the import adds the wine. It is known while the import is
	// under way alone.
	NewWine bool `json:"-"`
}

// Import tells what became of a file.
type Import struct {
	ID           string         `json:"id,omitempty" doc:"Identifier; absent for a dry run."`
	FileName     string         `json:"file_name" doc:"Name of the file, without folders."`
	SHA256       string         `json:"sha256" doc:"SHA-256 of the file."`
	Bytes        int64          `json:"bytes" doc:"Size of the file."`
	Format       string         `json:"format" doc:"What the file was read as: csv, tsv, xlsx, jcamp-dx."`
	Layout       string         `json:"layout" doc:"How it holds readings, in words."`
	Accepted     int            `json:"accepted" doc:"Readings that were added (a scan is one)."`
	Rejected     int            `json:"rejected" doc:"Readings that were not, for the reason beside each."`
	Duplicates   int            `json:"duplicates" doc:"Readings that are there already."`
	NewWines     int            `json:"new_wines" doc:"Wines that were added."`
	Columns      []Column       `json:"columns,omitempty" doc:"What each column was taken for."`
	Warnings     []calc.Warning `json:"warnings" doc:"What must be known of the whole file."`
	DryRun       bool           `json:"dry_run" doc:"True where nothing was changed."`
	AllOrNothing bool           `json:"all_or_nothing" doc:"True where one rejected reading refuses all."`
	Header       []string       `json:"header,omitempty" doc:"The column headers as they stand in the file."`
	Corrections  []Correction   `json:"corrections,omitempty" doc:"Cells that a person mended before it was brought in, and rows that were left out on purpose. The file is kept as it came."`
	ImportedAt   Instant        `json:"imported_at" doc:"When."`
	Undone       *ImportUndone  `json:"undone,omitempty" doc:"That the import was undone; absent while it stands."`
	Resting      []Resting      `json:"resting,omitempty" doc:"What rests on its readings and keeps what it has of them when the import is undone, a hundred at most; told of one import alone."`
	Rows         []ImportRow    `json:"rows" doc:"What became of each reading, in the file's order; the first 1000."`
	Next         string         `json:"next,omitempty" doc:"Cursor for the rows after those, at /v1/imports/{id}/rows."`
}

// Column tells what a column of a file was taken for.
type Column struct {
	Header string `json:"header" doc:"As it stands in the file."`
	Field  string `json:"field" doc:"What it was taken for; empty where it was left out."`
	By     string `json:"by" enum:"name,mapping,values,none" doc:"How that was known: by the table of header names, by a mapping that was given, by the values, or not at all."`
}
