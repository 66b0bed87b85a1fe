package main

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
)

// wholeFile writes a file beside its place and moves it there when it is
// complete and on disk.
func wholeFile(path string, write func(io.Writer) error) (err error) {
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(file.Name()))
		}
	}()
	buffered := bufio.NewWriterSize(file, 1<<20)
	err = write(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err := errors.Join(err, file.Sync(), file.Close()); err != nil {
		return err
	}
	return os.Rename(file.Name(), path)
}
