package colour_test

import (
	"fmt"
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "pourpath"

// layers says which packages of the module each package may import. A name
// ending in /... stands for the package and everything below it.
var layers = map[string][]string{
	"colour":                 {},
	"colour/cie":             {"colour"},
	"colour/difference":      {"colour", "colour/cie"},
	"colour/reading":         {"colour", "colour/cie"},
	"colour/reading/jcampdx": {"colour"},
	"colour/spectrum":        {"colour", "colour/cie", "colour/reading", "colour/difference"},
	"colour/blend":           {"colour", "colour/cie", "colour/reading", "colour/spectrum", "colour/difference"},
	"colour/volumetric":      {"colour"},
	"colour/ladder":          {"colour", "colour/cie", "colour/reading", "colour/spectrum", "colour/difference", "colour/blend", "colour/volumetric"},
	"colour/conform":         {"colour", "colour/cie", "colour/reading", "colour/spectrum", "colour/difference"},
	"colour/control":         {"colour"},
	"colour/panel":           {"colour"},
	"colour/drift":           {"colour", "colour/cie", "colour/reading", "colour/spectrum", "colour/difference", "colour/blend"},
	"colour/colourtest":      {}, // for tests
	"reports":                {"colour/..."},
	"reports/sheet":          {"colour/...", "reports"},
	"api/calc":               {"colour/...", "reports/..."},
	"api/record":             {"colour/...", "api/calc"},
	"api/access":             {"colour/...", "api/calc", "api/record"},
	"api/qrcode":             {},
	"api/store":              {"colour/...", "api/calc", "api/record"},
	"api/celltext":           {},
	"api/tongue":             {},
	"api/store/storetest":    {}, // for tests
	"api/labfile":            {"colour/...", "api/calc", "api/record", "api/celltext"},
	"api/intake":             {"colour/...", "api/calc", "api/record", "api/store", "api/labfile"},
	"api/export":             {"colour/...", "api/calc", "api/record", "api/store", "api/celltext"},
	"api/hook":               {},
	"api/bench":              {"colour/...", "reports/...", "api/calc", "api/record", "api/store", "api/panel", "api/tongue"},
	"api/panel":              {"colour/...", "reports/...", "api/access", "api/calc", "api/record", "api/store"},
	"api/release":            {"colour/...", "reports/...", "api/calc", "api/record", "api/store", "api/bench", "api/hook"},
	"api/shelf":              {"colour/...", "reports", "api/calc", "api/record", "api/store"},
	"api/upload":             {"colour/...", "api/calc", "api/record", "api/store", "api/intake", "api/labfile"},
	"api/pages":              {"colour/...", "reports/...", "api/access", "api/qrcode", "api/calc", "api/record", "api/store", "api/bench", "api/hook", "api/intake", "api/labfile", "api/panel", "api/release", "api/shelf", "api/tongue", "api/upload"},
	"api/invented":           {"api/calc", "api/record", "api/store", "api/bench", "api/panel", "api/release", "api/pages"},
	"api":                    {"colour/...", "reports/...", "api/..."},
	"cmd/...":                {"colour/...", "reports/...", "api/...", "cmd/..."},

	"reports/sheet/sheettest": {"reports/sheet"}, // for tests
}

// forTests reads published tables for the tests of the science; no program
// holds it.
const forTests = "colour/colourtest"

const directionReason = "the flow is reading, spectrum, blend, colour, comparison, report; an import against it " +
	"would let a report or a request change what is measured. Move the code up, or pass the value in"

// impure are imports that colour/... may not use, with the reason.
var impure = map[string]string{
	"os":                       "the science reads no files or environment: pass an io.Reader or a value",
	"os/exec":                  "the science runs no programs",
	"net":                      "the science does not touch the network",
	"net/http":                 "the science does not know of requests: api answers them",
	"database/sql":             "the science does not know of the store: api/store does",
	"log":                      "the science returns errors and warnings: only api and cmd log",
	"log/slog":                 "the science returns errors and warnings: only api and cmd log",
	"encoding/json":            "wire forms belong to api/calc",
	"crypto/rand":              "a result must be repeatable: take a random source from the caller",
	"github.com/gin-gonic/gin": "the science does not know of requests: api answers them",
}

// clock and seeded are the only selectors of their packages that are judged:
// reading the clock is refused, and of math/rand only what works on a source
// given by the caller is allowed.
var (
	clock  = []string{"Now", "Since", "Until", "After", "Tick", "NewTimer", "NewTicker", "Sleep", "AfterFunc"}
	seeded = []string{"New", "NewSource", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "Source", "Source64", "PCG", "ChaCha8", "Zipf"}
)

// TestFlow parses every source file of the module, tests excepted (a test may
// import what it checks against), and reports each import against the flow.
func TestFlow(t *testing.T) {
	files := sourceFiles(t, "..")
	if len(files) < 5 {
		t.Fatalf("found only %d source files below the module root: the check would prove nothing", len(files))
	}
	for _, name := range files {
		src, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range faults(t, filepath.ToSlash(name), string(src)) {
			t.Error(fault)
		}
	}
}

// TestFlowFindsFaults shows that the check can fail: each row breaks one rule.
func TestFlowFindsFaults(t *testing.T) {
	const clean = ""
	for _, c := range []struct{ name, file, src, want string }{
		{"downward import", "colour/cie/x.go", `package cie; import _ "pourpath/colour"`, clean},
		{"upward import", "colour/cie/x.go", `package cie; import _ "pourpath/colour/blend"`, "may not import colour/blend"},
		{"report from science", "colour/blend/x.go", `package blend; import _ "pourpath/reports"`, "may not import reports"},
		{"science from report", "reports/x.go", `package reports; import _ "pourpath/colour/blend"`, clean},
		{"api from report", "reports/x.go", `package reports; import _ "pourpath/api/calc"`, "may not import api/calc"},
		{"cmd from api", "api/x.go", `package api; import _ "pourpath/cmd/pourpath"`, "may not import cmd/pourpath"},
		{"store from calc", "api/calc/x.go", `package calc; import _ "pourpath/api/store"`, "may not import api/store"},
		{"anything from cmd", "cmd/pourpath/x.go", `package main; import _ "pourpath/api"`, clean},
		{"unknown package", "util/x.go", `package util`, "not in the layer table"},
		{"file access", "colour/reading/x.go", `package reading; import _ "os"`, "imports os"},
		{"file access in api", "api/labfile/x.go", `package labfile; import _ "os"`, clean},
		{"router", "colour/cie/x.go", `package cie; import _ "github.com/gin-gonic/gin"`, "imports github.com/gin-gonic/gin"},
		{"clock", "colour/ladder/x.go", `package ladder; import "time"; var x = time.Now()`, "time.Now"},
		{"what is for tests", "reports/x.go", `package reports; import _ "pourpath/colour/colourtest"`, "may not import colour/colourtest"},
		{"duration", "colour/ladder/x.go", `package ladder; import "time"; var x time.Duration`, clean},
		{"global random", "colour/panel/x.go", `package panel; import "math/rand/v2"; var x = rand.IntN(3)`, "rand.IntN"},
		{"renamed random", "colour/panel/x.go", `package panel; import r "math/rand"; var x = r.Intn(3)`, "r.Intn"},
		{"dot import", "colour/panel/x.go", `package panel; import . "math/rand"; var x = Intn(3)`, "dot import"},
		{"given random", "colour/panel/x.go", `package panel; import "math/rand/v2"; func f(r *rand.Rand) int { return r.IntN(3) }`, clean},
		{"json tag", "colour/cie/x.go", "package cie; type T struct { X int `json:\"x\"` }", "JSON tag"},
	} {
		got := strings.Join(faults(t, c.file, c.src), "\n")
		if c.want == clean && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: faults(%q) = %q, want %q", c.name, c.src, got, c.want)
		}
	}
}

// sourceFiles lists the module's Go files that are built here, relative to root.
func sourceFiles(t *testing.T, root string) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := d.Name()
		if d.IsDir() {
			if p != root && (strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_") || base == "testdata" || base == "node_modules") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(base, ".go") || strings.HasSuffix(base, "_test.go") {
			return nil
		}
		built, err := build.Default.MatchFile(filepath.Dir(p), base)
		if err != nil || !built {
			return err
		}
		rel, err := filepath.Rel(root, p)
		names = append(names, rel)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// faults lists what the file, named from the module root, does against the flow.
func faults(t *testing.T, file, src string) []string {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), file, src, parser.SkipObjectResolution)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	pkg := path.Dir(file)
	allowed, known := allowedFor(pkg)
	if !known {
		return []string{fmt.Sprintf("%s: package %s is not in the layer table: add it to layers with what it may import", file, pkg)}
	}
	pure := matches("colour/...", pkg) && pkg != forTests
	var found []string
	for _, spec := range parsed.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if own, ok := strings.CutPrefix(name, module+"/"); ok {
			if own == forTests || !slices.ContainsFunc(allowed, func(pattern string) bool { return matches(pattern, own) }) {
				found = append(found, fmt.Sprintf("%s: %s may not import %s: %s", file, pkg, own, directionReason))
			}
		}
		if !pure {
			continue
		}
		if reason, ok := impure[name]; ok {
			found = append(found, fmt.Sprintf("%s: imports %s: %s", file, name, reason))
		}
		if spec.Name != nil && spec.Name.Name == "." {
			found = append(found, fmt.Sprintf("%s: dot import of %s hides what is called", file, name))
		}
	}
	if pure {
		found = append(found, impureUses(file, parsed)...)
	}
	return found
}

// impureUses finds the clock, the global random source and JSON tags.
func impureUses(file string, parsed *ast.File) []string {
	names := map[string]string{} // local name of an import → its path
	for _, spec := range parsed.Imports {
		p, _ := strconv.Unquote(spec.Path.Value) // the parser has checked the quoting
		local := path.Base(strings.TrimSuffix(p, "/v2"))
		if spec.Name != nil {
			local = spec.Name.Name
		}
		names[local] = p
	}
	var found []string
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			x, ok := n.X.(*ast.Ident)
			if !ok {
				return true
			}
			use := x.Name + "." + n.Sel.Name
			switch p := names[x.Name]; {
			case p == "time" && slices.Contains(clock, n.Sel.Name):
				found = append(found, fmt.Sprintf("%s: %s: the science has no clock: pass the time in", file, use))
			case strings.HasPrefix(p, "math/rand") && !slices.Contains(seeded, n.Sel.Name):
				found = append(found, fmt.Sprintf("%s: %s: a result must be repeatable: take a *rand.Rand from the caller", file, use))
			}
		case *ast.Field:
			if n.Tag != nil && strings.Contains(n.Tag.Value, `json:`) {
				found = append(found, fmt.Sprintf("%s: JSON tag %s: wire forms belong to api/calc", file, n.Tag.Value))
			}
		}
		return true
	})
	return found
}

// allowedFor returns the row of layers that pkg falls under.
func allowedFor(pkg string) (allowed []string, known bool) {
	if allowed, known = layers[pkg]; known {
		return allowed, true
	}
	for pattern, allowed := range layers {
		if strings.HasSuffix(pattern, "/...") && matches(pattern, pkg) {
			return allowed, true
		}
	}
	return nil, false
}

// matches reports whether pkg is what pattern names.
func matches(pattern, pkg string) bool {
	if top, ok := strings.CutSuffix(pattern, "/..."); ok {
		return pkg == top || strings.HasPrefix(pkg, top+"/")
	}
	return pkg == pattern
}
