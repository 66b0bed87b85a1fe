// Package export writes what is stored as tables for a spreadsheet: CSV files
// with one table each, and XLSX workbooks with a sheet for each. Archived and
// superseded records are in them, and the column status says so. The archive
// that is restored from is another thing, package store's.
//
// # Tables
//
// "readings" holds a reading at single wavelengths, or L*a*b*, in each row;
// "spectra" a scan in each row, with a column for each wavelength. Their headers
// are those that an import knows (package labfile), so that both files import
// again; the columns of the record itself are left out then, and a row whose
// status says that it does not count any more is rejected.
//
// "wines", "targets", "verdicts", "decisions", "statements" and "imports" hold a
// record in each row, "trials" an entry of a log, "specs" a version of a
// specification, "lots" a sample with its first verdict, "instrument_checks" a
// point of a check.
//
// A row of "trials" has all that its entry says, and two columns that follow from
// the log: dose_ml_per_100ml, what the glass had after the entry, and undone_by, the
// entry that took it back, so that it counts no more. The trial's held wines, tools
// and sample volumes are in each of its rows, as JSON. What its wines and its target
// were when it began is in the archive, and with the trial itself.
//
// A row of "panels" is a glass of a judge's answer, corrected ones too; of a session that
// is open it does not have what was answered, as nobody may know that yet.
//
// In CSV numbers have all their digits (the shortest text that is read as the
// same float64), in a workbook the 15 that spreadsheets show and take; L*, a* and
// b* have those that they were given with, in a workbook by the cell's format.
// Times are RFC 3339 in UTC, in a workbook as text: a spreadsheet's dates have no
// zone and no exact microseconds.
//
// # CSV
//
// A CSV file is as RFC 4180 has it: commas, CRLF, quotation marks where they are
// needed; a decimal point. It is UTF-8 and begins with a byte order mark: Excel
// takes a CSV file without one for the machine's old code page and spoils the
// accents in names, and readers that know UTF-8 pass over it.
//
// # Formulas
//
// A spreadsheet takes a cell that begins with = + - or @ for a formula, so that
// the name of a wine in somebody else's file could run one (CSV injection, as
// OWASP describes it). In CSV, text that begins so gets an apostrophe in front:
// also after blanks or quotation marks, in the full-width forms, and after a
// semicolon, tab or line end within the text, where a spreadsheet that separates
// by semicolons begins a new cell. Text that begins with a tab or line end gets
// one too. Numbers stay as they are. In a workbook all text is stored as text,
// which is never a formula, and needs no apostrophe.
//
// An import of a text file takes the apostrophe off again (package celltext).
package export
