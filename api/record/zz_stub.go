package record

import "pourpath/api/calc"

type Statistics struct{}

func Current(readings []Reading) ([]Reading, bool) {
	if len(readings) == 0 {
		return nil, false
	}
	return readings[:1], true
}

func Combine(name string, set []Reading) (calc.StoredWine, *Statistics, error) {
	return calc.StoredWine{Wine: set[0].Wine(name), ReadingIDs: []string{set[0].ID}}, nil, nil
}

func Suspicions(kind Kind, r Reading, before *Reading) []calc.Warning { return nil }
