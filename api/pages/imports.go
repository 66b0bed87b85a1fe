package pages

import (
	"errors"
	"net/http"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/upload"
)

// importView is the page that takes files.
type importView struct {
	frame
	Faults  []importFault // why nothing was taken
	Waiting []waitingFile
}

// importFault is one thing wrong with a file, at a place in it, or with a field of
// the form.
type importFault struct{ Field, Location, Message string }

// waitingFile is a file that was sent and is not brought in yet.
type waitingFile struct {
	Key, Name string
	At        moment
}

// uploadFaults are the errors of an upload that its sender can mend.
var uploadFaults = []struct {
	is     error
	status int
}{
	{upload.ErrNoForm, http.StatusUnsupportedMediaType},
	{upload.ErrTooLong, http.StatusRequestEntityTooLarge},
	{upload.ErrStopped, http.StatusRequestTimeout},
	{upload.ErrCutOff, http.StatusBadRequest},
	{upload.ErrGone, http.StatusNotFound},
}

func (s *site) importForm(r *http.Request) (document, error) {
	return s.importPage(r, nil, 0)
}

func (s *site) importPage(r *http.Request, faults []importFault, status int) (document, error) {
	v := importView{frame: s.frame(r, "import"), Faults: faults}
	var err error
	if v.Waiting, err = s.waitingFiles(""); err != nil {
		return document{}, err
	}
	d, err := s.render("import.html", v)
	d.status, d.passing = status, true // it tells what waits
	return d, err
}

// waitingFiles are the files that wait, but for one.
func (s *site) waitingFiles(but string) ([]waitingFile, error) {
	list, err := s.waiting.List()
	if err != nil {
		return nil, err
	}
	var out []waitingFile
	for _, d := range list {
		if d.Key != but {
			out = append(out, waitingFile{Key: d.Key, Name: d.Name, At: momentOf(record.At(d.Touched))})
		}
	}
	return out, nil
}

// sendImport takes files and pasted cells, and leads to the preview of the first.
func (s *site) sendImport(w http.ResponseWriter, r *http.Request) (document, error) {
	keys, err := s.waiting.Receive(w, r)
	if err != nil {
		return s.notTaken(w, r, err)
	}
	return document{status: http.StatusSeeOther, to: "/import/" + keys[0]}, nil
}

// notTaken is the form again with what is wrong, where the sender can mend it.
func (s *site) notTaken(w http.ResponseWriter, r *http.Request, err error) (document, error) {
	for _, known := range uploadFaults {
		if errors.Is(err, known.is) {
			w.Header().Set("Connection", "close") // the rest of the body may not have been read
			return s.importPage(r, []importFault{{Message: known.is.Error()}}, known.status)
		}
	}
	list, err := faultsOf(err)
	if err != nil {
		return document{}, err
	}
	return s.importPage(r, importFaultsOf(list), http.StatusUnprocessableEntity)
}

func importFaultsOf(list []calc.Fault) []importFault {
	out := make([]importFault, len(list))
	for i, f := range list {
		switch field := strings.TrimPrefix(f.Location, "/"); field {
		case "file", "cells", "sheet":
			out[i] = importFault{Field: field, Message: f.Message}
		default:
			out[i] = importFault{Location: strings.TrimPrefix(f.Location, "/"), Message: f.Message}
		}
	}
	return out
}
