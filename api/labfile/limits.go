package labfile

// Limits of a file. What goes past one is refused in words, so that no file can
// fill the memory.
const (
	// MaxBytes is the longest text file.
	MaxBytes = 2 << 30
	// MaxLineBytes is the longest row of a text file, quoted line ends included.
	MaxLineBytes = 1 << 20
	// MaxColumns is the most columns of a table.
	MaxColumns = 5000
	// MaxCellBytes is the longest cell.
	MaxCellBytes = 32 << 10
	// maxText is the longest name, lot, instrument and the like, in characters,
	// as the records hold it.
	maxText = 200
	// MaxOpenWines is how many wines of a file with one reading a row may be
	// incomplete at a time.
	MaxOpenWines = 1000

	// maxValues is the most values of scans in columns, and of all wines that
	// are open at a time in a file with one reading a row.
	maxValues = 4_000_000
	// maxPoints is the most wavelengths of one scan (calc.Spectrum).
	maxPoints = 10_000
	// headBytes and headRows are how much of a file is looked at before its
	// form is decided.
	headBytes, headRows = 1 << 20, 1050
	// maxTitleRows is how far down the header may stand.
	maxTitleRows = 50
	// maxUTF8 is the most bytes of a character.
	maxUTF8 = 4
)
