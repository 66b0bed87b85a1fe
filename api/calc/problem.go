package calc

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"pourpath/colour"
)

// The kinds of problem that a request itself can have, as relative URIs. The
// service explains each of them at that address.
const (
	InvalidInput  = "/problems/invalid-input"
	MalformedJSON = "/problems/malformed-json"
	TooLarge      = "/problems/too-large"
)

// TooFewData is the kind of problem that what is recorded tells too little for an
// answer.
const TooFewData = "/problems/too-few-data"

// maxFaults is how many faults one problem lists; a request with more of them
// is told how many were left out.
const maxFaults = 100

// longestEcho is how much of a faulty text value is given back, in characters.
const longestEcho = 100

// Problem says why a request has no answer, in the form of RFC 9457. It is an
// error, and it is what the service and the commands print.
type Problem struct {
	Type     string  `json:"type" format:"uri-reference" doc:"Kind of problem, a URI relative to the service, which explains it there." example:"/problems/invalid-input"`
	Title    string  `json:"title" doc:"The kind of problem in words; the same for every problem of the kind." example:"The request has faults"`
	Status   int     `json:"status" minimum:"400" maximum:"599" doc:"HTTP status." example:"422"`
	Detail   string  `json:"detail" doc:"What happened this time." example:"1 fault: /wine/readings/path_mm expected number > 0"`
	Instance string  `json:"instance,omitempty" format:"uri-reference" doc:"Names this occurrence, for a fault of the service: its log has the same name."`
	Errors   []Fault `json:"errors,omitempty" doc:"Every fault that was found in the request."`
}

// Fault is one thing wrong in a request.
type Fault struct {
	Location string `json:"location" doc:"JSON Pointer (RFC 6901) into the request; empty means all of it." example:"/wine/readings/path_mm"`
	Message  string `json:"message" doc:"What is wrong there, and what would be right." example:"expected number > 0"`
	Value    any    `json:"value" doc:"What stood there: a single value or a short list; null where nothing stood or where it is too long to repeat."`
}

// Error gives the detail.
func (p *Problem) Error() string { return p.Detail }

// GetStatus gives the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType turns application/json into application/problem+json.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

// AsProblem returns the Problem that err is or wraps, or nil.
func AsProblem(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	return nil
}

// Refuse makes the problem of a request whose faults are known; what cannot be
// repeated in JSON or is long is left out of their values.
func Refuse(list ...Fault) *Problem {
	left := max(0, len(list)-maxFaults)
	list = list[:len(list)-left]
	for i := range list {
		list[i].Value = echo(list[i].Value)
	}
	detail := "1 fault"
	if n := len(list) + left; n != 1 {
		detail = fmt.Sprintf("%d faults", n)
	}
	if left > 0 {
		detail += fmt.Sprintf(", the first %d listed", maxFaults)
	}
	if len(list) > 0 {
		detail += ": " + strings.TrimSpace(list[0].Location+" "+list[0].Message)
	}
	return &Problem{
		Type: InvalidInput, Title: "The request has faults", Status: http.StatusUnprocessableEntity,
		Detail: detail, Errors: list,
	}
}

// echo keeps what may be repeated to the sender: single values and short lists
// of numbers.
func echo(v any) any {
	switch v := v.(type) {
	case nil, bool, int:
		return v
	case string:
		if r := []rune(v); len(r) > longestEcho {
			return string(r[:longestEcho]) + "…"
		}
		return v
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
		return v
	case Decimal:
		return v.Value
	case []float64:
		if len(v) > 20 {
			return nil
		}
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = echo(x)
		}
		return out
	case []any:
		if len(v) > 20 {
			return nil
		}
		out := make([]any, len(v))
		for i, x := range v {
			if out[i] = echo(x); out[i] == nil && x != nil {
				return nil
			}
		}
		return out
	}
	return echoKind(reflect.ValueOf(v))
}

// echoKind reduces named and pointed-to values to the kinds that echo knows.
func echoKind(v reflect.Value) any {
	switch v.Kind() {
	case reflect.String:
		return echo(v.String())
	case reflect.Float64, reflect.Float32:
		return echo(v.Float())
	case reflect.Int, reflect.Int64, reflect.Int32:
		return int(v.Int())
	case reflect.Pointer:
		if !v.IsNil() {
			return echo(v.Elem().Interface())
		}
	}
	return nil
}

// Faults collects what is wrong with one request. The zero value has none.
type Faults struct {
	list []Fault
	// unlooked: stored wines have not been looked up, so that one is not known
	// is no fault yet.
	unlooked bool
}

// Addf appends a fault at a JSON Pointer.
func (f *Faults) Addf(pointer string, value any, format string, args ...any) {
	f.list = append(f.list, Fault{Location: pointer, Message: fmt.Sprintf(format, args...), Value: value})
}

// Add appends the faults that err holds, below pointer.
func (f *Faults) Add(pointer string, err error) {
	if err == nil {
		return
	}
	var fields colour.FieldErrors
	if !errors.As(err, &fields) {
		f.Addf(pointer, nil, "%s", err)
		return
	}
	for _, e := range fields {
		place := pointer
		if e.Field != "" {
			place += "/" + e.Field
		}
		f.Addf(place, e.Value, "%s", e.Message)
	}
}

// oneOf appends the fault of an object that has none, or several, of the fields
// of which it wants exactly one.
func (f *Faults) oneOf(pointer string, given []string, wanted ...string) {
	if len(given) == 0 {
		f.Addf(pointer, nil, "one of %s is missing", quoted(wanted, "or"))
		return
	}
	slices.Sort(given)
	f.Addf(pointer, nil, "%s stand together; give exactly one of %s", quoted(given, "and"), quoted(wanted, "or"))
}

// quoted lists names: "a", "b" or "c".
func quoted(names []string, last string) string {
	var text strings.Builder
	for i, name := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			text.WriteString(" " + last + " ")
		default:
			text.WriteString(", ")
		}
		text.WriteString(strconv.Quote(name))
	}
	return text.String()
}

// merge appends the faults of other that do not stand at, above or below a
// fault that is known already: those would only repeat it in other words.
func (f *Faults) merge(other Faults) {
	known := len(f.list)
	for _, o := range other.list {
		related := false
		for _, k := range f.list[:known] {
			related = related || within(o.Location, k.Location) || within(k.Location, o.Location)
		}
		if !related {
			f.list = append(f.list, o)
		}
	}
}

// within reports whether the pointer inner is outer or stands below it.
func within(inner, outer string) bool {
	return inner == outer || strings.HasPrefix(inner, outer+"/")
}

// Err returns the collected faults as a *Problem, or nil.
func (f *Faults) Err() error {
	if len(f.list) == 0 {
		return nil
	}
	return Refuse(f.list...)
}

// token writes one reference token of a JSON Pointer (RFC 6901, section 3).
func token(name string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(name)
}
