package pages

import (
	"errors"
	"net/http"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/upload"
)

// importView is the form for a file, with what became of the last one.
type importView struct {
	frame
	Sheet, Columns       string
	DryRun, AllOrNothing bool
	FileName             string
	Faults               []importFault // why the file was not taken
	Done                 *importDone
}

// importFault is one thing wrong with a file, at a place in it, or with a field of
// the form.
type importFault struct{ Field, Location, Message string }

// importDone is what became of a file.
type importDone struct {
	record.Import
	Outcome     string // key of the headline
	MoreColumns int    // columns that are not listed
	Told        []toldRow
	MoreRows    bool
	Wines       []wineLink
	MoreWines   bool
}

// toldRow is a reading of the file that was not simply taken.
type toldRow struct {
	Place, Name string
	Status      record.Status
	Wine        string // identifier, where it is stored
	There       string // identifier of the reading that a duplicate repeats
	Faults      []calc.Fault
	Warnings    []calc.Warning
}

type wineLink struct{ ID, Name string }

// How much of an import is told on the page; the rest is in its record.
const (
	columnsTold = 60
	rowsTold    = 200
	winesTold   = 24
)

// uploadFaults are the errors of an upload that its sender can mend.
var uploadFaults = []struct {
	is     error
	status int
}{
	{upload.ErrNoForm, http.StatusUnsupportedMediaType},
	{upload.ErrTooLong, http.StatusRequestEntityTooLarge},
	{upload.ErrStopped, http.StatusRequestTimeout},
	{upload.ErrCutOff, http.StatusBadRequest},
}

func (s *site) importForm(r *http.Request) (document, error) {
	return s.render("import.html", importView{frame: s.frame(r, "import")})
}

// importFile takes a file and answers with what became of it.
func (s *site) importFile(w http.ResponseWriter, r *http.Request) (d document, err error) {
	up, err := upload.Receive(w, r, s.config.DataDir)
	defer func() { err = errors.Join(err, up.Close()) }()
	v := importView{frame: s.frame(r, "import"), Sheet: up.Sheet, Columns: up.Columns, DryRun: up.DryRun, AllOrNothing: up.AllOrNothing, FileName: up.Name}
	var imported record.Import
	if err == nil {
		imported, err = up.Import(r.Context(), s.config.Records)
	}
	if err != nil {
		return s.notTaken(w, v, err)
	}
	v.FileName, v.Done = imported.FileName, doneOf(imported)
	return s.render("import.html", v)
}

// notTaken is the form again with what is wrong, where the sender can mend it.
func (s *site) notTaken(w http.ResponseWriter, v importView, err error) (document, error) {
	status := 0
	for _, known := range uploadFaults {
		if errors.Is(err, known.is) {
			status, v.Faults = known.status, []importFault{{Message: known.is.Error()}}
			w.Header().Set("Connection", "close") // the rest of the body was not read
		}
	}
	if status == 0 {
		status = http.StatusUnprocessableEntity
		faults, err := faultsOf(err)
		if err != nil {
			return document{}, err
		}
		for _, f := range faults {
			v.Faults = append(v.Faults, importFaultOf(f))
		}
	}
	d, err := s.render("import.html", v)
	d.status = status
	return d, err
}

func importFaultOf(f calc.Fault) importFault {
	switch field := strings.TrimPrefix(f.Location, "/"); field {
	case "file", "sheet", "columns", "dry_run", "all_or_nothing":
		return importFault{Field: field, Message: f.Message}
	}
	return importFault{Location: f.Location, Message: f.Message}
}

func doneOf(i record.Import) *importDone {
	done := &importDone{Import: i, Outcome: outcome(i)}
	if n := len(i.Columns); n > columnsTold {
		done.Columns, done.MoreColumns = i.Columns[:columnsTold], n-columnsTold
	}
	linked := map[string]bool{}
	for _, row := range i.Rows {
		if i.DryRun || row.Wine == "" || row.Status == record.Rejected || linked[row.Wine] {
			continue // what a dry run made is not there
		}
		linked[row.Wine] = true
		if len(done.Wines) < winesTold {
			done.Wines = append(done.Wines, wineLink{row.Wine, row.Name})
		}
	}
	done.MoreWines = len(linked) > winesTold || i.Next != ""
	// What must be mended comes first.
	for _, wanted := range []func(record.ImportRow) bool{
		func(r record.ImportRow) bool { return r.Status == record.Rejected },
		func(r record.ImportRow) bool { return r.Status == record.Accepted && len(r.Warnings) > 0 },
		func(r record.ImportRow) bool { return r.Status == record.Duplicate },
	} {
		for _, row := range i.Rows {
			if wanted(row) {
				done.tell(row)
			}
		}
	}
	done.MoreRows = done.MoreRows || i.Next != "" || i.DryRun && i.Accepted+i.Rejected+i.Duplicates > len(i.Rows)
	return done
}

func (d *importDone) tell(row record.ImportRow) {
	if len(d.Told) == rowsTold {
		d.MoreRows = true
		return
	}
	told := toldRow{Place: row.Place, Name: row.Name, Status: row.Status, Warnings: row.Warnings}
	if !d.DryRun {
		told.Wine = row.Wine
		if row.Status == record.Duplicate {
			told.There = row.Reading
		}
	}
	if row.Problem != nil {
		told.Faults = row.Problem.Errors
		for i, f := range told.Faults { // the place stands beside it already
			told.Faults[i].Location = strings.TrimPrefix(strings.TrimPrefix(f.Location, row.Place), ", ")
		}
	}
	d.Told = append(d.Told, told)
}

// outcome is the key of the headline.
func outcome(i record.Import) string {
	switch {
	case i.DryRun:
		return "dry"
	case i.Accepted > 0 && i.Rejected > 0:
		return "part"
	case i.Accepted > 0:
		return "all"
	case i.Duplicates > 0 && i.Rejected == 0:
		return "known"
	case i.Duplicates > 0:
		return "no_more"
	}
	return "none"
}
