package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"time"
)

const (
	blockLimit   = 3 * time.Minute  // for one block, a build included
	serviceLimit = 3 * time.Minute  // until a service answers, a build included
	stopLimit    = 15 * time.Second // until a service has ended
)

// command makes bash run a block in the copy, as the leader of a process group
// of its own, so that what the block started can be ended with it.
func (w *workplace) command(ctx context.Context, b block) *exec.Cmd {
	c := exec.CommandContext(ctx, "bash", "-euo", "pipefail", "-c", b.text)
	c.Dir = filepath.Join(w.root, "src")
	c.Env = w.env
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	c.Cancel = func() error { return syscall.Kill(-c.Process.Pid, syscall.SIGKILL) }
	return c
}

// run runs a block to its end; want, where given, is its standard output.
func (w *workplace) run(ctx context.Context, b block, want *string) error {
	ctx, cancel := context.WithTimeout(ctx, blockLimit)
	defer cancel()
	var out, complaint bytes.Buffer
	c := w.command(ctx, b)
	c.Stdout, c.Stderr = &out, &complaint
	if err := c.Run(); err != nil {
		return fmt.Errorf("the commands fail: %w\n%s%s", err, out.Bytes(), complaint.Bytes())
	}
	if want != nil && out.String() != *want {
		return fmt.Errorf("the output is not the one shown. Shown:\n%sGot:\n%s", *want, out.Bytes())
	}
	return nil
}

// serve starts a block, waits for a page at the address that it prints, and
// ends it with the signal that a terminal sends for Ctrl-C.
func (w *workplace) serve(ctx context.Context, b block) error {
	ctx, cancel := context.WithTimeout(ctx, blockLimit)
	defer cancel()
	var out lockedBuffer
	c := w.command(ctx, b)
	c.Stdout, c.Stderr = &out, &out
	if err := c.Start(); err != nil {
		return err
	}
	ended := make(chan struct{})
	go func() {
		_ = c.Wait() // the status is the shell's, which the signal ends too
		close(ended)
	}()
	if err := waitForPage(ctx, &out, ended); err != nil {
		cancel()
		return fmt.Errorf("%w; it printed\n%s", err, out.String())
	}
	if err := syscall.Kill(-c.Process.Pid, syscall.SIGINT); err != nil {
		return err
	}
	select {
	case <-ended:
		return nil
	case <-time.After(stopLimit):
		return fmt.Errorf("the service runs on %v after an interrupt; it printed\n%s", stopLimit, out.String())
	}
}

var pageAddress = regexp.MustCompile(`http://(127\.0\.0\.1|localhost|\[::1\]):\d+`)

// waitForPage returns nil once an address of this machine in out answers 200.
func waitForPage(ctx context.Context, out *lockedBuffer, ended <-chan struct{}) error {
	limit := time.After(serviceLimit)
	last := "no address of this machine was printed"
	for {
		if address := pageAddress.FindString(out.String()); address != "" {
			status, err := statusOf(ctx, address+"/")
			if err == nil && status == http.StatusOK {
				return nil
			}
			last = fmt.Sprintf("%s/ answers status %d, error %v", address, status, err)
		}
		select {
		case <-ended:
			return errors.New("the service ended by itself")
		case <-limit:
			return fmt.Errorf("no page after %v: %s", serviceLimit, last)
		case <-time.After(200 * time.Millisecond):
		}
	}
}

func statusOf(ctx context.Context, address string) (int, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, http.NoBody)
	if err != nil {
		return 0, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return 0, err
	}
	return answer.StatusCode, answer.Body.Close()
}

// lockedBuffer is a buffer that one goroutine may read while another writes.
type lockedBuffer struct {
	mu   sync.Mutex
	text strings.Builder
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}
