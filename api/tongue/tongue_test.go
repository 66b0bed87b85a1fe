package tongue

import (
	"bytes"
	"encoding/json"
	"maps"
	"path"
	"strings"
	"testing"
	"time"
)

// catalogues are all files, as they are written.
func catalogues(t *testing.T) map[string]catalogue {
	t.Helper()
	entries, err := files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]catalogue{}
	for _, entry := range entries {
		c, err := read(entry.Name())
		if err != nil {
			t.Fatal(err)
		}
		all[strings.TrimSuffix(entry.Name(), path.Ext(entry.Name()))] = c
	}
	return all
}

// TestCatalogues reads every language: the same texts, each once, with all values.
func TestCatalogues(t *testing.T) {
	all := catalogues(t)
	if len(all) < 2 {
		t.Fatalf("languages: %v", maps.Keys(all))
	}
	for code, c := range all {
		if _, err := c.tongue(); err != nil {
			t.Errorf("%s: %v", code, err)
		}
		for other, d := range all {
			for english := range c.Messages {
				if _, ok := d.Messages[english]; !ok {
					t.Errorf("%s has %q and %s has not", code, english, other)
				}
			}
		}
		for english, own := range c.Messages {
			if strings.TrimSpace(own) == "" {
				t.Errorf("%s: nothing for %q", code, english)
			}
		}
		once(t, code)
	}
}

// once finds texts that a file has twice.
func once(t *testing.T, code string) {
	t.Helper()
	data, err := files.ReadFile(code + ".json")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for line := range bytes.Lines(data) {
		line = bytes.TrimSpace(line)
		if !bytes.HasPrefix(line, []byte(`"`)) {
			continue
		}
		var english string
		if err := json.NewDecoder(bytes.NewReader(line)).Decode(&english); err != nil {
			continue
		}
		if seen[english] {
			t.Errorf("%s: %q stands twice", code, english)
		}
		seen[english] = true
	}
}

// TestSay says finished messages in French and Spanish.
func TestSay(t *testing.T) {
	for _, c := range []struct{ name, english, fr, es string }{
		{"no value", "say who decided", "indiquez qui a décidé", "diga quién decidió"},
		{"empty", "", "", ""},
		{"numbers", "there must be one value for each of the 3 wines, not 2", "il faut une valeur pour chacun des 3 vins, pas 2", "debe haber un valor para cada uno de los 3 vinos, no 2"},
		{"a decimal", "The addition, 0.05 mL, is below half a graduation of 0.2 mL and cannot be measured: take a finer measure, or make more at once.",
			"L’ajout, 0,05\u00a0mL, fait moins d’une demi-graduation de 0,2\u00a0mL et ne peut pas se mesurer\u202f: prenez une mesure plus fine, ou faites-en davantage à la fois.",
			"La adición, 0,05\u00a0mL, es menos de media división de 0,2\u00a0mL y no puede medirse: tome una medida más fina o haga más de una vez."},
		{"thousands and a power of ten", "the file has 3e+06 bytes; at most 20000 are read: split it", "le fichier a 3\u202f000\u202f000 octets\u202f; on en lit au plus 20\u202f000\u202f: divisez-le", "el archivo tiene 3\u202f000\u202f000 bytes; se leen 20\u202f000 como máximo: divídalo"},
		{"a word of the interface in quotation marks", `a sample of the stage "beginning" is taken from bottles, and the lot is bottled at 2026-03-12T00:00:00.000000Z: give the right time, or leave out the stage`,
			"un échantillon de ce stade (début de la mise) est pris sur des bouteilles, et le lot est mis en bouteille le 12/03/2026\u202f: donnez la bonne heure, ou omettez le stade",
			"una muestra de esta fase (principio del embotellado) se toma de botellas, y el lote se embotella el 12/03/2026: dé la hora correcta u omita la fase"},
		{"a negative power of ten", "the volume must be above 0 and at most 6e-06 L", "le volume doit être supérieur à 0 et d’au plus 0,000006\u00a0L", "el volumen debe ser mayor que 0 y de 0,000006\u00a0L como máximo"},
		{"signs of quantities", "The newest sample (middle) is outside the specification: delta_e_00 7.14, L 92.41.",
			"Le dernier échantillon (milieu de la mise) n’est pas conforme\u202f: ΔE00 7,14, L* 92,41.", "La muestra más reciente (mitad del embotellado) no es conforme: ΔE00 7,14, L* 92,41."},
		{"a fault of a request", "/state/so2 unknown field \"so2\"; known here: filtered, co2_mg_per_l", "/state/so2 champ inconnu «\u202fso2\u202f»\u202f; connus ici\u202f: filtered, co2_mg_per_l", "/state/so2 campo desconocido «so2»; aquí se conocen: filtered, co2_mg_per_l"},
		{"values that are texts, in another order", "Not all rungs lie on the graduation of the 10 mL class B graduated pipette (0.1 mL): they are rounded to it.",
			"Certains échelons ne tombent pas sur la graduation de l’outil (pipette graduée de 10\u00a0mL, classe B, 0,1\u00a0mL)\u202f: ils y sont arrondis.",
			"No todos los peldaños caen en la división del utensilio (pipeta graduada de 10\u00a0mL, clase B, 0,1\u00a0mL): se redondean a ella."},
		{"a list of texts that have commas", "The nearest blend misses the target by ΔE00 2.1: it is too pale and not red enough. A third wine would be needed, one that is deeper in colour; and redder, such as a younger or deeper red.",
			"L’assemblage le plus proche est à ΔE00\u00a02,1 de la cible\u202f: il est trop pâle et trop peu rouge. Il faudrait un troisième vin, plus coloré\u202f; et plus rouge, par exemple un rouge plus jeune ou plus soutenu.",
			"La mezcla más próxima queda a ΔE00\u00a02,1 del objetivo: es demasiado pálida y demasiado poco roja. Haría falta un tercer vino, de color más intenso; y más rojo, como un tinto más joven o más intenso."},
		{"a list of names", `one of "readings", "spectrum" or "cielab" is missing`, "il manque l’un de «\u202freadings\u202f», «\u202fspectrum\u202f» ou «\u202fcielab\u202f»", "falta uno de «readings», «spectrum» o «cielab»"},
		{"names in brackets", `a lot is read by one of ["readings" "scan"]`, "un lot se mesure d’une de ces façons\u202f: «\u202freadings\u202f», «\u202fscan\u202f»", "un lote se mide de una de estas formas: «readings», «scan»"},
		{"several sentences", "The stock of base is 2.5 L short: 10 L needed, 7.5 L on hand. The most that can be made at this dose is 8 L of blend, limited by the base: 7.5 L of base and 0.5 L of the addition, enough for 10 bottles of 750 mL.",
			"Il manque 2,5\u00a0L de base en stock\u202f: il en faut 10\u00a0L, il y en a 7,5\u00a0L. À cette dose, on peut faire au plus 8\u00a0L d’assemblage, ce que limite la base\u202f: 7,5\u00a0L de base et 0,5\u00a0L d’ajout, de quoi remplir 10 bouteilles de 750\u00a0mL.",
			"Faltan 2,5\u00a0L de base en existencias: se necesitan 10\u00a0L y hay 7,5\u00a0L. Con esta dosis se pueden hacer como máximo 8\u00a0L de mezcla, por lo que limita la base: 7,5\u00a0L de base y 0,5\u00a0L de adición, suficiente para 10 botellas de 750\u00a0mL."},
		{"a text that goes on", "absorbances at 420, 520, 620, 460 nm, 10 mm cell, diluted 2.5-fold, in one session with the target",
			"absorbances à 420, 520, 620, 460\u00a0nm, cuvette de 10\u00a0mm, dilué 2,5 fois, dans une même séance que la cible", "absorbancias a 420, 520, 620, 460\u00a0nm, cubeta de 10\u00a0mm, diluido 2,5 veces, en una misma sesión que el objetivo"},
		{"a value of several texts", "2 mL is stated as the total of glass B, but the pours add up to 3 mL. It is the last pour alone: were the earlier ones left out? Or: It is ten times the sum of the pours: is a decimal point misplaced? The pour is kept, and the dose is computed from the log.",
			"2\u00a0mL sont indiqués comme total du verre B, mais la somme des ajouts est de 3\u00a0mL. C’est le dernier ajout seul\u202f: les précédents ont-ils été oubliés\u202f? Ou bien\u202f: C’est dix fois la somme des ajouts\u202f: une virgule est-elle mal placée\u202f?\u00a0L’ajout est conservé, et la dose est calculée d’après le journal.",
			"Se indican 2\u00a0mL como total de la copa B, pero las adiciones suman 3\u00a0mL. Es solo la última adición: ¿se omitieron las anteriores? O bien: Es diez veces la suma de las adiciones: ¿está mal puesta una coma decimal? La adición se conserva, y la dosis se calcula a partir del diario."},
		{"a name at the end of a question", "3 mL is stated as the total of glass B, but the pours add up to 6 mL. It is what glass E would have with this pour of 3 mL: was it poured into glass E? Or: It is the last pour alone: were the earlier ones left out? The pour is kept, and the dose is computed from the log.",
			"3\u00a0mL sont indiqués comme total du verre B, mais la somme des ajouts est de 6\u00a0mL. C’est ce qu’aurait le verre E avec cet ajout de 3\u00a0mL\u202f: a-t-il été versé dans le verre E\u202f? Ou bien\u202f: C’est le dernier ajout seul\u202f: les précédents ont-ils été oubliés\u202f?\u00a0L’ajout est conservé, et la dose est calculée d’après le journal.",
			"Se indican 3\u00a0mL como total de la copa B, pero las adiciones suman 6\u00a0mL. Es lo que tendría la copa E con esta adición de 3\u00a0mL: ¿se vertió en la copa E? O bien: Es solo la última adición: ¿se omitieron las anteriores? La adición se conserva, y la dosis se calcula a partir del diario."},
		{"a trend of lots", "6 lots in a row are each higher than the one before: something is changing slowly.",
			"6 lots de suite sont chacun au-dessus du précédent\u202f: quelque chose change lentement.", "6 lotes seguidos están cada uno por encima del anterior: algo está cambiando despacio."},
		{"a day and a time", "it would begin at 2026-12-01T00:00:00.000000Z, and version 2 begins at 2026-12-01T08:30:00.000000Z: a version begins after the one before it",
			"elle commencerait le 01/12/2026, et la version 2 commence le 01/12/2026 08:30 UTC\u202f: une version commence après la précédente", "empezaría el 01/12/2026, y la versión 2 empieza el 01/12/2026 08:30 UTC: una versión empieza después de la anterior"},
		{"a name that is a known word", "C is the reference, which gets no addition: give the glass another label", "C est la référence, qui ne reçoit pas d’ajout\u202f: donnez une autre étiquette au verre", "C es la referencia, que no recibe adición: dé otra etiqueta a la copa"},
		{"a place", "row 3, column B", "ligne 3, colonne B", "fila 3, columna B"},
		{"a place in a sheet", "sheet Lab 2, row 3, A520", "feuille Lab 2, ligne 3, A520", "hoja Lab 2, fila 3, A520"},
		{"what the schema finds", "expected number > 0", "un nombre supérieur à 0 est attendu", "se espera un número mayor que 0"},
		{"what the schema finds, of another kind", "expected number, not string", "un nombre est attendu, pas un texte", "se espera un número, no un texto"},
		{"the more specific of two", "at 520 nm read 0.512, certified 0.5, limit ±0.01", "à 520\u00a0nm\u202f: mesuré 0,512, certifié 0,5, limite ±0,01", "a 520\u00a0nm: medido 0,512, certificado 0,5, límite ±0,01"},
		{"a panel without a name", "Glass B is being judged in a panel (opened 2026-03-12 09:30 UTC) at the dose that it held when that was opened. The entry is kept and changes nothing of the panel: judge no more of this glass from now on, or close the panel and open another.",
			"Le verre B est jugé par un jury (ouvert le 12/03/2026 09:30 UTC) à la dose qu’il avait à l’ouverture de celui-ci. L’entrée est conservée et ne change rien à ce jury\u202f: ne faites plus juger ce verre désormais, ou clôturez ce jury et ouvrez-en un autre.",
			"La copa B se está juzgando en un panel (abierto el 12/03/2026 09:30 UTC) con la dosis que tenía cuando este se abrió. La anotación se conserva y no cambia nada del panel: no haga juzgar más esta copa a partir de ahora, o cierre el panel y abra otro."},
		{"a number with its words", "2 glasses are missing: nothing is said of 412, 938. Every glass needs an answer", "il manque 2 verres\u202f: rien n’est dit de 412, 938. Chaque verre demande une réponse", "faltan 2 copas: no se dice nada de 412, 938. Cada copa necesita una respuesta"},
		{"what stands of a glass", "what stands of glass 412: rank 3", "ce qui fait foi pour le verre 412\u202f: rang 3", "lo que vale de la copa 412: puesto 3"},
		{"a curve that misses", "The curve along the dose gives the glass with 5.50 mL per 100 mL of base a share outside the interval of what the judges said of it: go by the glass that is put first, not by the top of the curve.",
			"La courbe selon la dose donne au verre à 5,50\u00a0mL pour 100\u00a0mL de base une part hors de l’intervalle de ce que les juges en ont dit\u202f: fiez-vous au verre placé en tête, pas au sommet de la courbe.", "La curva según la dosis da a la copa con 5,50\u00a0mL por 100\u00a0mL de base una proporción fuera del intervalo de lo que dijeron de ella los jueces: guíese por la copa puesta primero, no por el máximo de la curva."},
		{"an end of the doses", "The interval of the preferred dose reaches the lowest and the highest dose that was judged: what lies beyond was not asked.",
			"L’intervalle de la dose préférée atteint la plus faible et la plus forte des doses jugées\u202f: au-delà, on ne sait rien.", "El intervalo de la dosis preferida llega a la más baja y a la más alta de las dosis juzgadas: más allá no se sabe nada."},
	} {
		for code, want := range map[string]string{"fr": c.fr, "es": c.es} {
			tongue, ok := In(code)
			if !ok {
				t.Fatal(code)
			}
			if got, ok := tongue.Say(c.english); !ok || got != want {
				t.Errorf("%s, %s: %v\n got %q\nwant %q", c.name, code, ok, got, want)
			}
		}
	}
}

// TestUnknown keeps what is not known, and names that only look like texts.
func TestUnknown(t *testing.T) {
	tongue, _ := In("fr")
	for _, english := range []string{
		"Lorem ipsum dolor sit amet.", "Tank 7", "Château 12.5", "say who decided twice", "Grenache, north slope", "wine of the hill 10 mL", "5 mL Cuvée",
		"say who decided. Lorem ipsum.",
	} {
		if got, ok := tongue.Say(english); ok {
			t.Errorf("%q became %q", english, got)
		}
	}
	if _, ok := In("en"); ok {
		t.Error("English needs no tongue")
	}
}

// TestLongTexts are said or not, soon.
func TestLongTexts(t *testing.T) {
	tongue, _ := In("es")
	for _, english := range []string{
		strings.Repeat("a, and b; or c. ", 2000), strings.Repeat("sheet , row ", 2000), "sample " + strings.Repeat(" cannot be judged by this specification: ", 500), strings.Repeat("row 1, ", 3000),
		strings.Repeat(", ", 20000), strings.Repeat("1 ", 20000),
	} {
		begun := time.Now()
		tongue.Say(english)
		if took := time.Since(begun); took > 2*time.Second {
			t.Errorf("%.30q…: %v", english, took)
		}
	}
}

// BenchmarkSay says a short and a long message, and one that is not known.
func BenchmarkSay(b *testing.B) {
	tongue, _ := In("fr")
	for name, english := range map[string]string{
		"short":   "expected number > 0",
		"long":    "The reading of glass B at 6 mL per 100 mL of base (entry 4) fits no plausible path of this base and addition together with the other readings. It would fit glass C (8 mL per 100 mL): was it the right glass? It is kept and the ladder is recalibrated to it; if it was a slip, undo entry 4 and record it again.",
		"unknown": "Lorem ipsum of the base and the wine is not a message of this program. It has two sentences, and a list.",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				tongue.Say(english)
			}
		})
	}
}
