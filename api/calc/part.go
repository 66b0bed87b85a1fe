package calc

import (
	"context"
	"strings"
)

// DecodeWhole is Decode for a request that is kept rather than answered: as no
// calculation will find the faults that its schema cannot see, they are found
// here. That a stored wine is yet to be looked up is no fault.
func DecodeWhole[T Request](data []byte) (T, error) {
	request, err := Decode[T](data)
	if err != nil {
		return request, err
	}
	f := Faults{unlooked: true}
	request.Check(&f)
	return request, f.Err()
}

// LookupWine puts the data of the stored wine that w names into it, and returns
// which readings those are. What is wrong with w, which stands at pointer, is
// appended to f; the error says that the records could not be read.
func LookupWine(ctx context.Context, cellar Cellar, pointer string, w *Wine, f *Faults) ([]ReadingsUsed, error) {
	l := lookup{ctx: ctx, cellar: cellar}
	l.wine(pointer, w)
	return l.end(f)
}

// LookupTarget is LookupWine for a target, or the wine that a target is.
func LookupTarget(ctx context.Context, cellar Cellar, pointer string, t *Target, f *Faults) ([]ReadingsUsed, error) {
	l := lookup{ctx: ctx, cellar: cellar}
	l.target(pointer, t)
	return l.end(f)
}

func (l *lookup) end(f *Faults) ([]ReadingsUsed, error) {
	f.list = append(f.list, l.found.list...)
	return l.used, l.err
}

// CheckForBlend appends the faults of a wine, at pointer, that will be blended
// with others.
func CheckForBlend(pointer string, w Wine, f *Faults) { w.resolveForBlend(pointer, f) }

// CheckSpec appends the faults of a specification that is the request itself,
// with the conditions it holds for in its field "view".
func CheckSpec(s Spec, v *View, f *Faults) {
	inner := Faults{unlooked: true}
	yet := "" // the wine to judge is yet to come
	CheckRequest{Spec: s, View: v, Wine: Wine{ID: &yet}}.resolve(&inner)
	for _, fault := range inner.list {
		fault.Location = strings.TrimPrefix(fault.Location, "/spec")
		f.list = append(f.list, fault)
	}
}
