package tongue

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/danielgtaylor/huma/v2/validation"
)

// found is a text in the sources, as a format: what is put into it at run time is a
// verb of fmt.
type found struct {
	format string
	place  string // file:line, from the module's root
	asked  bool   // whether a reader may be told it, so that catalogues must have it
}

// root is the module's.
const root = "../.."

// spoken are the packages whose texts reach pages, colour with all below it.
var spoken = []string{"colour", "api/bench", "api/calc", "api/intake", "api/labfile", "api/pages", "api/panel", "api/record", "api/release", "api/store", "api/upload"}

// elsewhere are files of theirs whose texts do not, and where those go.
var elsewhere = map[string]string{
	"api/bench/report.go":             "documents",
	"api/bench/sheet.go":              "documents",
	"api/bench/sheetparts.go":         "documents",
	"api/calc/dosed.go":               "OpenAPI",
	"api/calc/example.go":             "OpenAPI",
	"api/calc/figure.go":              "pictures",
	"api/release/chartfigure.go":      "pictures",
	"api/release/driftfigure.go":      "pictures",
	"api/labfile/dates.go":            "patterns",
	"api/pages/asset.go":              "headers",
	"api/pages/begin.go":              "names of tools, which are entered",
	"api/store/archive.go":            "the command that restores",
	"api/store/archiving.go":          "logs",
	"api/store/figurefill.go":         "the command that verifies",
	"api/store/migrate.go":            "logs",
	"api/store/postgres.go":           "logs",
	"api/store/sqlite.go":             "logs",
	"api/store/tables.go":             "logs",
	"api/store/verify.go":             "the command that verifies",
	"colour/cie/screen.go":            "whoever writes programs",
	"colour/cie/tables.go":            "whoever writes programs",
	"colour/difference/comparison.go": "whoever writes programs",
	"colour/panel/codes.go":           "whoever writes programs",
	"colour/panel/draw.go":            "whoever writes programs",
	"colour/panel/join.go":            "whoever writes programs",
	"colour/spectrum/prior.go":        "whoever writes programs",
}

// texts are all texts of the spoken packages.
func texts(t *testing.T) []found {
	t.Helper()
	var all []found
	for _, room := range spoken {
		for _, folder := range folders(t, room) {
			all = append(all, textsOf(t, folder)...)
		}
	}
	return all
}

// folders are the folders of a room: below colour all, elsewhere the one.
func folders(t *testing.T, room string) []string {
	t.Helper()
	if room != "colour" {
		return []string{room}
	}
	var all []string
	err := filepath.WalkDir(filepath.Join(root, room), func(name string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.IsDir() {
			return err
		}
		switch entry.Name() {
		case "testdata", "colourtest", "tables":
			return fs.SkipDir
		}
		own, err := filepath.Rel(root, name)
		all = append(all, own)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func textsOf(t *testing.T, folder string) []found {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join(root, folder))
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	var parsed []*ast.File
	for _, entry := range entries {
		if name := entry.Name(); strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			file, err := parser.ParseFile(set, filepath.Join(root, folder, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			parsed = append(parsed, file)
		}
	}
	r := reader{set: set, constants: constantsOf(parsed)}
	for _, file := range parsed {
		r.read(file)
	}
	return r.all
}

// constantsOf are the texts of a package that have a name.
func constantsOf(parsed []*ast.File) map[string]string {
	named := map[string]string{}
	for _, file := range parsed {
		for _, d := range file.Decls {
			general, ok := d.(*ast.GenDecl)
			if !ok || general.Tok != token.CONST {
				continue
			}
			for _, s := range general.Specs {
				spec, ok := s.(*ast.ValueSpec)
				if !ok {
					continue
				}
				for i, value := range spec.Values {
					if text, ok := literal(value); ok {
						named[spec.Names[i].Name] = text
					}
				}
			}
		}
	}
	return named
}

// literal is a text that is written out, in one or several parts.
func literal(e ast.Expr) (string, bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		if x.Kind == token.STRING {
			text, err := strconv.Unquote(x.Value)
			return text, err == nil
		}
	case *ast.BinaryExpr:
		if x.Op == token.ADD {
			left, ok := literal(x.X)
			right, both := literal(x.Y)
			return left + right, ok && both
		}
	}
	return "", false
}

// reader collects the texts of a package.
type reader struct {
	set       *token.FileSet
	constants map[string]string
	all       []found
}

// read collects the texts of a file: each sum of texts and values as one.
func (r *reader) read(file *ast.File) {
	var above []ast.Node
	var visit func(n ast.Node) bool
	visit = func(n ast.Node) bool {
		if n == nil {
			above = above[:len(above)-1]
			return true
		}
		if e, ok := n.(ast.Expr); ok {
			if format, ok := r.folded(e); ok {
				place := r.set.Position(e.Pos())
				name, _ := filepath.Rel(root, place.Filename)
				r.all = append(r.all, found{format, name + ":" + strconv.Itoa(place.Line), prose(format) && !slices.Contains(joints, format) && !silent(name, above, e)})
				for _, value := range r.values(e) {
					above = append(above, n)
					ast.Inspect(value, visit)
					above = above[:len(above)-1]
				}
				return false
			}
		}
		switch x := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			x.Tag = nil // of a struct: what OpenAPI says
		}
		above = append(above, n)
		return true
	}
	ast.Inspect(file, visit)
}

// folded is a text, a sum with a text in it, or what fmt.Sprintf makes of one.
func (r *reader) folded(e ast.Expr) (string, bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		return literal(x)
	case *ast.ParenExpr:
		return r.folded(x.X)
	case *ast.CallExpr:
		if called(x) == "fmt.Sprintf" && len(x.Args) > 0 {
			return r.folded(x.Args[0])
		}
		if name, ok := x.Fun.(*ast.Ident); ok && (name.Name == "string" || name.Name == "english") && len(x.Args) == 1 {
			return r.folded(x.Args[0])
		}
	case *ast.BinaryExpr:
		if x.Op != token.ADD {
			return "", false
		}
		left, lefts := r.folded(x.X)
		right, rights := r.folded(x.Y)
		switch {
		case lefts && rights:
			return left + right, true
		case lefts:
			return left + r.value(x.Y), true
		case rights:
			return r.value(x.X) + right, true
		}
	}
	return "", false
}

// value is what stands in a format for an expression: a constant as itself.
func (r *reader) value(e ast.Expr) string {
	if name, ok := e.(*ast.Ident); ok {
		if text, known := r.constants[name.Name]; known {
			return text
		}
	}
	return "%s"
}

// values are the expressions that are put into a text.
func (r *reader) values(e ast.Expr) []ast.Expr {
	switch x := e.(type) {
	case *ast.ParenExpr:
		return r.values(x.X)
	case *ast.CallExpr:
		return append(r.values(x.Args[0]), x.Args[1:]...)
	case *ast.BinaryExpr:
		var all []ast.Expr
		for _, side := range []ast.Expr{x.X, x.Y} {
			if _, ok := r.folded(side); ok {
				all = append(all, r.values(side)...)
			} else {
				all = append(all, side)
			}
		}
		return all
	}
	return nil
}

// called is the name of what is called: fmt.Sprintf, f.Addf.
func called(call *ast.CallExpr) string { return nameOf(call.Fun) }

func nameOf(e ast.Expr) string {
	switch x := e.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return nameOf(x.X) + "." + x.Sel.Name
	case *ast.CallExpr:
		return nameOf(x.Fun) + "()"
	case *ast.IndexExpr:
		return nameOf(x.X)
	}
	return ""
}

var (
	words  = regexp.MustCompile(`\pL{2,}[ ,;:]|[ ,;:]\pL{2,}`)
	inSQL  = regexp.MustCompile(`SELECT|INSERT|UPDATE |DELETE |JOIN |WHERE|PRAGMA|_pragma|LOCK TABLE|EXCLUDED|ORDER BY| DESC$|RETURNING|ON CONFLICT|LIMIT %| AS w$| AS r$|^ AND | = (\?|%s)|IN \(|(_id|_at|sha256|, a420|, name_key|, retained), `)
	inCode = regexp.MustCompile(`^(api|blend|cie|colour|conform|control|difference|export|labfile|ladder|pages|record|release|spectrum|store|volumetric|intake|upload|panel|shelf|calc|jcampdx|bench|drift|hook)(: |$)|^(GET|POST) |^<|^curl |charset=|^(product|spec):%s|^text/`)
)

// prose reports whether a format has words to translate.
func prose(format string) bool {
	return words.MatchString(verb.ReplaceAllString(format, "%")) && !inSQL.MatchString(format) && !inCode.MatchString(format)
}

// silent reports whether no reader of a page is told a text.
func silent(file string, above []ast.Node, e ast.Expr) bool {
	if elsewhere[file] != "" {
		return true
	}
	for i := len(above) - 1; i >= 0; i-- {
		switch x := above[i].(type) {
		case *ast.CallExpr:
			name := called(x)
			if quiet.MatchString(name) || quietIn(file, name) {
				return true
			}
		case *ast.KeyValueExpr:
			if slices.Contains([]string{"Description", "Summary", "summary", "description", "example", "Help", "Version", "explanation"}, nameOf(x.Key)) {
				return true
			}
		case *ast.CaseClause:
			return slices.Contains(x.List, e)
		case *ast.ValueSpec:
			if strings.HasPrefix(strings.ToLower(x.Names[0].Name), "example") {
				return true
			}
		}
	}
	return false
}

// quiet are calls whose texts go to logs, to whoever writes programs, to patterns or
// to headers.
var quiet = regexp.MustCompile(`^(panic|define|len|path\..*|fault|intact|wrap|.*\.inTx|.*\.inSnapshot|.*\.Log\.\w+|.*\.log\.\w+|regexp\.MustCompile|h\.(Set|Add)|c\.Header|bytes\.\w+|strings\.(NewReplacer|Contains\w*|Cut\w*|HasPrefix|HasSuffix|Trim\w*|Index|LastIndex|Replace|Split)|strconv\..*|ast\..*|\[\]byte|addGet|flag|attribute|template\..*|.*\.(Format|Parse|Where|Order|ColumnExpr|Set|Join|TableExpr|ExecContext|QueryContext|PrepareContext|MustParse)|.*Wine|.*Query)$`)

// quietIn is the same for one folder.
func quietIn(file, name string) bool {
	return strings.HasPrefix(file, "colour/cie/") && name == "fmt.Errorf"
}

// unheard are texts of spoken files that no reader of a page is told.
var unheard = map[string]string{
	"unexpected end of JSON input":            "what package json says",
	"SQLite format 3\x00":                     "how a file begins",
	"another table was chosen":                "a sign within the pages",
	"transmittance %":                         "what stands in a field",
	"nm,absorbance\n%s":                       "what stands in a field",
	"%d things came since the page was shown": "logs",
	" $1 UTC":                              "a pattern",
	"there is no such version":             "logs",
	"Pourpath %s":                          "documents",
	"statement %d":                         "logs",
	"statement %s":                         "logs",
	"the newest statement of a lot":        "logs",
	"the trial has no measuring tool":      "logs",
	"a source of random numbers is needed": "whoever writes programs",
	"judge: no judge of this panel has this identifier": "the API",
	"glass is missing":    "with its number in the others",
	"glasses are missing": "with its number in the others",
	"opened %s UTC":       "with its zone in the others",
	"default-src 'none'; style-src 'sha256-%s'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'": "headers",
}

// joints are what lists are joined by: the package's own.
var joints = []string{" and ", " or ", ", or ", "; and ", "; "}

// key is a format as catalogues have it: without the spaces around a sentence.
func key(format string) string {
	format = strings.TrimRight(format, " ")
	if trimmed := strings.TrimLeft(format, " "); trimmed != "" && unicode.IsUpper([]rune(trimmed)[0]) {
		return trimmed
	}
	return format
}

// others are texts that stand nowhere in the sources as they are said, and what says
// them.
var others = map[string]string{
	"readings %s":                                   "spectrum: Wine.Method",
	"row %d, %s":                                    "labfile: the place of a cell",
	"sheet %s, row %d, %s":                          "labfile: the place of a cell",
	"line %d, %s":                                   "pages: the place in pasted lines",
	"%d glass is missing":                           "record: a glass with its number",
	"%d glasses are missing":                        "record: glasses with their number",
	"opened %s":                                     "bench: a panel without a name, by a moment with its zone",
	"graduated pipette":                             "volumetric: Kind, without its underscore",
	"volumetric pipette":                            "volumetric: Kind, without its underscore",
	"teaspoon":                                      "volumetric: the table of kitchen measures",
	"tablespoon":                                    "volumetric: the table of kitchen measures",
	validation.MsgUnexpectedProperty:                "the schema",
	validation.MsgExpectedNumber:                    "the schema",
	validation.MsgExpectedInteger:                   "the schema",
	validation.MsgExpectedString:                    "the schema",
	validation.MsgExpectedBoolean:                   "the schema",
	validation.MsgExpectedArray:                     "the schema",
	validation.MsgExpectedObject:                    "the schema",
	validation.MsgExpectedMinimumNumber:             "the schema",
	validation.MsgExpectedExclusiveMinimumNumber:    "the schema",
	validation.MsgExpectedMaximumNumber:             "the schema",
	validation.MsgExpectedExclusiveMaximumNumber:    "the schema",
	validation.MsgExpectedMinLength:                 "the schema",
	validation.MsgExpectedMaxLength:                 "the schema",
	validation.MsgExpectedMinItems:                  "the schema",
	validation.MsgExpectedMaxItems:                  "the schema",
	validation.MsgExpectedArrayItemsUnique:          "the schema",
	validation.MsgExpectedOneOf:                     "the schema",
	validation.MsgExpectedMatchPattern:              "the schema",
	validation.MsgExpectedRFC4122UUID:               "the schema",
	validation.MsgExpectedDependentRequiredProperty: "the schema",
}

// TestComplete finds texts of the sources that a language cannot say, and what a
// catalogue has that nothing says any more.
func TestComplete(t *testing.T) {
	all := texts(t)
	if len(all) < 1000 {
		t.Fatalf("%d texts were found in the sources", len(all))
	}
	spoken := map[string]bool{}
	for _, f := range all {
		spoken[key(f.format)] = true
	}
	for text := range unheard {
		if !spoken[key(text)] {
			t.Errorf("nothing in the sources says %q", text)
		}
	}
	for code, c := range catalogues(t) {
		for _, f := range all {
			if unheard[f.format] != "" {
				continue
			}
			if _, ok := c.Messages[key(f.format)]; f.asked && !ok {
				t.Errorf("%s: %s.json has nothing for %q", f.place, code, key(f.format))
			}
		}
		for other := range others {
			if _, ok := c.Messages[other]; !ok {
				t.Errorf("%s.json has nothing for %q", code, other)
			}
		}
		for english := range c.Messages {
			if !spoken[english] && others[english] == "" {
				t.Errorf("%s.json: nothing in the sources says %q", code, english)
			}
		}
	}
}
