package upload

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// Bounds of what waits. Where one is passed the file that was touched longest ago
// goes.
const (
	mostWaiting      = 20
	mostWaitingBytes = maxFileBytes
	longestWait      = 24 * time.Hour
)

// ErrGone is that a file waits no longer.
var ErrGone = errors.New("this file is no longer kept here: it was brought in, put away, or waited for more than a day; send it again")

// Draft is how a file that waits is to be taken, as far as that was said.
type Draft struct {
	Name        string              `json:"name"`
	Sheet       string              `json:"sheet,omitempty"`
	Mapping     map[string]string   `json:"mapping,omitempty"`
	NoHeader    bool                `json:"no_header,omitempty"`
	HeaderSaid  bool                `json:"header_said,omitempty"` // whether NoHeader was said by a person
	Corrections []record.Correction `json:"corrections,omitempty"`
	// MadeRoom are the names of files that were put away to make room when this one,
	// and those that came with it, were sent.
	MadeRoom []string `json:"made_room,omitempty"`
	// Touched is when somebody last worked on it.
	Touched time.Time `json:"touched"`

	Key   string `json:"-"`
	Bytes int64  `json:"-"`
}

// Waiting is the folder with files that were sent and are looked at before they
// are brought in, few and for a day at most. It is safe for concurrent use.
type Waiting struct {
	mu    sync.Mutex
	dir   string
	bytes int64 // that wait at most
	now   func() time.Time
}

// NewWaiting is the folder below dir. It is made when the first file comes.
func NewWaiting(dir string) *Waiting {
	return &Waiting{dir: filepath.Join(dir, "waiting"), bytes: mostWaitingBytes, now: time.Now}
}

func (w *Waiting) content(key string) string { return filepath.Join(w.dir, key) }
func (w *Waiting) draft(key string) string   { return filepath.Join(w.dir, key+".json") }

// keep takes a file over, which it closes. Those that came with it stay; the names of
// others that made room for it are given.
func (w *Waiting) keep(file *os.File, d Draft, with ...string) (key string, gone []string, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	d.Key = uuid.NewString()
	if err := errors.Join(file.Close(), os.Rename(file.Name(), w.content(d.Key))); err != nil {
		return "", nil, fmt.Errorf("upload: %w", errors.Join(err, os.Remove(file.Name())))
	}
	if err := w.write(d); err != nil {
		return "", nil, errors.Join(err, w.remove(d.Key))
	}
	gone, err = w.sweep(append(slices.Clone(with), d.Key)...)
	return d.Key, gone, err
}

// write puts a draft in the place of the one before.
func (w *Waiting) write(d Draft) error {
	d.Touched = w.now()
	text, err := json.Marshal(d)
	if err == nil {
		err = os.WriteFile(w.draft(d.Key)+".new", text, 0o600)
	}
	if err == nil {
		err = os.Rename(w.draft(d.Key)+".new", w.draft(d.Key))
	}
	if err != nil {
		return fmt.Errorf("upload: %w", errors.Join(err, fullIf(err)))
	}
	return nil
}

// sweep removes what is too old or too much, but for those that came just now, and
// names what was too much.
func (w *Waiting) sweep(but ...string) (gone []string, err error) {
	list, err := w.list()
	if err != nil {
		return nil, err
	}
	bytes := int64(0)
	for i, d := range list {
		bytes += d.Bytes
		old := w.now().Sub(d.Touched) > longestWait
		if slices.Contains(but, d.Key) || i < mostWaiting && bytes <= w.bytes && !old {
			continue
		}
		if err := w.remove(d.Key); err != nil {
			return gone, err
		}
		if !old {
			gone = append(gone, d.Name)
		}
	}
	return gone, nil
}

// list tells what waits, what was touched last first.
func (w *Waiting) list() ([]Draft, error) {
	entries, err := os.ReadDir(w.dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("upload: %w", err)
	}
	var list []Draft
	for _, e := range entries {
		key := e.Name()
		if uuid.Validate(key) != nil {
			if err := w.forget(e); err != nil {
				return nil, err
			}
			continue
		}
		d, err := w.read(key)
		if errors.Is(err, ErrGone) { // half of it, where the program was stopped
			if err := w.remove(key); err != nil {
				return nil, err
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		list = append(list, d)
	}
	slices.SortFunc(list, func(a, b Draft) int {
		return cmp.Or(b.Touched.Compare(a.Touched), strings.Compare(a.Key, b.Key))
	})
	return list, nil
}

// forget removes an upload that the program was stopped in.
func (w *Waiting) forget(e os.DirEntry) error {
	about, err := e.Info()
	if err == nil && strings.HasPrefix(e.Name(), ".upload-") && w.now().Sub(about.ModTime()) > longestWait {
		err = os.Remove(filepath.Join(w.dir, e.Name()))
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("upload: %w", err)
	}
	return nil
}

// read reads a draft.
func (w *Waiting) read(key string) (d Draft, err error) {
	if uuid.Validate(key) != nil {
		return d, ErrGone
	}
	text, err := os.ReadFile(w.draft(key))
	if err == nil {
		var about os.FileInfo
		if about, err = os.Stat(w.content(key)); err == nil {
			d.Bytes = about.Size()
		}
	}
	if errors.Is(err, fs.ErrNotExist) {
		return d, ErrGone
	}
	if err != nil {
		return d, fmt.Errorf("upload: %w", err)
	}
	// Where the power went a draft may be cut short: one file less, and not a folder
	// that cannot be read.
	if json.Unmarshal(text, &d) != nil {
		return Draft{}, ErrGone
	}
	d.Key = key
	return d, nil
}

func (w *Waiting) remove(key string) error {
	for _, path := range []string{w.draft(key), w.draft(key) + ".new", w.content(key)} {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("upload: %w", err)
		}
	}
	return nil
}

// List tells what waits, what was touched last first.
func (w *Waiting) List() ([]Draft, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if _, err := w.sweep(); err != nil {
		return nil, err
	}
	return w.list()
}

// Open opens a file that waits, for reading; ErrGone where there is none.
func (w *Waiting) Open(key string) (Draft, *os.File, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	d, err := w.read(key)
	if err != nil {
		return d, nil, err
	}
	file, err := os.Open(w.content(key))
	if err != nil {
		return d, nil, fmt.Errorf("upload: %w", err)
	}
	return d, file, nil
}

// Change changes how a file is to be taken; ErrGone where it waits no longer.
func (w *Waiting) Change(key string, change func(*Draft)) (Draft, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	d, err := w.read(key)
	if err != nil {
		return d, err
	}
	change(&d)
	return d, w.write(d)
}

// Remove puts a file away. There may be none.
func (w *Waiting) Remove(key string) error {
	if uuid.Validate(key) != nil {
		return nil
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.remove(key)
}
