package upload

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"slices"
	"strings"
	"syscall"
	"time"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/record"
	"pourpath/api/store"
)

// Upload is a file that came whole, and how it is to be taken. It is to be
// closed.
type Upload struct {
	// Name is the file's as the sender has it.
	Name string
	// Columns is the mapping as it was typed, a line HEADER=FIELD for each
	// column; "" where it was given as JSON or not at all.
	Columns string
	intake.Options

	file   *os.File
	answer *http.ResponseController
}

// fieldNames are the fields of the form beside the file.
var fieldNames = []string{"sheet", "mapping", "columns", "no_header", "corrections", "dry_run", "all_or_nothing"}

// Receive reads the form of a request; the file goes to the folder dir. What the
// form says beside the file is in the Upload even where there is an error: a
// *calc.Problem for a form with faults, one of this package's errors for one
// that is not whole, record.ErrFull where there is no room for the file.
func Receive(w http.ResponseWriter, r *http.Request, dir string) (*Upload, error) {
	up := &Upload{answer: http.NewResponseController(w)}
	r.Body = http.MaxBytesReader(w, r.Body, maxFileBytes+maxFieldBytes)
	parts, err := r.MultipartReader()
	if err != nil {
		return up, ErrNoForm
	}
	fields := map[string]string{}
	query := r.URL.Query()
	for _, name := range fieldNames {
		if query.Has(name) {
			fields[name] = query.Get(name)
		}
	}
	err = up.receive(parts, dir, fields)
	if faults := up.read(fields); err == nil {
		err = faults
	}
	return up, err
}

// receive reads the parts of a form.
func (up *Upload) receive(parts *multipart.Reader, dir string, fields map[string]string) error {
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return cutOff(err)
		}
		switch name := part.FormName(); {
		case name == "file":
			if up.file != nil {
				return calc.Refuse(calc.Fault{Location: "/file", Message: "two files stand in one request: send them one by one"})
			}
			up.Name = part.FileName()
			var size int64
			var err error
			if up.file, size, err = spool(up.answer, part, dir); err != nil {
				return err
			}
			if size == 0 && up.Name == "" { // a form whose file was not chosen
				return calc.Refuse(calc.Fault{Location: "/file", Message: "no file was chosen: the field \"file\" is empty"})
			}
		case slices.Contains(fieldNames, name):
			value, err := io.ReadAll(io.LimitReader(part, maxFieldBytes))
			if err != nil {
				return cutOff(err)
			}
			fields[name] = string(value)
		default:
			return calc.Refuse(calc.Fault{Location: "/" + name, Message: "unknown field; known here: file, " + strings.Join(fieldNames, ", "), Value: name})
		}
	}
	if up.file == nil {
		return calc.Refuse(calc.Fault{Location: "/file", Message: "the field \"file\" is missing"})
	}
	return nil
}

// read takes the fields that say how the file is to be taken.
func (up *Upload) read(fields map[string]string) error {
	var faults []calc.Fault
	up.Sheet, up.Columns = fields["sheet"], fields["columns"]
	for name, to := range map[string]*bool{"no_header": &up.NoHeader, "dry_run": &up.DryRun, "all_or_nothing": &up.AllOrNothing} {
		switch value := fields[name]; value {
		case "true", "1":
			*to = true
		case "", "false", "0":
		default:
			faults = append(faults, calc.Fault{Location: "/" + name, Message: "want true or false", Value: value})
		}
	}
	if text := fields["mapping"]; text != "" {
		if err := json.Unmarshal([]byte(text), &up.Mapping); err != nil {
			faults = append(faults, calc.Fault{Location: "/mapping", Message: "want a JSON object from header to field, such as {\"Ext. 520\": \"a520\"}", Value: text})
		}
	}
	if text := fields["corrections"]; text != "" {
		d := json.NewDecoder(strings.NewReader(text))
		d.DisallowUnknownFields()
		if err := d.Decode(&up.Corrections); err != nil {
			faults = append(faults, calc.Fault{Location: "/corrections", Message: "want a JSON list such as [{\"row\": 7, \"column\": \"DO 520\", \"to\": \"0.142\"}, {\"row\": 9, \"leave_out\": true}]", Value: text})
		}
	}
	if lines := strings.TrimSpace(up.Columns); lines != "" {
		if fields["mapping"] != "" {
			faults = append(faults, calc.Fault{Location: "/columns", Message: "columns and mapping stand together: give one of them"})
		}
		up.Mapping = map[string]string{}
		for line := range strings.Lines(lines) {
			line = strings.TrimSpace(line)
			at := strings.LastIndexByte(line, '=')
			if header := strings.TrimSpace(line[:max(at, 0)]); header != "" {
				up.Mapping[header] = strings.TrimSpace(line[at+1:])
			} else if line != "" {
				faults = append(faults, calc.Fault{Location: "/columns", Message: "want a line HEADER=FIELD for each column, such as Ext. 520=a520", Value: line})
			}
		}
	}
	if len(faults) > 0 {
		return calc.Refuse(faults...)
	}
	return nil
}

// spool writes what arrives to a new file in the folder, which is there also where
// there is an error, and says how long it is.
func spool(answer *http.ResponseController, part io.Reader, dir string) (file *os.File, size int64, err error) {
	if file, err = os.CreateTemp(dir, ".upload-*"); err != nil {
		return nil, 0, fmt.Errorf("upload: %w", errors.Join(err, fullIf(err)))
	}
	for {
		if err := answer.SetReadDeadline(time.Now().Add(pieceWithin)); err != nil {
			return file, size, fmt.Errorf("upload: %w", err)
		}
		n, err := io.CopyN(file, part, 1<<20)
		size += n
		if errors.Is(err, io.EOF) {
			break
		}
		if full := fullIf(err); full != nil {
			return file, size, full
		}
		if err != nil {
			return file, size, cutOff(err)
		}
		if size > maxFileBytes {
			return file, size, ErrTooLong
		}
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return file, size, fmt.Errorf("upload: %w", err)
	}
	return file, size, nil
}

// Import brings the file into the records. The errors are those of intake.Take.
func (up *Upload) Import(ctx context.Context, s *store.Store) (record.Import, error) {
	if err := up.answer.SetWriteDeadline(time.Now().Add(importWithin)); err != nil {
		return record.Import{}, fmt.Errorf("upload: %w", err)
	}
	return intake.Take(ctx, s, up.Name, up.file, up.Options)
}

// Close removes the file.
func (up *Upload) Close() error {
	if up.file == nil {
		return nil
	}
	return removed(up.file)
}

// removed closes a file and takes it away.
func removed(file *os.File) error {
	if err := errors.Join(file.Close(), os.Remove(file.Name())); err != nil {
		return fmt.Errorf("upload: %w", err)
	}
	return nil
}

// cutOff says why a form could not be read to its end.
func cutOff(err error) error {
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return ErrTooLong
	case errors.Is(err, os.ErrDeadlineExceeded):
		return ErrStopped
	}
	return ErrCutOff
}

// fullIf is record.ErrFull where a file could not be written for want of room.
func fullIf(err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return record.ErrFull
	}
	return nil
}
