package tongue

import (
	"embed"
	"encoding/json"
	"fmt"
	"path"
	"strings"
	"sync"
)

//go:embed *.json
var files embed.FS

// Writing is how a language writes what is no text.
type Writing struct {
	Decimal string    `json:"decimal"` // mark
	Group   string    `json:"group"`   // between thousands, from five digits on
	Day     string    `json:"day"`     // layouts as package time has them
	Time    string    `json:"time"`
	Quotes  [2]string `json:"quotes"` // around a name
	And     string    `json:"and"`
	Or      string    `json:"or"`
	Semi    string    `json:"semicolon"`
}

// catalogue is a file: a language with the translation of each format.
type catalogue struct {
	Writing  Writing           `json:"writing"`
	Messages map[string]string `json:"messages"`
}

// Tongue is a language that the interface's English can be said in. It may be used by
// several goroutines.
type Tongue struct {
	// Writing is how the language writes numbers and moments.
	Writing Writing

	whole    map[string]string // what has no values
	by       map[string][]*format
	wordless []*format
	tails    []*format // what goes on from another text: it begins with a mark
}

// In is the language of a code, such as "fr"; ok is false where there is none: English
// needs none.
func In(code string) (t *Tongue, ok bool) {
	t, ok = tongues()[code]
	return t, ok
}

// tongues are read once, when the first is asked for.
var tongues = sync.OnceValue(func() map[string]*Tongue {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic(fmt.Sprintf("tongue: embedded catalogues: %v", err))
	}
	all := map[string]*Tongue{}
	for _, entry := range entries {
		c, err := read(entry.Name())
		if err != nil {
			panic(fmt.Sprintf("tongue: embedded catalogue %s: %v", entry.Name(), err))
		}
		t, err := c.tongue()
		if err != nil {
			panic(fmt.Sprintf("tongue: embedded catalogue %s: %v", entry.Name(), err))
		}
		all[strings.TrimSuffix(entry.Name(), path.Ext(entry.Name()))] = t
	}
	return all
})

func read(name string) (c catalogue, err error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return c, fmt.Errorf("reading: %w", err)
	}
	if err := json.Unmarshal(data, &c); err != nil {
		return c, fmt.Errorf("JSON: %w", err)
	}
	return c, nil
}

// tongue compiles the formats. Each is found by the one of its words that the fewest
// have, so that a message is held against few of them.
func (c catalogue) tongue() (*Tongue, error) {
	t := &Tongue{Writing: c.Writing, whole: map[string]string{}, by: map[string][]*format{}}
	var formats []*format
	common := map[string]int{}
	for english, own := range c.Messages {
		f, err := compile(english, own)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", english, err)
		}
		if f.tail() {
			t.tails = append(t.tails, f)
		}
		if len(f.values) == 0 {
			t.whole[f.between[0]] = f.said[0].text
			continue
		}
		formats = append(formats, f)
		for word := range f.words() {
			common[word]++
		}
	}
	for _, f := range formats {
		rarest := ""
		for word := range f.words() {
			if rarest == "" || common[word] < common[rarest] || common[word] == common[rarest] && word < rarest {
				rarest = word
			}
		}
		if rarest == "" {
			t.wordless = append(t.wordless, f)
			continue
		}
		t.by[rarest] = append(t.by[rarest], f)
	}
	return t, nil
}
