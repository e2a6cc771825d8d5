// Package key says who may ask the service: keys with a name, roles and an expiry, of
// which the file has digests only. A key is 32 random bytes, so a fast digest protects
// it as well as a slow one.
package key

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"slices"
	"strings"
	"time"
)

// Role is something that the holder of a key may do.
type Role string

// The roles.
const (
	Use     Role = "use"     // ask calculators, and read the shop file without its prices
	Prices  Role = "prices"  // see what the shop pays and charges
	Metrics Role = "metrics" // read the metrics
)

// allRoles lists all roles.
var allRoles = []Role{Use, Prices, Metrics}

// prefix lets a scanner for secrets recognise a key.
const prefix = "resawd_"

// Key is what the service knows about a key.
type Key struct {
	Name    string
	Roles   []Role
	Expires time.Time // when it ceases to be valid; never if zero
	digest  [sha256.Size]byte
}

// May reports whether the key has a role.
func (k *Key) May(role Role) bool { return slices.Contains(k.Roles, role) }

// Expired reports whether the key has expired.
func (k *Key) Expired(now time.Time) bool { return !k.Expires.IsZero() && !now.Before(k.Expires) }

// Ring is the keys that a service accepts.
type Ring struct{ keys []Key }

// Find finds the key of a secret, expired or not. It compares with every key, so it
// takes equally long whichever matches.
func (r *Ring) Find(secret string) (*Key, bool) {
	digest := sha256.Sum256([]byte(secret))
	found := -1
	for i := range r.keys {
		same := subtle.ConstantTimeCompare(digest[:], r.keys[i].digest[:])
		found = subtle.ConstantTimeSelect(same, i, found)
	}
	if found < 0 {
		return nil, false
	}
	return &r.keys[found], true
}

// Len is the number of keys.
func (r *Ring) Len() int { return len(r.keys) }

// New makes a secret and its digest for the file.
func New() (secret, digest string) {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails: without randomness the program ends
	secret = prefix + base64.RawURLEncoding.EncodeToString(b[:])
	sum := sha256.Sum256([]byte(secret))
	return secret, hex.EncodeToString(sum[:])
}

// Looks reports whether a text looks like a key.
func Looks(text string) bool { return strings.HasPrefix(text, prefix) }

// Bearer returns the secret in an Authorization header (RFC 6750).
func Bearer(header string) (secret string, ok bool) {
	scheme, secret, found := strings.Cut(header, " ")
	secret = strings.TrimLeft(secret, " ")
	return secret, found && strings.EqualFold(scheme, "Bearer") && secret != ""
}
