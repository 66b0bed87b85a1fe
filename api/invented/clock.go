package invented

import (
	"sync/atomic"
	"time"
)

// Clock is the clock of a store that is filled: it stands where the story is, and
// goes as the machine's once the story is told. It may be asked concurrently.
type Clock struct{ story atomic.Pointer[time.Time] }

// Now is the time of the story, or the machine's.
func (c *Clock) Now() time.Time {
	if at := c.story.Load(); at != nil {
		return *at
	}
	return time.Now()
}

func (c *Clock) stand(at time.Time) { c.story.Store(&at) }

func (c *Clock) run() { c.story.Store(nil) }
