package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/store"
)

// withStore does work on the store and lets go of it.
func (f storeFlags) withStore(ctx context.Context, work func(*store.Store) error) (err error) {
	s, err := f.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return work(s)
}

func (s *session) backupCommand() *cobra.Command {
	var f storeFlags
	c := &cobra.Command{
		Use: "backup FILE", Short: "Write all records to an archive", Args: oneFile,
		Long: "Writes everything that is stored to FILE as JSON Lines, as it is at one moment, while\nothers may go on working; - is standard output. The file takes its place only when it is\ncomplete. restore brings it into an empty store of either kind.",
		RunE: func(c *cobra.Command, args []string) error {
			return f.withStore(c.Context(), func(st *store.Store) error {
				if args[0] == "-" {
					_, err := st.Archive(c.Context(), s.out)
					return err
				}
				var rows int64
				err := wholeFile(args[0], func(w io.Writer) (err error) {
					rows, err = st.Archive(c.Context(), w)
					return err
				})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%d rows from %s in %s\n", rows, st.Place(), args[0])
				return err
			})
		},
	}
	f.add(c)
	return c
}

func (s *session) restoreCommand() *cobra.Command {
	var f storeFlags
	c := &cobra.Command{
		Use: "restore FILE", Short: "Bring an archive into an empty store", Args: oneFile,
		Long: "Brings the archive in FILE, or standard input for -, into an empty store: all of it with\nthe same identifiers, or nothing. An archive that was cut off or changed is refused.",
		RunE: func(c *cobra.Command, args []string) (err error) {
			from := s.in
			if args[0] != "-" {
				file, err := os.Open(args[0])
				if err != nil {
					return err
				}
				defer file.Close()
				from = file
			}
			return f.withStore(c.Context(), func(st *store.Store) error { return s.restore(c.Context(), st, from) })
		},
	}
	f.add(c)
	return c
}

func (s *session) restore(ctx context.Context, st *store.Store, from io.Reader) error {
	rows, err := st.Restore(ctx, bufio.NewReaderSize(from, 1<<20))
	var archive *store.ArchiveError
	var notEmpty *store.NotEmptyError
	switch {
	case errors.As(err, &archive):
		return calc.Refuse(calc.Fault{Message: archive.Error() + "; nothing was restored"})
	case errors.As(err, &notEmpty):
		return calc.Refuse(calc.Fault{Message: notEmpty.Error()})
	case err != nil:
		return err
	}
	_, err = fmt.Fprintf(s.out, "%d rows restored into %s\n", rows, st.Place())
	return err
}

func (s *session) verifyCommand() *cobra.Command {
	var f storeFlags
	c := &cobra.Command{
		Use: "verify", Short: "Look whether all records are whole", Args: noArguments,
		Long: "Looks at the database's structure, the checksum of every row, at rows that refer to\nwhat is not there, and at the files that were imported. Exits with 1 where something is\nwrong.",
		RunE: func(c *cobra.Command, _ []string) error {
			return f.withStore(c.Context(), func(st *store.Store) error { return s.verify(c.Context(), st) })
		},
	}
	f.add(c)
	c.Flags().BoolVar(&s.asJSON, "json", false, "print the findings as JSON")
	return c
}

// verification is what verify prints as JSON.
type verification struct {
	Place         string           `json:"place"`
	Sound         bool             `json:"sound"`
	Rows          map[string]int64 `json:"rows"`
	LastStatement int              `json:"last_statement"` // 0 where none was issued
	LastSHA256    string           `json:"last_sha256"`
	Findings      []store.Finding  `json:"findings"`
}

func (s *session) verify(ctx context.Context, st *store.Store) error {
	found, err := st.Verify(ctx)
	if err != nil {
		return err
	}
	sound := len(found.Findings) == 0
	if s.asJSON {
		err = writeJSON(s.out, verification{
			Place: st.Place(), Sound: sound, Rows: found.Rows, LastStatement: found.LastStatement, LastSHA256: found.LastSHA256, Findings: append([]store.Finding{}, found.Findings...),
		})
	} else {
		p := s.page()
		p.verification(st.Place(), found)
		err = p.err
	}
	if err == nil && !sound {
		err = status(exitFailure)
	}
	return err
}

func (p *page) verification(place string, v store.Verification) {
	total := int64(0)
	for _, n := range v.Rows {
		total += n
	}
	for _, f := range v.Findings {
		p.linef("%s: %s", f.Place, f.Message)
	}
	if len(v.Findings) == 0 {
		p.linef("%s is sound: %d rows, %d of them readings of %d wines.", place, total, v.Rows["reading"], v.Rows["wine"])
		if v.LastStatement > 0 {
			p.linef("Statements of conformity: 1 to %d are as issued, each chained to the one before it.\nSHA-256 of number %d: %s", v.LastStatement, v.LastStatement, v.LastSHA256)
		}
		return
	}
	p.linef("%s is damaged: stop the service and restore the last backup into an empty store.", place)
}

// oneFile wants the name of one file.
func oneFile(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage("%s takes the name of one file, or - for a pipe; given: %d names", c.CommandPath(), len(args))
	}
	return nil
}
