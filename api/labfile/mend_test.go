package labfile_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

func to(row int, column, value string) record.Correction {
	return record.Correction{Row: row, Column: column, To: &value}
}

func out(row int) record.Correction { return record.Correction{Row: row, LeaveOut: true} }

// readText reads all of a text with corrections: what each entry is called with its
// A420, or its first fault, and what was corrected.
func readText(t *testing.T, text string, o labfile.Options) (entries, made []string, err error) {
	t.Helper()
	f, err := labfile.Open(strings.NewReader(text), int64(len(text)), "log.csv", o)
	if err != nil {
		return nil, nil, err
	}
	defer func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}()
	for e, err := range f.Entries() {
		switch {
		case err != nil:
			return nil, nil, err
		case len(e.Faults) > 0:
			entries = append(entries, e.Wine.Name+": "+e.Faults[0].Location)
		case e.Readings != nil:
			entries = append(entries, e.Wine.Name+" "+number(e.Readings.A420))
		default:
			entries = append(entries, e.Wine.Name+" "+number(e.Spectrum.Absorbance[0]))
		}
	}
	for _, c := range f.Corrections() {
		if c.LeaveOut {
			made = append(made, "out: "+*c.From)
		} else {
			made = append(made, c.Column+": "+*c.From+" > "+*c.To)
		}
	}
	return entries, made, nil
}

func TestCorrections(t *testing.T) {
	t.Parallel()
	const commas = "Log\nname;A420;A520;A620;Rest;Rest\nTank 1;0,1x;0,2;0,3;\nTank 2;0,2;0,2;0,3;\nTank 3;0,3;0,2;0,3\n"
	const long = "name,nm,absorbance\nTank 1,420,0.1\nTank 1,520,O.2\nTank 1,620,0.3\n"
	scan := "nm,Tank 1,Tank 2\n420,0.1,0.2\n520,0.1,0.2?\n620,0.1,0.2\n"
	from := func(c record.Correction, held string) record.Correction { c.From = &held; return c }
	for _, c := range []struct {
		name, text  string
		corrections []record.Correction
		entries     []string
		made        []string
		fault       string
	}{
		{name: "either decimal sign", text: commas, corrections: []record.Correction{to(3, "A420", "0.15"), to(4, "A420", "0,25")},
			entries: []string{"Tank 1 0.15", "Tank 2 0.25", "Tank 3 0.3"}, made: []string{"A420: 0,1x > 0.15", "A420: 0,2 > 0,25"}},
		{name: "what the file holds changes nothing", text: commas, corrections: []record.Correction{to(4, "A420", "0,2")},
			entries: []string{"Tank 1: row 3, A420", "Tank 2 0.2", "Tank 3 0.3"}},
		{name: "a point in a name stays", text: commas, corrections: []record.Correction{to(4, "name", "Tank 2.5")},
			entries: []string{"Tank 1: row 3, A420", "Tank 2.5 0.2", "Tank 3 0.3"}, made: []string{"name: Tank 2 > Tank 2.5"}},
		{name: "a row is left out", text: commas, corrections: []record.Correction{out(3)},
			entries: []string{"Tank 2 0.2", "Tank 3 0.3"}, made: []string{"out: Tank 1 | 0,1x | 0,2 | 0,3 | "}},
		{name: "a cell that the row is too short for", text: commas, corrections: []record.Correction{to(5, "column E", "9")},
			entries: []string{"Tank 1: row 3, A420", "Tank 2 0.2", "Tank 3 0.3"}, made: []string{"column E:  > 9"}},
		{name: "a cell that was looked at", text: commas, corrections: []record.Correction{from(to(3, "A420", "0.1"), " 0,1x")},
			entries: []string{"Tank 1 0.1", "Tank 2 0.2", "Tank 3 0.3"}, made: []string{"A420: 0,1x > 0.1"}},
		{name: "one reading a row", text: long, corrections: []record.Correction{to(3, "absorbance", "0.2")},
			entries: []string{"Tank 1 0.1"}, made: []string{"absorbance: O.2 > 0.2"}},
		{name: "a header that is another column's letter", text: "Column B;name;A420;A520;A620\nx;Tank 1;0,1;0,2;0,3\n", corrections: []record.Correction{to(2, "column A", "y")},
			entries: []string{"Tank 1 0.1"}, made: []string{"column A: x > y"}},
		{name: "scans in columns", text: scan, corrections: []record.Correction{to(3, "Tank 2", "0.2")},
			entries: []string{"Tank 1 0.1", "Tank 2 0.2"}, made: []string{"Tank 2: 0.2? > 0.2"}},

		{name: "no such row", text: commas, corrections: []record.Correction{to(70, "A420", "0.1")}, fault: "/corrections/0 the table has no row 70"},
		{name: "no such column", text: commas, corrections: []record.Correction{out(3), to(4, "A460", "0.1")}, fault: `/corrections/1 the table has no column "A460"; its columns are name, A420, A520, A620, column E, column F`},
		{name: "two columns of the name", text: commas, corrections: []record.Correction{to(4, "Rest", "0.1")}, fault: "/corrections/0 the columns E and F have this header"},
		{name: "the headers", text: commas, corrections: []record.Correction{to(2, "A420", "0.1")}, fault: "/corrections/0 row 2 is the row of headers or above it"},
		{name: "other than was looked at", text: commas, corrections: []record.Correction{from(to(4, "A420", "0.1"), "0,9")}, fault: `/corrections/0 this cell holds "0,2"`},
		{name: "twice", text: commas, corrections: []record.Correction{to(4, "A420", "0.1"), to(4, "A420", "0.2")}, fault: "/corrections/1 this cell is corrected twice"},
		{name: "no value", text: commas, corrections: []record.Correction{{Row: 4, Column: "A420"}}, fault: `/corrections/0 say with "to"`},
		{name: "out with a value", text: commas, corrections: []record.Correction{{Row: 4, Column: "A420", LeaveOut: true}}, fault: "/corrections/0 a row that is left out has no column"},
		{name: "too many", text: commas, corrections: make([]record.Correction, 1001), fault: "/corrections there are 1001 corrections"},
		{name: "no table", text: "##TITLE=x\n##JCAMP-DX=4.24\n##END=\n", corrections: []record.Correction{out(1)}, fault: "/corrections a JCAMP-DX file has no cells"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			entries, made, err := readText(t, c.text, labfile.Options{Corrections: c.corrections})
			if c.fault != "" {
				p := calc.AsProblem(err)
				if p == nil || !strings.HasPrefix(p.Errors[0].Location+" "+p.Errors[0].Message, c.fault) {
					t.Fatalf("%v, want %q", err, c.fault)
				}
				return
			}
			if err != nil || !slices.Equal(entries, c.entries) || !slices.Equal(made, c.made) {
				t.Errorf("%q, %q, %v, want %q, %q", entries, made, err, c.entries, c.made)
			}
		})
	}
}

// TestNoHeader reads tables that begin with a reading.
func TestNoHeader(t *testing.T) {
	t.Parallel()
	const table = "12\tTank 1\t0,1\t0,2\t0,3\t1\n13\tTank 2\t0,2\tx\t0,3\t1\n"
	for _, c := range []struct {
		name, text string
		mapping    map[string]string
		entries    []string
		fault      string
	}{
		{name: "by its values", text: "Tank 1;0,1;0,2;0,3\nTank 2;0,2;0,2;0,3\n", entries: []string{"Tank 1 0.1", "Tank 2 0.2"}},
		{name: "numbers that are no absorbance", text: table, entries: []string{"Tank 1 0.1", "Tank 2: row 2, column D"}},
		{name: "by a mapping", text: table, mapping: map[string]string{"column B": "name", "column C": "a520", "column D": "a420", "column E": "a620", "column F": "path_mm"},
			entries: []string{"Tank 1 0.2", "Tank 2: row 2, column D"}},
		{name: "too little", text: table, mapping: map[string]string{"column B": "name"}, fault: "what the columns of a table without headers hold must be said"},
		{name: "nothing", text: "\n \n", fault: "the file is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			entries, _, err := readText(t, c.text, labfile.Options{NoHeader: true, Mapping: c.mapping})
			if c.fault != "" {
				if p := calc.AsProblem(err); p == nil || !strings.HasPrefix(p.Errors[0].Message, c.fault) {
					t.Fatalf("%v, want %q", err, c.fault)
				}
				return
			}
			if err != nil || !slices.Equal(entries, c.entries) {
				t.Errorf("%q, %v, want %q", entries, err, c.entries)
			}
		})
	}
}

// TestLook tells of a table what is needed to say what its columns hold.
func TestLook(t *testing.T) {
	t.Parallel()
	const odd = "Lab\nProbe;E1;;Blend (normalised) abs\nTank 9;0,1;;0,05\n"
	seen, err := labfile.Look(strings.NewReader(odd), int64(len(odd)), "odd.csv", labfile.Options{})
	if calc.AsProblem(err) == nil || seen.Understood || seen.HeaderRow != 2 || len(seen.Columns) != 4 || len(seen.Beside) != 1 {
		t.Fatalf("%+v, %v", seen, err)
	}
	if c := seen.Columns[1]; c.Key != "E1" || c.By != "none" || c.Letter != "B" || !slices.Equal(c.Examples, []string{"0,1"}) {
		t.Errorf("%+v", c)
	}
	if c := seen.Columns[2]; c.Key != "column C" {
		t.Errorf("%+v", c)
	}
	const bare = "Tank 9;0,1;0,05;0,01\n"
	if seen, _ := labfile.Look(strings.NewReader(bare), int64(len(bare)), "bare.csv", labfile.Options{}); !seen.LooksHeadless {
		t.Errorf("%+v", seen)
	}
}

// TestCellAt finds the cells that faults name.
func TestCellAt(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		row        int
		column     string
	}{
		{"one wine a row", "wine,A420,A520,A620\nTank 1,0.1,x,0.1\n", 2, "A520"},
		{"of two with the header", "wine,A420,A520,A620,path,path\nTank 1,0.1,0.1,0.1,x,\n", 2, "column E"},
		{"one reading a row", "wine,nm,absorbance\nTank 1,420,0.1\nTank 1,520,x\nTank 1,620,0.1\n", 3, "absorbance"},
		{"a value out of range in one reading a row", "wine,nm,absorbance\nTank 1,420,0.1\nTank 1,520,9\nTank 1,620,0.1\n", 3, "absorbance"},
		{"scans in columns", "nm,Tank 1\n420,0.1\n520,x\n620,0.1\n", 3, "Tank 1"},
		{"a header in two lines", "wine,A420,\"A520\n(1 cm)\",A620\nTank 1,0.1,x,0.1\n", 3, "column C"},
		{"a header like a letter", "column C,wine,A420,A520,A620\nx,Tank 1,0.1,x,0.1\n", 2, "A520"},
		{"a whole row", "wine,A420,A520,A620\nTank 1,0.1,0.1,0.1,9\n", 2, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			f, err := labfile.Open(strings.NewReader(c.text), int64(len(c.text)), "log.csv", labfile.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer func() {
				if err := f.Close(); err != nil {
					t.Error(err)
				}
			}()
			found := false
			for e, err := range f.Entries() {
				if err != nil {
					t.Fatal(err)
				}
				for _, fault := range e.Faults {
					found = true
					if row, column, _ := f.CellAt(fault.Location); row != c.row || column != c.column {
						t.Errorf("%q is row %d, column %q, want %d, %q", fault.Location, row, column, c.row, c.column)
					}
				}
			}
			if !found {
				t.Error("there is no fault")
			}
		})
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
