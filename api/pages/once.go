package pages

import (
	"fmt"

	lru "github.com/hashicorp/golang-lru/v2"
	"golang.org/x/sync/singleflight"
)

// once takes a form once: sent again under its key, it leads to where it led the
// first time. It knows the newest keys of this run of the program.
type once struct {
	sending singleflight.Group
	known   *lru.Cache[string, string] // where forms led, by their keys; and what parts of them made
}

// mostKeys is how many forms are known; a page is not open for longer than that
// many others are sent.
const mostKeys = 10_000

func newOnce() (*once, error) {
	known, err := lru.New[string, string](mostKeys)
	if err != nil {
		return nil, fmt.Errorf("pages: forms that were taken: %w", err)
	}
	return &once{known: known}, nil
}

// taken is what came of a form: where it leads, or the places that what is wrong
// with it is told at.
type taken struct {
	to string
	at places
}

// do takes a form, unless it was taken under its key before. One that is refused
// may be sent again. Without a key it is taken.
func (o *once) do(key string, take func() (taken, error)) (taken, error) {
	if key == "" {
		return take()
	}
	made, err, _ := o.sending.Do(key, func() (any, error) {
		if to, ok := o.known.Get(key); ok {
			return taken{to: to}, nil
		}
		made, err := take()
		if err == nil {
			o.known.Add(key, made.to)
		}
		return made, err
	})
	out, _ := made.(taken)
	return out, err
}

// part makes a record that a form needs before the form itself can be taken, and gives
// its identifier: sent again, the form finds the one that it made. Without a key it is
// made. The form's own do keeps it from being made at the same time.
func (o *once) part(key string, make func() (id string, err error)) (id string, err error) {
	if made, ok := o.known.Get(key); ok && key != "" {
		return made, nil
	}
	if id, err = make(); err == nil && key != "" {
		o.known.Add(key, id)
	}
	return id, err
}
