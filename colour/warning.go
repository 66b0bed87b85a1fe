package colour

// Warning says that an answer was found but the reader must be told something
// about it: an extrapolation, an assumption, a reading outside its window.
// Every report, page and response that gives the answer gives its warnings.
//
// The zero Warning means nothing and is never returned.
type Warning struct {
	// Code names the kind of warning for programs: lower case words joined by
	// underscores, such as total_mismatch. A code keeps its meaning once used.
	Code string
	// Message tells a person what was found, with value and unit, and what to
	// do about it, in whole sentences.
	Message string
}
