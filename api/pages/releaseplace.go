package pages

import "slices"

// releasePlaces are the pages of the release check, as frame.Here names them.
var releasePlaces = []string{"lots", "specs", "charts", "drift", "statements", "instruments"}

// Releasing reports whether the page is one of the release check.
func (f frame) Releasing() bool { return slices.Contains(releasePlaces, f.Here) }
