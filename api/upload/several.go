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
			key, err := w.receive(answer, part, name == "cells", part.FileName())
			if err != nil {
				return keys, err
			}
			if key != "" {
				keys = append(keys, key)
			}
			if len(keys) > mostWaiting-1 {
				return keys, calc.Refuse(calc.Fault{Location: "/file", Message: fmt.Sprintf("up to %d files are taken at a time: look at these first, and send the others then", mostWaiting-1)})
			}
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

// receive takes one part; the key is "" for a field that was left empty.
func (w *Waiting) receive(answer *http.ResponseController, part io.Reader, pasted bool, name string) (key string, err error) {
	if pasted {
		part, name = io.LimitReader(part, mostPasted+1), PastedName
	}
	file, size, err := spool(answer, part, w.dir)
	if file == nil {
		return "", err
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
		return "", errors.Join(err, removed(file))
	}
	return w.keep(file, Draft{Name: labfile.BaseName(name)})
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
