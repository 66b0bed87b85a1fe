package upload

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/labfile"
)

// PastedName is what cells that were pasted are called as a file.
const PastedName = "pasted cells"

// mostPasted is how much may be pasted, in bytes.
const mostPasted = 16 << 20

// Receive reads a form with files ("file", one or several) and pasted cells
// ("cells"), each of which waits from then on, and gives their keys in the order
// of the form. The errors are those of the function Receive; without any file the
// error is a *calc.Problem.
func (w *Waiting) Receive(rw http.ResponseWriter, r *http.Request) (keys []string, err error) {
	answer := http.NewResponseController(rw)
	r.Body = http.MaxBytesReader(rw, r.Body, maxFileBytes+mostPasted+maxFieldBytes)
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, ErrNoForm
	}
	if err := os.MkdirAll(w.dir, 0o700); err != nil {
		return nil, fmt.Errorf("upload: %w", errors.Join(err, fullIf(err)))
	}
	replaced := ""
	var bytes int64
	var gone []string
	defer func() { err = errors.Join(err, w.tellRoom(keys, gone)) }()
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return keys, cutOff(err)
		}
		switch name := part.FormName(); name {
		case "file", "cells":
			file, err := w.receive(answer, part, name == "cells", part.FileName())
			if err != nil {
				return keys, err
			}
			if file == nil { // a field that was left empty
				continue
			}
			if err := w.fits(len(keys), bytes, file); err != nil {
				return keys, errors.Join(err, removed(file.File))
			}
			key, more, err := w.keep(file.File, Draft{Name: file.name}, keys...)
			gone = append(gone, more...)
			if err != nil {
				return keys, err
			}
			keys, bytes = append(keys, key), bytes+file.size
		case "replaces":
			value, err := io.ReadAll(io.LimitReader(part, maxFieldBytes))
			if err != nil {
				return keys, cutOff(err)
			}
			replaced = string(value)
		default:
			return keys, calc.Refuse(calc.Fault{Location: "/" + name, Message: "unknown field; known here: file, cells", Value: name})
		}
	}
	if len(keys) == 0 {
		return nil, calc.Refuse(calc.Fault{Location: "/file", Message: "there is nothing to read: choose a file, or paste cells"})
	}
	return keys, w.Remove(replaced)
}

// arrived is a file that came whole.
type arrived struct {
	*os.File

	name string
	size int64
}

// fits refuses a file that would be too much beside those that came with it, and so
// would put one of them away.
func (w *Waiting) fits(files int, bytes int64, file *arrived) error {
	switch {
	case files == mostWaiting:
		return calc.Refuse(calc.Fault{Location: "/file", Value: file.name, Message: fmt.Sprintf("up to %d files are taken at a time: the first %d wait, and %s and what follows it were not taken; look at these first, and send the others then", mostWaiting, mostWaiting, file.name)})
	case bytes+file.size > w.bytes:
		return calc.Refuse(calc.Fault{Location: "/file", Value: file.name, Message: fmt.Sprintf("these files are longer together than the %d bytes that may wait: %s and what follows it were not taken; look at those before it first, and send the others then", w.bytes, file.name)})
	}
	return nil
}

// tellRoom notes in the first of the files that came which others made room for them.
func (w *Waiting) tellRoom(keys, gone []string) error {
	if len(gone) == 0 || len(keys) == 0 {
		return nil
	}
	_, err := w.Change(keys[0], func(d *Draft) { d.MadeRoom = gone })
	return err
}

// receive takes one part, which is nil for a field that was left empty.
func (w *Waiting) receive(answer *http.ResponseController, part io.Reader, pasted bool, name string) (*arrived, error) {
	if pasted {
		part, name = io.LimitReader(part, mostPasted+1), PastedName
	}
	file, size, err := spool(answer, part, w.dir)
	if file == nil {
		return nil, err
	}
	blank := size == 0 && name == ""
	if err == nil && pasted {
		if size > mostPasted {
			err = calc.Refuse(calc.Fault{Location: "/cells", Message: "more was pasted than is taken, 16 MiB: save the sheet as a file and send that"})
		} else {
			blank, err = isBlank(file, size)
		}
	}
	if err != nil || blank {
		return nil, errors.Join(err, removed(file))
	}
	return &arrived{file, labfile.BaseName(name), size}, nil
}

// isBlank says whether nothing but blanks was pasted.
func isBlank(file *os.File, size int64) (bool, error) {
	const enough = 1 << 10
	if size > enough {
		return false, nil
	}
	text := make([]byte, size)
	_, err := file.ReadAt(text, 0)
	return strings.TrimSpace(string(text)) == "", err
}
