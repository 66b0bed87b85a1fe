// Package hook tells another program of events: a command is run for each, with
// the event as JSON on its standard input. It never holds up whoever tells: events
// wait in a bounded queue and are told one after the other, in their order.
package hook

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// The bounds of what waits, of how long a command may take, and of what it may say
// that goes into the log.
const (
	mostWaiting   = 256
	commandWithin = 30 * time.Second
	endWithin     = 2 * time.Second // for the pipes of a command that was stopped
	mostSaid      = 2000
)

// Hook runs a command for each event. It may be used concurrently; a nil one tells
// nobody.
type Hook struct {
	command []string
	within  time.Duration
	log     *slog.Logger
	waiting chan []byte
	ended   chan struct{}

	order   sync.Mutex
	closing sync.RWMutex
	closed  bool

	done, failed, dropped atomic.Int64
}

// New returns a hook that runs a command: a program and its arguments, parted at
// white space and given to it as they are. No shell reads it, so that nothing in an
// event or in the command can be taken for another command; quotes have no meaning.
// The error says why it cannot be run. Close ends it.
func New(command string, log *slog.Logger) (*Hook, error) {
	words := strings.Fields(command)
	if len(words) == 0 {
		return nil, errors.New("hook: no command is given")
	}
	program, err := exec.LookPath(words[0])
	if err != nil {
		return nil, fmt.Errorf("hook: %w; the command is a program with its arguments, parted at spaces: no shell reads it", err)
	}
	words[0] = program
	return begin(words, mostWaiting, commandWithin, log), nil
}

func begin(command []string, most int, within time.Duration, log *slog.Logger) *Hook {
	h := &Hook{command: command, within: within, log: log, waiting: make(chan []byte, most), ended: make(chan struct{})}
	go func() {
		defer close(h.ended)
		for event := range h.waiting {
			h.run(event)
		}
	}()
	return h
}

// InOrder runs do while no other InOrder of h runs: what do records and tells is
// told in the order in which it is recorded.
func (h *Hook) InOrder(do func() error) error {
	if h == nil {
		return do()
	}
	h.order.Lock()
	defer h.order.Unlock()
	return do()
}

// Tell puts an event, which is written as JSON, at the end of the queue. Where
// that is full the event is dropped, counted and logged.
func (h *Hook) Tell(event any) {
	if h == nil {
		return
	}
	text, err := json.Marshal(event)
	if err != nil { // events are plain records
		h.Lost(err)
		return
	}
	h.closing.RLock()
	defer h.closing.RUnlock()
	if !h.closed {
		select {
		case h.waiting <- append(text, '\n'):
			return
		default:
		}
	}
	h.dropped.Add(1)
	h.log.Warn("an event was not told to the command", "why", h.why(), "waiting", len(h.waiting), "event", string(text))
}

// Lost counts and logs an event that could not be told because of err.
func (h *Hook) Lost(err error) {
	h.failed.Add(1)
	h.log.Error("an event for the command is lost", "error", err)
}

func (h *Hook) why() string {
	if h.closed {
		return "the service is ending"
	}
	return "the queue is full: the command takes longer than events come"
}

// run runs the command for one event. What it prints on standard output is left,
// and what it says of a failure goes into the log.
func (h *Hook) run(event []byte) {
	ctx, cancel := context.WithTimeout(context.Background(), h.within)
	defer cancel()
	//nolint:gosec // the command is what whoever started the service asked for, and no shell reads it
	c := exec.CommandContext(ctx, h.command[0], h.command[1:]...)
	said := &limited{}
	c.Stdin, c.Stderr, c.WaitDelay = bytes.NewReader(event), said, endWithin
	err := c.Run()
	if ctx.Err() != nil {
		err = fmt.Errorf("it was stopped after %s: %w", h.within, ctx.Err())
	}
	if err == nil {
		h.done.Add(1)
		return
	}
	h.failed.Add(1)
	h.log.Warn("the command failed on an event", "command", h.command[0], "error", err, "said", said.text.String(), "event", string(event))
}

// limited keeps the first of what is written to it.
type limited struct{ text bytes.Buffer }

// Write implements io.Writer. It takes all, and keeps the first.
func (l *limited) Write(p []byte) (int, error) {
	l.text.Write(p[:min(len(p), mostSaid-l.text.Len())])
	return len(p), nil
}

// Counts are the events that the command took, failed on, and was not told of, and
// how many wait.
type Counts struct{ Done, Failed, Dropped, Waiting int64 }

// Counts returns what became of events so far.
func (h *Hook) Counts() Counts {
	if h == nil {
		return Counts{}
	}
	return Counts{Done: h.done.Load(), Failed: h.failed.Load(), Dropped: h.dropped.Load(), Waiting: int64(len(h.waiting))}
}

// Close takes no more events and waits until those that wait are told, or ctx
// ends: then it logs how many are not. A nil hook is closed already.
func (h *Hook) Close(ctx context.Context) error {
	if h == nil {
		return nil
	}
	h.closing.Lock()
	if !h.closed {
		h.closed = true
		close(h.waiting)
	}
	h.closing.Unlock()
	select {
	case <-h.ended:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("hook: %d events were not told to the command: %w", len(h.waiting), ctx.Err())
	}
}
