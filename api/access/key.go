package access

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
)

// keyBytes is the length of a key before it is written as text: 160 bits, which nobody
// guesses, in 27 characters, which still make a QR code that a phone reads at once.
const keyBytes = 20

// NewKey makes a key of a link or a session: text for an address or a cookie.
func NewKey() string {
	var b [keyBytes]byte
	rand.Read(b[:]) // never fails, as crypto/rand documents
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Hash is what is kept of a key: its SHA-256 in hexadecimal. ok is false for what is no
// key, which nobody needs to look up.
func Hash(key string) (hash string, ok bool) {
	b, err := base64.RawURLEncoding.Strict().DecodeString(key)
	if err != nil || len(b) != keyBytes || base64.RawURLEncoding.EncodeToString(b) != key {
		return "", false
	}
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:]), true
}
