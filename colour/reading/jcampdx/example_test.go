package jcampdx_test

import (
	"fmt"
	"strings"

	"pourpath/colour/reading/jcampdx"
)

// Two blocks, one of which is of no use: the good one is kept, and the other
// says why it is not.
func ExampleParse() {
	const text = `##TITLE= rosé, tank 3
##JCAMP-DX= 4.24
##DATA TYPE= UV/VIS SPECTRUM
##PATHLENGTH= 10 mm
##XUNITS= NANOMETERS
##YUNITS= ABSORBANCE
##XFACTOR= 1
##YFACTOR= 0.001
##FIRSTX= 420
##LASTX= 620
##NPOINTS= 3
##XYDATA= (X++(Y..Y))
420A20N0j40
620C0
##END=
##TITLE= filter paper
##JCAMP-DX= 4.24
##DATA TYPE= UV/VIS SPECTRUM
##XUNITS= NANOMETERS
##YUNITS= REFLECTANCE
##NPOINTS= 1
##XYPOINTS= (XY..XY)
520 0.8
##END=
`
	blocks, err := jcampdx.Parse(strings.NewReader(text))
	if err != nil {
		fmt.Println(err)
	}
	for _, b := range blocks {
		if err := b.Faults.Err(); err != nil {
			fmt.Println("rejected:", err)
			continue
		}
		fmt.Println("accepted:", b.Title, b.PathMM, "mm", b.Quantity, b.NM, b.Ordinates)
	}
	// Output:
	// accepted: rosé, tank 3 10 mm absorbance [420 520 620] [0.12 0.17 0.03]
	// rejected: jcampdx: line 20 ("filter paper"): ##YUNITS= is "REFLECTANCE": ABSORBANCE and TRANSMITTANCE are read, since reflected light says nothing about the absorbance of a wine in its cell
}
