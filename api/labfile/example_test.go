package labfile_test

import (
	"fmt"
	"strings"

	"pourpath/api/labfile"
)

func ExampleOpen() {
	const file = "Instrument;UV-1\n" +
		"\n" +
		"Nom du vin;A420;A520;A620;Trajet (cm)\n" +
		"Brume;0,302;0,404;0,101;0,5\n" +
		"Fonte;7,1;1,5;0,3;0,1\n"
	f, err := labfile.Open(strings.NewReader(file), int64(len(file)), "export.csv", labfile.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer f.Close() //nolint:errcheck // nothing was written
	fmt.Println(f.Format()+",", f.Layout())
	for e, err := range f.Entries() {
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, fault := range e.Faults {
			fmt.Printf("%s: %s (%v)\n", fault.Location, fault.Message, fault.Value)
		}
		if e.Readings != nil {
			fmt.Printf("%s: %s, A520 %g in %g mm\n", e.Place, e.Wine.Name, e.Readings.A520, *e.Readings.PathMM)
		}
	}
	// Output:
	// csv, one wine a row
	// row 4: Brume, A520 0.404 in 5 mm
	// row 5, A420: an absorbance above 6 in the cell is saturated, not measured: use a shorter cell (1 mm for a red) or dilute (7,1)
}
