// Package labfile turns a laboratory's file into a stream of readings
// (record.Entry): CSV, TSV and semicolon files with decimal points or commas, in
// UTF-8, UTF-16 or Windows-1252; XLSX; and JCAMP-DX.
//
// What a column holds is told by its header, in English, French, Spanish,
// Italian or German (headers.csv lists the names that are known), by a mapping
// that the user gives, or by the values. Tables come in four layouts: one wine a
// row; one reading a row (name, nm, absorbance); scans in columns; and
// wavelengths as column headers with one wine a row.
//
// A row that cannot be taken is an Entry with Faults that name its place; it
// does not stop the rows after it. What is assumed of the whole file (a missing
// path, an ordinate without a name) is told once, in a warning.
//
// A file is read as a stream: memory does not grow with its length, but for
// scans in columns, which must be turned round and are held to maxValues.
package labfile
