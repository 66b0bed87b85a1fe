package pages

import "sync"

// once takes a form once: sent again under its key, it leads to where it led the
// first time. It knows the newest keys of this run of the program.
type once struct {
	mu    sync.Mutex
	known map[string]*taken
	order []string // of known, the oldest first
}

// taken is a form that was taken, or is being taken.
type taken struct {
	done chan struct{}
	to   string // empty where it was refused
}

// mostKeys is how many forms are known; a page is not open for longer than that
// many others are sent.
const mostKeys = 10_000

// do takes a form, unless it was taken under its key before, and returns where it
// leads. A form that is refused may be sent again. Without a key it is taken.
func (o *once) do(key string, take func() (to string, err error)) (string, error) {
	if key == "" {
		return take()
	}
	for {
		mine, before := o.begin(key)
		if before == nil {
			to, err := take()
			o.end(key, mine, to)
			return to, err
		}
		<-before.done
		if before.to != "" {
			return before.to, nil
		}
	}
}

// begin notes that a form is being taken, or returns the one that is or was.
func (o *once) begin(key string) (mine, before *taken) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if t, ok := o.known[key]; ok {
		return nil, t
	}
	if o.known == nil {
		o.known = map[string]*taken{}
	}
	if len(o.order) == mostKeys {
		delete(o.known, o.order[0])
		o.order = o.order[1:]
	}
	mine = &taken{done: make(chan struct{})}
	o.known[key], o.order = mine, append(o.order, key)
	return mine, nil
}

// end notes where a form led; one that led nowhere is forgotten.
func (o *once) end(key string, mine *taken, to string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if mine.to = to; to == "" && o.known[key] == mine {
		delete(o.known, key)
		for i, k := range o.order {
			if k == key {
				o.order = append(o.order[:i], o.order[i+1:]...)
				break
			}
		}
	}
	close(mine.done)
}
