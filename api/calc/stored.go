package calc

import (
	"context"
	"errors"
	"fmt"
)

// Errors of a Cellar about the wine or target that was asked for.
var (
	// ErrNotStored: there is none with that identifier.
	ErrNotStored = errors.New("none is stored under this identifier")
	// ErrNoReading: the wine is known, but nothing that can be computed with
	// was read of it.
	ErrNoReading = errors.New("nothing was read of this wine yet: add readings, a spectrum or CIELAB values to it")
)

// StoredWine is what the records hold of a wine to compute with.
type StoredWine struct {
	// Wine has a name and one kind of input, and no identifier.
	Wine Wine
	// ReadingIDs name the readings that the input is made of: one, or the
	// replicates that were averaged.
	ReadingIDs []string
}

// StoredTarget is a target of the records, with the conditions it holds in.
type StoredTarget struct {
	Target Target
	View   View
}

// Cellar finds what is stored. Its errors are ErrNotStored, ErrNoReading, or
// others, which say that the records could not be read.
type Cellar interface {
	StoredWine(ctx context.Context, id string) (StoredWine, error)
	StoredTarget(ctx context.Context, id string) (StoredTarget, error)
}

// ReadingsUsed says which readings of a stored wine an answer was computed from.
type ReadingsUsed struct {
	Location string   `json:"location" doc:"JSON Pointer to the wine in the request."`
	Wine     string   `json:"wine" doc:"Identifier of the wine."`
	Readings []string `json:"readings" doc:"Identifiers of its readings; several where replicates were averaged."`
}

// Provenance is the part of an answer that names the stored readings behind it.
type Provenance struct {
	ReadingsUsed []ReadingsUsed `json:"readings_used,omitempty" doc:"The readings of stored wines that the answer was computed from."`
}

func (p *Provenance) tell(used []ReadingsUsed) { p.ReadingsUsed = used }

// places calls its methods for each wine and target of a request that may be a
// stored one.
type places interface {
	wine(pointer string, w *Wine)
	target(pointer string, t *Target)
}

// visitor is a request that holds wines.
type visitor interface{ visit(places) }

// Lookup puts the data of stored wines and targets into a request that names
// them, and returns which readings those are. The error is a *Problem with
// every fault of the request, or the records could not be read. A nil cellar
// holds nothing.
func Lookup[T Request](ctx context.Context, request *T, cellar Cellar) ([]ReadingsUsed, error) {
	v, ok := any(request).(visitor)
	if !ok {
		return nil, nil // such a request holds no wine
	}
	l := lookup{ctx: ctx, cellar: cellar}
	v.visit(&l)
	if l.err != nil {
		return nil, l.err
	}
	if len(l.found.list) > 0 {
		more := Faults{unlooked: true}
		(*request).Check(&more)
		l.found.merge(more)
	}
	return l.used, l.found.Err()
}

// lookup fills in one request.
type lookup struct {
	ctx    context.Context //nolint:containedctx // lives for one call
	cellar Cellar
	used   []ReadingsUsed
	found  Faults
	err    error // the records could not be read
}

func (l *lookup) wine(pointer string, w *Wine) {
	if w == nil || w.ID == nil || w.Readings != nil || w.Spectrum != nil || w.CIELAB != nil || l.err != nil {
		return // more than one kind of input is a fault that the request names itself
	}
	stored, err := l.stored(*w.ID)
	if l.refused(pointer, *w.ID, err) {
		return
	}
	if w.Name == "" {
		w.Name = stored.Wine.Name
	}
	w.Readings, w.Spectrum, w.CIELAB = stored.Wine.Readings, stored.Wine.Spectrum, stored.Wine.CIELAB
	w.stored = true
	l.used = append(l.used, ReadingsUsed{Location: pointer, Wine: *w.ID, Readings: stored.ReadingIDs})
}

func (l *lookup) stored(id string) (StoredWine, error) {
	if l.cellar == nil {
		return StoredWine{}, ErrNotStored
	}
	return l.cellar.StoredWine(l.ctx, id)
}

func (l *lookup) target(pointer string, t *Target) {
	if t == nil || l.err != nil {
		return
	}
	if t.ID == nil {
		l.wine(pointer+"/wine", t.Wine)
		return
	}
	if t.CIELAB != nil || t.Wine != nil || t.Intensity != nil || t.Tint != nil {
		return
	}
	stored, err := StoredTarget{}, ErrNotStored
	if l.cellar != nil {
		stored, err = l.cellar.StoredTarget(l.ctx, *t.ID)
	}
	if l.refused(pointer, *t.ID, err) {
		return
	}
	tolerance := t.Tolerance
	id := t.ID
	*t = stored.Target
	t.ID, t.stored = id, &stored.View
	if tolerance != nil {
		t.Tolerance = tolerance
	}
	l.wine(pointer, t.Wine)
}

// refused reports whether there is an error, after noting it.
func (l *lookup) refused(pointer, id string, err error) bool {
	switch {
	case err == nil:
		return false
	case errors.Is(err, ErrNotStored), errors.Is(err, ErrNoReading):
		l.found.Addf(pointer+"/id", id, "%s", err)
	default:
		l.err = fmt.Errorf("calc: looking up %q: %w", id, err)
	}
	return true
}

// Answer reads a request, looks up what it names, and answers it with f. Whoever
// serves a calculation serves it through this, so that all refuse the same
// things in the same words.
func Answer[Req Request, Res any](ctx context.Context, data []byte, cellar Cellar, f func(Req) (Res, error)) (Req, Res, error) {
	var none Res
	request, err := Decode[Req](data)
	if err != nil {
		return request, none, err
	}
	used, err := Lookup(ctx, &request, cellar)
	if err != nil {
		return request, none, err
	}
	answer, err := f(request)
	if err != nil {
		return request, none, err
	}
	if a, ok := any(&answer).(interface{ tell([]ReadingsUsed) }); ok {
		a.tell(used)
	}
	return request, answer, nil
}

// CheckMeasured appends the faults of a wine that must be measured data, not a
// stored wine, at the top of a request.
func CheckMeasured(w Wine, f *Faults) { w.resolve("", f) }

// CheckTarget appends the faults of a target that stands in the field "target"
// of a request, under the view in its field "view".
func CheckTarget(t *Target, v *View, f *Faults) { t.resolve("/target", v.resolve(f), f) }
