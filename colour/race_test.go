package colour_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// elsewhere are tests that start processes, not goroutines that share memory.
var elsewhere = []string{"TestKilled", "TestRestart", "TestSwatches"}

// TestRaceStep wants each test that starts goroutines to be among those that
// .ci/test runs with the race detector.
func TestRaceStep(t *testing.T) {
	script, err := os.ReadFile("../.ci/test")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile(`(?m)^at_once='(.+)'$`).FindSubmatch(script)
	if named == nil {
		t.Fatal(".ci/test names no tests for the race detector")
	}
	detected := regexp.MustCompile(string(named[1]))
	found := 0
	err = filepath.WalkDir("..", func(file string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == "node_modules":
			return filepath.SkipDir
		case !strings.HasSuffix(file, "_test.go"):
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range parsed.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok || !strings.HasPrefix(f.Name.Name, "Test") || !startsGoroutines(f) {
				continue
			}
			found++
			if name := f.Name.Name; !detected.MatchString(name) && !oneOf(name, elsewhere) {
				t.Errorf("%s: %s has goroutines, but no name of the race detector's step matches it", file, name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found == 0 {
		t.Error("no test starts goroutines: this test looks in the wrong place")
	}
}

func oneOf(name string, list []string) bool {
	for _, one := range list {
		if one == name {
			return true
		}
	}
	return false
}

func startsGoroutines(f *ast.FuncDecl) (found bool) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found = true
		case *ast.CallExpr:
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "Go" {
				found = true
			}
		}
		return !found
	})
	return found
}
