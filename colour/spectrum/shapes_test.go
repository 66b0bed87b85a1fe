package spectrum

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
)

var update = flag.Bool("update", false, "write shapes.csv anew from testdata/wine")

// smoothed takes the noise of single wavelengths out of a shape (weights 1/4,
// 1/2, 1/4) and scales it to 1 at nm.
func smoothed(c cie.Curve, nm float64) cie.Curve {
	var s cie.Curve
	for i := range s {
		s[i] = (c[max(i-1, 0)] + 2*c[i] + c[min(i+1, cie.Points-1)]) / 4
	}
	return s.Times(1 / s[cie.Index(nm)])
}

func bell(nm, centre, width float64) float64 {
	d := (nm - centre) / width
	return math.Exp(-0.5 * d * d)
}

// neatKinds are the ways in which the spectrum of a neat red at wine pH departs
// from that of the same wine in acid: copigmentation shifts the band to longer
// wavelengths, quinonoidal bases raise a shoulder near 600 nm, polymeric pigment
// is broad. The amounts are drawn so that A620/A520 falls where 45 published
// reds have it (0.09-0.37, testdata/wine/ribera_toro_red.csv). Synthetic.
var neatKinds = []string{"shifted", "shouldered", "broad"}

// neatShapes makes n synthetic spectra of neat reds of one kind.
func neatShapes(kind string, n int, random *rand.Rand, acid []cie.Curve) []cie.Curve {
	between := func(a, b float64) float64 { return a + (b-a)*random.Float64() }
	var out []cie.Curve
	for len(out) < n {
		z := acid[random.IntN(len(acid))]
		tau, yellow := between(50, 75), between(0, 0.25)
		shift, centre, width, height := 0.0, 600.0, 35.0, 0.0
		switch kind {
		case "shifted":
			shift, height = between(4, 16), between(0, 0.08)
		case "shouldered":
			shift, height, centre, width = between(0, 6), between(0.06, 0.25), between(585, 615), between(18, 32)
		case "broad":
			shift, height, centre, width = between(0, 6), between(0.12, 0.45), between(500, 560), between(65, 95)
		}
		var s cie.Curve
		for i := range s {
			nm := cie.Wavelength(i)
			row := sampling(math.Max(nm-shift, cie.FirstNM))
			s[i] = row.Dot(&z) + yellow*math.Exp(-(nm-420)/tau) + height*bell(nm, centre, width)
		}
		s = s.Times(1 / s[cie.Index(520)])
		blue, yellowRatio := s[cie.Index(620)], s[cie.Index(420)]
		if blue >= 0.11 && blue <= 0.40 && yellowRatio > 0.4 && yellowRatio < 1.1 {
			out = append(out, s)
		}
	}
	return out
}

const familyComponents = 8

// familyOf describes shapes by their mean, the leading components of their
// spread and what is left; spread is widened by inflate, as the wines to come
// differ more than the ones at hand.
func familyOf(name string, shapes []cie.Curve, inflate float64, more ...cie.Curve) family {
	f := family{name: name}
	for _, s := range shapes {
		for i := range f.mean {
			f.mean[i] += s[i] / float64(len(shapes))
		}
	}
	var cov covariance
	for _, s := range shapes {
		for i := range s {
			for j := range s {
				cov[i][j] += inflate * (s[i] - f.mean[i]) * (s[j] - f.mean[j]) / float64(len(shapes)-1)
			}
		}
	}
	for _, m := range more {
		for i := range m {
			for j := range m {
				cov[i][j] += m[i] * m[j]
			}
		}
	}
	f.fill(&cov)
	return f
}

func (f *family) fill(cov *covariance) {
	sym := mat.NewSymDense(cie.Points, nil)
	for i := range cov {
		for j := i; j < cie.Points; j++ {
			sym.SetSym(i, j, cov[i][j])
		}
		f.rest[i] = cov[i][i]
	}
	var eig mat.EigenSym
	eig.Factorize(sym, true)
	values := eig.Values(nil)
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	for k := cie.Points - 1; k >= cie.Points-familyComponents; k-- {
		var c cie.Curve
		var sum float64
		for i := range c {
			c[i] = math.Sqrt(math.Max(values[k], 0)) * vectors.At(i, k)
			sum += c[i]
		}
		if sum < 0 {
			c = c.Times(-1)
		}
		for i := range c {
			f.rest[i] -= c[i] * c[i]
		}
		f.components = append(f.components, c)
	}
	for i := range f.rest {
		f.rest[i] = math.Max(f.rest[i], 1e-6)
	}
}

// priorFrom learns the families from spectra of reds and whites.
func priorFrom(reds, whites []cie.Curve) *prior {
	random := rand.New(rand.NewPCG(1, 2))
	acid := make([]cie.Curve, len(reds))
	for i := range reds {
		acid[i] = smoothed(reds[i], 520)
	}
	white := make([]cie.Curve, len(whites))
	for i := range whites {
		white[i] = smoothed(whites[i], 420)
	}
	const inflate = 1.1
	families := []family{familyOf("acid", acid, inflate)}
	pool := append([]cie.Curve(nil), acid...)
	for _, kind := range neatKinds {
		shapes := neatShapes(kind, 600, random, acid)
		families = append(families, familyOf(kind, shapes, inflate))
		pool = append(pool, shapes[:len(acid)]...)
	}
	families = append(families, familyOf("other", pool, 2.5, ripples()...))
	p := &prior{}
	for i, f := range families {
		if f.name != redWeights[i].name {
			panic("families out of order")
		}
		p.reds = append(p.reds, weighted{f, redWeights[i].weight})
	}
	// 15 wines of one variety do not span the whites: a further spread of the
	// exponential's steepness (60 nm, by a quarter) and of the baseline.
	var steep, base cie.Curve
	for i := range steep {
		x := cie.Wavelength(i) - 420
		steep[i] = 0.25 * (x / 60) * math.Exp(-x/60)
		base[i] = 0.02
	}
	p.white = familyOf("white", white, 1.5, steep, base)
	return p
}

// ripples are smooth departures from any family, a tenth of A520 about 40 nm
// wide, so that an unheard-of wine is met with doubt rather than with certainty.
func ripples() []cie.Curve {
	var out []cie.Curve
	for centre := 380.0; centre <= 780; centre += 20 {
		var c cie.Curve
		for i := range c {
			nm := cie.Wavelength(i)
			c[i] = 0.06 * bell(nm, centre, 25) * (0.15 + bell(nm, 500, 90))
		}
		out = append(out, c)
	}
	return out
}

func (p *prior) table() []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "# Shapes of wine absorbance spectra: for each family the mean, the leading components of the spread (one standard deviation each) and the variance left over.")
	fmt.Fprintln(&b, "# Whites are scaled to 1 at 420 nm, reds at 520 nm. Derived by TestShapesTable from testdata/wine/red_spectra.csv and white_spectra.csv (sources there);")
	fmt.Fprintln(&b, "# the families shifted, shouldered, broad and other are synthetic departures from the acid ones.")
	fmt.Fprint(&b, "family,row")
	for i := range cie.Points {
		fmt.Fprintf(&b, ",%g", cie.FirstNM+cie.StepNM*float64(i))
	}
	fmt.Fprintln(&b)
	write := func(name, row string, c *cie.Curve) {
		fmt.Fprintf(&b, "%s,%s", name, row)
		for _, x := range c {
			fmt.Fprintf(&b, ",%.4g", x)
		}
		fmt.Fprintln(&b)
	}
	all := []family{p.white}
	for _, f := range p.reds {
		all = append(all, f.family)
	}
	for _, f := range all {
		write(f.name, "mean", &f.mean)
		for k := range f.components {
			write(f.name, strconv.Itoa(k+1), &f.components[k])
		}
		write(f.name, "rest", &f.rest)
	}
	return b.Bytes()
}

// TestShapesTable proves that the embedded table follows from the published
// spectra: its figures agree to the digits printed, component by component.
func TestShapesTable(t *testing.T) {
	fresh := priorFrom(colourtest.Spectra[cie.Curve](t, "wine/red_spectra.csv"), colourtest.Spectra[cie.Curve](t, "wine/white_spectra.csv"))
	if *update {
		if err := os.WriteFile("shapes.csv", fresh.table(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := parsePrior(string(fresh.table()))
	if err != nil {
		t.Fatal(err)
	}
	got := wines()
	compare := func(f, g *family) {
		for i := range f.mean {
			if math.Abs(f.mean[i]-g.mean[i]) > 1e-3 {
				t.Errorf("%s mean at %d: table has %g, spectra give %g", f.name, i, g.mean[i], f.mean[i])
			}
			for j := range f.mean {
				var a, b float64
				for k := range f.components {
					a += f.components[k][i] * f.components[k][j]
					b += g.components[k][i] * g.components[k][j]
				}
				if math.Abs(a-b) > 1e-4 {
					t.Fatalf("%s covariance at %d, %d: table has %g, spectra give %g", f.name, i, j, b, a)
				}
			}
		}
	}
	compare(&want.white, &got.white)
	for i := range want.reds {
		compare(&want.reds[i].family, &got.reds[i].family)
	}
}
