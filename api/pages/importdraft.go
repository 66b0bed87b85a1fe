package pages

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/upload"
)

// draftView is a file before it is brought in: what each row will become, and what
// can be mended of it.
type draftView struct {
	frame
	Key, Name    string
	MadeRoom     []string      // files that were put away for what was sent with this one
	Faults       []importFault // why it cannot be read, or was not taken
	Read         bool          // the file can be read, and the rest is told
	Import       record.Import
	Sheets       []option
	AskHeader    bool // whether the table begins with a reading is asked
	AskColumns   bool // what the columns hold must be said first
	Corrected    bool // something was mended
	NoHeader     bool
	AllOrNothing bool
	Mapping      string // the mapping in use, as JSON, for the form
	Unknown      []columnAsked
	Known        []columnAsked
	MoreColumns  int // that are not listed
	Rows         previewRows
	Pasted       string // the cells, where they were pasted and are few
	Waiting      []waitingFile
}

// importWithin is how long the work on a file may take.
const importWithin = 30 * time.Minute

// longestShown is how long pasted cells may be to be shown again, in bytes.
const longestShown = 64 << 10

// longestDraft is how long the form of a preview may be, in bytes.
const longestDraft = 4 << 20

// takingTime gives the answer the time that a long file takes.
func takingTime(w http.ResponseWriter) error {
	err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(importWithin))
	if errors.Is(err, http.ErrNotSupported) { // there is no deadline then
		return nil
	}
	return err
}

// importDraft answers with the preview of a file.
func (s *site) importDraft(w http.ResponseWriter, r *http.Request) (document, error) {
	if err := takingTime(w); err != nil {
		return document{}, err
	}
	return s.draftAgain(w, r, nil, false)
}

// draftAgain is the preview, with why the file was not taken.
func (s *site) draftAgain(w http.ResponseWriter, r *http.Request, faults []importFault, allOrNothing bool) (_ document, err error) {
	d, file, err := s.waiting.Open(r.PathValue("key"))
	if err != nil {
		return s.notTaken(w, r, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	v := draftView{frame: s.frame(r, "import"), Key: d.Key, Name: d.Name, MadeRoom: d.MadeRoom, Faults: faults, NoHeader: d.NoHeader, AllOrNothing: allOrNothing}
	p, err := intake.Look(r.Context(), s.config.Records, d.Name, file, optionsOf(d))
	if calc.AsProblem(err) != nil && p.LooksHeadless && !d.HeaderSaid {
		// The likeliest is tried, and asked about.
		if d, err = s.waiting.Change(d.Key, func(d *upload.Draft) { d.NoHeader = true }); err != nil {
			return document{}, err
		}
		v.NoHeader = true
		p, err = intake.Look(r.Context(), s.config.Records, d.Name, file, optionsOf(d))
	}
	if v.Read = err == nil; !v.Read {
		list, err := faultsOf(err)
		if err != nil {
			return document{}, err
		}
		if v.AskColumns = !p.Understood && len(p.Columns) > 0; v.AskColumns {
			list = p.Beside
		}
		v.Faults = append(v.Faults, importFaultsOf(list)...)
	}
	v.Import, v.Corrected = p.Import, len(d.Corrections) > 0
	v.Import.Warnings = slices.DeleteFunc(v.Import.Warnings, func(w calc.Warning) bool {
		return w.Code == "columns_left_out" // they are asked about
	})
	v.AskHeader = d.NoHeader || p.LooksHeadless
	for _, name := range p.Sheets {
		v.Sheets = append(v.Sheets, option{Value: name, Name: name, Chosen: name == p.Sheet})
	}
	mapping, err := json.Marshal(p.Mapping)
	if err != nil {
		return document{}, err
	}
	v.Mapping = string(mapping)
	v.columns(p)
	v.Rows = previewRowsOf(p, d.Corrections)
	if v.Pasted, err = pastedText(d, file); err != nil {
		return document{}, err
	}
	if v.Waiting, err = s.waitingFiles(d.Key); err != nil {
		return document{}, err
	}
	out, err := s.render("importdraft.html", v)
	out.passing = true // the records may have moved on
	if len(faults) > 0 {
		out.status = http.StatusUnprocessableEntity
	}
	return out, err
}

func optionsOf(d upload.Draft) intake.Options {
	return intake.Options{Sheet: d.Sheet, Mapping: d.Mapping, NoHeader: d.NoHeader, Corrections: d.Corrections}
}

// pastedText is what was pasted, for the form to show again; "" for what is long
// or came as a file.
func pastedText(d upload.Draft, file *os.File) (string, error) {
	if d.Name != upload.PastedName || d.Bytes > longestShown {
		return "", nil
	}
	text, err := io.ReadAll(io.NewSectionReader(file, 0, d.Bytes))
	return strings.ToValidUTF8(strings.ReplaceAll(string(text), "\x00", ""), "\uFFFD"), err
}

// sendDraft takes what was mended of a file, and brings it in where that was
// pressed.
func (s *site) sendDraft(w http.ResponseWriter, r *http.Request) (document, error) {
	if err := takingTime(w); err != nil {
		return document{}, err
	}
	r.Body = http.MaxBytesReader(w, r.Body, longestDraft)
	if err := r.ParseForm(); err != nil {
		return document{}, unreadable(err)
	}
	key, typed := r.PathValue("key"), r.PostForm
	if typed.Get("do") == "discard" {
		return document{status: http.StatusSeeOther, to: "/import"}, s.waiting.Remove(key)
	}
	if typed.Get("do") != "take" {
		if _, err := s.waiting.Change(key, func(d *upload.Draft) { change(d, typed) }); err != nil {
			return s.notTaken(w, r, err)
		}
		return document{status: http.StatusSeeOther, to: "/import/" + key}, nil
	}
	made, err := s.once.do(r.URL.Path, func() (made taken, err error) {
		another := false
		if _, err := s.waiting.Change(key, func(d *upload.Draft) { another = change(d, typed) }); err != nil {
			return made, err
		}
		if another {
			return made, errAnotherTable
		}
		made.to, err = s.bringIn(r, key, typed.Get("all_or_nothing") != "")
		return made, err
	})
	switch {
	case err == nil:
		return document{status: http.StatusSeeOther, to: made.to}, nil
	case errors.Is(err, errAnotherTable):
		return document{status: http.StatusSeeOther, to: "/import/" + key}, nil
	case calc.AsProblem(err) == nil:
		return s.notTaken(w, r, err)
	}
	faults := importFaultsOf(calc.AsProblem(err).Errors)
	if typed.Get("all_or_nothing") == "" {
		faults = nil // the preview tells the same
	}
	return s.draftAgain(w, r, faults, typed.Get("all_or_nothing") != "")
}

// errAnotherTable is that with the press to bring a file in another table of it was
// chosen, whose preview comes first.
var errAnotherTable = errors.New("another table was chosen")

// bringIn brings a file that waits into the records, and leads to what became of
// it.
func (s *site) bringIn(r *http.Request, key string, allOrNothing bool) (to string, err error) {
	d, file, err := s.waiting.Open(key)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	o := optionsOf(d)
	o.ImportOptions = store.ImportOptions{AllOrNothing: allOrNothing}
	imported, err := intake.Take(r.Context(), s.config.Records, d.Name, file, o)
	if err != nil {
		return "", err
	}
	to = "/imports/" + imported.ID
	if imported.Accepted == 0 {
		to += "?" + againField + "=" + strconv.Itoa(imported.Duplicates)
	}
	return to, s.waiting.Remove(key)
}

// change puts what was typed in a preview into the draft. Another sheet, or other
// headers, make another table of it, which nobody has looked at yet: what was said of
// the one before is let go.
func change(d *upload.Draft, typed url.Values) (another bool) {
	if sheet := typed.Get("sheet"); sheet != "" && sheet != typed.Get("shown_sheet") {
		d.Sheet, d.Mapping, d.Corrections, d.NoHeader, d.HeaderSaid = sheet, nil, nil, false, false
		return true
	}
	if typed.Has("ask_header") && d.NoHeader != (typed.Get("no_header") != "") {
		d.NoHeader, d.HeaderSaid, d.Mapping, d.Corrections = !d.NoHeader, true, nil, nil
		return true
	}
	changeMapping(d, typed)
	if typed.Get("do") == "unmend" {
		d.Corrections = nil
		return false
	}
	changeCells(d, typed)
	return false
}

// changeMapping takes what columns were said to hold, beside what was known.
func changeMapping(d *upload.Draft, typed url.Values) {
	keys, before, now := typed["column"], typed["held"], typed["holds"]
	mapping := map[string]string{}
	if json.Unmarshal([]byte(typed.Get("mapping")), &mapping) != nil || mapping == nil {
		mapping = map[string]string{}
	}
	changed := false
	for i := range min(len(keys), len(before), len(now)) {
		if now[i] != before[i] && now[i] != unsaid {
			mapping[keys[i]], changed = now[i], true
		} else if d.NoHeader && now[i] != unsaid {
			mapping[keys[i]] = now[i] // what was told by values is said with the rest
		}
	}
	if changed {
		d.Mapping = mapping
	}
}

// changeCells takes mended cells and rows that are left out. What the form was not
// touched in stays: it may have been changed in another window, or not be shown. A
// cell that has again what the file holds is mended no more.
func changeCells(d *upload.Draft, typed url.Values) {
	for name, values := range typed {
		row, column, ok := cellOfField(name)
		if !ok {
			continue
		}
		end, to := strings.TrimPrefix(name, "cell"), values[0]
		if typed.Has("shown"+end) && oneLine(to) == oneLine(typed.Get("shown"+end)) {
			continue
		}
		d.Corrections = slices.DeleteFunc(d.Corrections, func(c record.Correction) bool { return !c.LeaveOut && c.Row == row && c.Column == column })
		if to != typed.Get("was"+end) {
			d.Corrections = append(d.Corrections, record.Correction{Row: row, Column: column, To: &to})
		}
	}
	for _, text := range slices.Concat(typed["was_out"], typed["out"]) {
		row, err := strconv.Atoi(text)
		if err != nil || slices.Contains(typed["was_out"], text) && slices.Contains(typed["out"], text) {
			continue
		}
		d.Corrections = slices.DeleteFunc(d.Corrections, func(c record.Correction) bool { return c.LeaveOut && c.Row == row })
		if slices.Contains(typed["out"], text) {
			d.Corrections = append(d.Corrections, record.Correction{Row: row, LeaveOut: true})
		}
	}
	slices.SortFunc(d.Corrections, func(a, b record.Correction) int {
		if a.Row != b.Row {
			return a.Row - b.Row
		}
		return strings.Compare(a.Column, b.Column)
	})
}

// oneLine is a text as a field of one line has it.
func oneLine(text string) string { return strings.NewReplacer("\r", "", "\n", "").Replace(text) }

// cellField names the field of a cell, and cellOfField reads such a name.
func cellField(row int, column string) string { return "cell." + strconv.Itoa(row) + "." + column }

func cellOfField(name string) (row int, column string, ok bool) {
	rest, ok := strings.CutPrefix(name, "cell.")
	if !ok {
		return 0, "", false
	}
	number, column, ok := strings.Cut(rest, ".")
	row, err := strconv.Atoi(number)
	return row, column, ok && err == nil
}
