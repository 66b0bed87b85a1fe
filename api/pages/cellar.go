package pages

import (
	"encoding/json"
	"fmt"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// cellar holds the invented wines in the words of the interface's requests, and
// the example of readings that are one's own.
type cellar struct {
	Bases    []shelved         `json:"bases"`
	Reds     []shelved         `json:"reds"`
	Targets  []wanted          `json:"targets"`
	Measured []tasted          `json:"measured"`
	Example  map[string]string `json:"example"`
}

// shelved is a wine under the name that an address uses, with what the records
// say of it beside.
type shelved struct {
	ID   string    `json:"id"`
	Wine calc.Wine `json:"wine"`
	Kept kept      `json:"kept"`
}

// kept is what the records of a wine hold beside its name and reading.
type kept struct {
	record.WineFields
	record.Circumstances
	Earlier []record.ReadingBody `json:"earlier"` // from the oldest on
}

// wanted is a target under the name that an address uses. Where it is a wine,
// that is kept too.
type wanted struct {
	ID     string      `json:"id"`
	Name   string      `json:"name"`
	Target calc.Target `json:"target"`
	Kept   kept        `json:"kept"`
}

// tastedBaseML is the base that tasted rungs were poured into, in mL.
const tastedBaseML = 100

// tasted are rungs of one pair that were poured into tastedBaseML and read.
type tasted struct {
	Base  string          `json:"base"`
	Red   string          `json:"red"`
	Rungs []calc.Measured `json:"rungs"`
	Kept  kept            `json:"kept"` // of each rung
}

func readCellar() (*cellar, error) {
	data, err := files.ReadFile("cellar/cellar.json")
	if err != nil {
		return nil, fmt.Errorf("pages: cellar: %w", err)
	}
	var c cellar
	if err := json.Unmarshal(data, &c); err != nil {
		return nil, fmt.Errorf("pages: cellar: %w", err)
	}
	return &c, nil
}
