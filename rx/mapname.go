package rx

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"regexp"
	"strings"
)

const (
	mapNameLetters = 2 // readable part of a map name
	mapNameHash    = 6 // base-36 digits of the hash: 2.2e9 values
	mapNameLimit   = 8
)

// MapName returns the base name of a rate map's files: 8 characters A-Z 0-9,
// the first two letters or digits of the field's name (X where it has none)
// and six base-36 digits of a hash of field and application. Among 1,000 names
// that begin alike, the chance that any two agree is 2e-4.
//
// Eight characters, because older terminals read only names of 8.3.
func MapName(field, application string) string {
	sum := sha256.Sum256([]byte(field + "\x00" + application))
	n := binary.BigEndian.Uint64(sum[:8])
	var b strings.Builder
	b.WriteString(readablePart(field))
	const digits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	for range mapNameHash {
		b.WriteByte(digits[n%36])
		n /= 36
	}
	return b.String()
}

func readablePart(name string) string {
	var b strings.Builder
	for _, r := range strings.ToUpper(name) {
		if b.Len() == mapNameLetters {
			break
		}
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		}
	}
	for b.Len() < mapNameLetters {
		b.WriteByte('X')
	}
	return b.String()
}

// deviceName matches the names that Windows keeps for devices.
var deviceName = regexp.MustCompile(`(?i)^(CON|PRN|AUX|NUL|COM[0-9]|LPT[0-9])$`)

// checkMapName refuses a name that is not safe as a file name everywhere.
func checkMapName(name string) error {
	if name == "" || len(name) > mapNameLimit {
		return fmt.Errorf("map name %q has %d bytes; give 1 to 8 letters or digits, for some terminals read no more", name, len(name))
	}
	if deviceName.MatchString(name) {
		return fmt.Errorf("map name %q is the name of a device on Windows and no file can have it; use another", name)
	}
	for i, r := range name {
		letter := r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r >= '0' && r <= '9'
		if !letter && (i == 0 || r != '_' && r != '-') {
			return fmt.Errorf("map name %q holds %q; use letters and digits, up to 8, beginning with one", name, r)
		}
	}
	return nil
}
