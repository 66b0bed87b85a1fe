package pages

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"

	"pourpath/api/calc"
)

// paste is a request to this service as a line for a shell.
type paste struct {
	Key, Path, Command string
}

// pastes are three requests that work as they stand: those behind the page, or
// the interface's examples while the page is empty.
func pastes(host string, c *choice) ([]paste, error) {
	colour, ladder, scale := any(json.RawMessage(calc.ExampleColour)), any(json.RawMessage(calc.ExampleLadder)), any(json.RawMessage(calc.ExampleScale))
	if c.request != nil {
		colour, ladder = map[string]any{"wine": c.root["base"]}, c.root
		if dose := c.dosed[0].dose; dose > 0 {
			scale = map[string]any{"dose_ml_per_100ml": dose, "base_l": 1000}
		}
	}
	var out []paste
	for _, p := range []struct {
		key, path string
		request   any
	}{{"colour", "/v1/colour", colour}, {"ladder", "/v1/ladder", ladder}, {"scale", "/v1/scale", scale}} {
		command, err := curl(url.URL{Scheme: "http", Host: host, Path: p.path}, p.request)
		if err != nil {
			return nil, err
		}
		out = append(out, paste{Key: p.key, Path: p.path, Command: command})
	}
	return out, nil
}

// curl writes a request for a POSIX shell.
func curl(to url.URL, request any) (string, error) {
	var body bytes.Buffer
	e := json.NewEncoder(&body)
	e.SetEscapeHTML(false)
	if err := e.Encode(request); err != nil {
		return "", fmt.Errorf("pages: request to paste: %w", err)
	}
	return fmt.Sprintf("curl %s -H 'Content-Type: application/json' -d %s", quoted(to.String()), quoted(strings.TrimSpace(body.String()))), nil
}

// quoted is one word of a POSIX shell, whatever is in it.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }
