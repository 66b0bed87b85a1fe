package sheet

// In returns the texts in a language by the code of ISO 639-1, and whether there are
// any. The caller owns them.
func In(code string) (Texts, bool) {
	for known, texts := range map[string]func() Texts{"en": English, "fr": French, "es": Spanish} {
		if known == code {
			return texts(), true
		}
	}
	return Texts{}, false
}
