package api

import (
	"database/sql"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

// TestDamagedStatementListed: a statement that is not what was issued is listed with what
// is wrong in its place, and hides none of the others.
func TestDamagedStatementListed(t *testing.T) {
	dir, address := storetest.Place(t)
	records, err := store.Open(t.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	})
	service := newTestService(t, func(c *Config) { c.Records = records })
	r := recorder{t: t, service: service, document: served(t, service)}
	spec := r.add("/v1/specs", `{"limits": {"intensity": [0.2, 0.5]}}`)
	lot := "/v1/lots/" + text(r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q}`, spec["id"]))["id"])
	r.add(lot+"/samples", readings(0.2, 0.2, 0.05, ""))
	for range 3 {
		r.add(lot+"/statements", exampleStatement)
	}
	tamper(t, dir, address, "UPDATE statement SET content = '{\"no\": 2, \"verdict\"' WHERE statement_no = 2")

	for _, path := range []string{"/v1/statements", lot + "/statements", "/v1/statements?limit=2"} {
		list := r.get(path)
		items, _ := list["items"].([]any)
		for i, item := range items {
			one, _ := item.(map[string]any)
			if one["no"] != float64(i+1) {
				t.Errorf("%s: item %d is %v", path, i, one["no"])
			}
			if damaged := one["problem"] != nil; damaged != (i == 1) || damaged != (one["content"] == nil) {
				t.Errorf("%s: item %d is %v", path, i, one)
			}
		}
		if want := 3; len(items) != want && !strings.HasSuffix(path, "limit=2") {
			t.Fatalf("%s: %d items", path, len(items))
		}
		if at(t, list, "items/1/problem/type") != "/problems/damaged" || !strings.Contains(text(at(t, list, "items/1/problem/detail")), "statement 2: its SHA-256 does not fit") {
			t.Errorf("%s: %v", path, at(t, list, "items/1/problem"))
		}
	}
	r.ask(http.StatusInternalServerError, call{method: "GET", path: "/v1/statements/2"})
	if got := r.get("/v1/statements/3"); got["no"] != 3.0 {
		t.Errorf("one beside it: %v", got)
	}
}

// tamper changes what a database keeps, behind the program's back.
func tamper(t *testing.T, dir, address, statement string) {
	t.Helper()
	driver, of, on := "sqlite", filepath.Join(dir, "records.sqlite"), ""
	if address != "" {
		driver, of, on = "pgx", address, " ON statement"
	}
	db, err := sql.Open(driver, of)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range []string{"DROP TRIGGER statement_is_kept" + on, statement} {
		if _, err := db.ExecContext(t.Context(), one); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}
