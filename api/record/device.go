package record

// Device is a phone or another machine that was let in: it has a session of its own.
type Device struct {
	ID       string  `json:"id"`
	Name     string  `json:"name"`
	PairedAt Instant `json:"paired_at"`
	// UsedAt is when it last asked for something, to about a minute, and Address where
	// it did from.
	UsedAt  Instant `json:"used_at"`
	Address string  `json:"address"`
}
