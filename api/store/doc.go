// Package store keeps the records in a database: SQLite in the data folder, or
// PostgreSQL 15 and later where several people share one. Both have the same
// tables and pass the same tests.
//
// What is acknowledged is on disk. Each row carries a checksum over its columns
// that is looked at whenever the row is read, so that a row that was damaged on
// disk is an error (record.ErrDamaged) and never an answer. Readings cannot be
// changed or deleted: the database itself refuses it.
//
// Errors that the caller can do something about are those of package record;
// the rest are faults of this program or of the machine.
package store
