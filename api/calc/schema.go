package calc

import (
	"errors"
	"fmt"
	"path"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/validation"
)

// strict sets what the schema library reads when it makes a schema and when it
// validates: field names are exact here, and a list is never null.
var strict = sync.OnceFunc(func() {
	huma.ValidateStrictCasing = true
	huma.DefaultArrayNullable = false
})

// NewRegistry returns an empty registry for the schemas of this package's types,
// so that whoever describes them describes what Decode accepts.
func NewRegistry() huma.Registry {
	strict()
	return huma.NewMapRegistry("#/components/schemas/", schemaName)
}

// schemaName names a type in the interface's description. What is kept and what
// is computed with may have one name in packages of their own (a wine's record,
// a wine in a request), so the package is told but for those of the calculations.
func schemaName(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if room := path.Base(t.PkgPath()); room == "record" || room == "shelf" {
		return strings.ToUpper(room[:1]) + room[1:] + name
	}
	return name
}

// described is the schema of one type of request, with the registry that its
// references point into. It never changes once made.
type described struct {
	registry huma.Registry
	schema   *huma.Schema
}

// schemas holds a described for each type of request that was decoded.
var schemas sync.Map

func schemaOf[T Request]() described {
	kind := reflect.TypeFor[T]()
	if known, ok := schemas.Load(kind); ok {
		if d, ok := known.(described); ok { // nothing else is put there
			return d
		}
	}
	r := NewRegistry()
	made := described{registry: r, schema: r.SchemaFromRef(r.Schema(kind, true, "").Ref)}
	schemas.Store(kind, made) // two that make it at once make the same
	return made
}

// validate appends everything in document that the schema of T refuses.
func validate[T Request](document any, found *Faults) {
	s := schemaOf[T]()
	r, schema := s.registry, s.schema
	validator{registry: r, found: found}.unknown(schema, document, "")

	var result huma.ValidateResult
	huma.Validate(r, schema, huma.NewPathBuffer(nil, 0), huma.ModeWriteToServer, document, &result)
	for _, err := range result.Errors {
		var detail *huma.ErrorDetail
		if errors.As(err, &detail) {
			found.list = append(found.list, faultOf(detail))
		} else {
			found.Addf("", nil, "%s", err)
		}
	}
}

type validator struct {
	registry huma.Registry
	found    *Faults
}

// unknown names the fields of document that the schema does not know, with the
// ones it does, and takes them out: the library joins names with dots, so a
// name that holds one would shift the place of what it reports afterwards.
func (v validator) unknown(schema *huma.Schema, document any, pointer string) {
	for schema != nil && schema.Ref != "" {
		schema = v.registry.SchemaFromRef(schema.Ref)
	}
	if schema == nil {
		return
	}
	switch document := document.(type) {
	case []any:
		for i, item := range document {
			v.unknown(schema.Items, item, pointer+"/"+strconv.Itoa(i))
		}
	case map[string]any:
		if schema.Type != huma.TypeObject || len(schema.Properties) == 0 {
			return // the wrong kind of value, or a table with free names
		}
		for _, name := range sortedKeys(document) {
			place := pointer + "/" + token(name)
			if property, known := schema.Properties[name]; known {
				v.unknown(property, document[name], place)
				continue
			}
			v.found.Addf(place, document[name], "unknown field %q; known here: %s", name, strings.Join(sortedKeys(schema.Properties), ", "))
			delete(document, name)
		}
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// faultOf turns what the schema library found into a fault of ours: its place
// "wines[1].readings" becomes the pointer /wines/1/readings, a missing field is
// named at its own place, and a wrong kind is said.
func faultOf(d *huma.ErrorDetail) Fault {
	pointer := strings.NewReplacer(".", "/", "[", "/", "]", "").Replace(d.Location)
	if pointer != "" && !strings.HasPrefix(pointer, "/") {
		pointer = "/" + pointer
	}
	var name string
	if _, err := fmt.Sscanf(d.Message, validation.MsgExpectedRequiredProperty, &name); err == nil {
		return Fault{Location: pointer + "/" + name, Message: fmt.Sprintf("the field %q is missing", name)}
	}
	message := d.Message
	switch message {
	case validation.MsgExpectedBoolean, validation.MsgExpectedNumber, validation.MsgExpectedInteger,
		validation.MsgExpectedString, validation.MsgExpectedArray, validation.MsgExpectedObject:
		message += ", not " + kindOf(d.Value)
	}
	return Fault{Location: pointer, Message: message, Value: d.Value}
}

// kindOf says in JSON's words what a value is.
func kindOf(v any) string {
	switch v.(type) {
	case nil:
		return "null"
	case bool:
		return "true or false"
	case float64:
		return "number"
	case string:
		return "string"
	case []any:
		return "array"
	}
	return "object"
}

// orNull makes a property of an object that may be null.
func orNull(s *huma.Schema, name string) {
	p := s.Properties[name]
	s.Properties[name] = &huma.Schema{
		Description: p.Description,
		AnyOf:       []*huma.Schema{{Ref: p.Ref}, {Type: "null"}},
	}
}

// OneOf documents that exactly one of the named sets of fields is wanted. It is
// written into the description only; the requests check it themselves, in words
// that a reader can act on.
func OneOf(s *huma.Schema, sets ...[]string) *huma.Schema {
	alternatives := make([]any, len(sets))
	for i, set := range sets {
		alternatives[i] = map[string]any{"required": set}
	}
	if s.Extensions == nil {
		s.Extensions = map[string]any{}
	}
	s.Extensions["oneOf"] = alternatives
	return s
}
