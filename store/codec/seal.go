package codec

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"cellar.example/mustwatch/domain/cellar"
)

// Hash is the SHA-256 that stands at the end of a sealed object and goes into
// the seal of the next one.
type Hash = [sha256.Size]byte

const (
	sealOpen  = `,"hash":"`
	sealClose = `"}`
	sealLen   = len(sealOpen) + 2*sha256.Size + len(sealClose)
	// minSealed is the shortest object that has a member before its seal.
	minSealed = len(`{"a":1`) + sealLen
)

// Seal closes a JSON object with a last member "hash" over prev and every byte
// of the body. The hash goes over the bytes as they are kept, not over a
// rewritten form of them, so that no two different texts share a seal.
//
// The body must be a JSON object with at least one member; it is not changed.
func Seal(body []byte, prev Hash) ([]byte, Hash, error) {
	if len(body) < minSealed-sealLen+1 || body[0] != '{' || body[len(body)-1] != '}' {
		return nil, Hash{}, errors.New("seal: the body is no JSON object with members")
	}
	open := body[:len(body)-1]
	hash := sum(prev, open)
	out := make([]byte, 0, len(open)+sealLen)
	out = append(out, open...)
	out = append(out, sealOpen...)
	out = hex.AppendEncode(out, hash[:])
	out = append(out, sealClose...)
	return out, hash, nil
}

// Unseal checks the seal of an object against prev and returns its hash. A seal
// that is missing or does not match wraps cellar.ErrDamaged.
func Unseal(sealed []byte, prev Hash) (Hash, error) {
	claimed, err := HashOf(sealed)
	if err != nil {
		return Hash{}, err
	}
	if sum(prev, sealed[:len(sealed)-sealLen]) != claimed {
		return Hash{}, fmt.Errorf("%w: the bytes do not match their hash", cellar.ErrDamaged)
	}
	return claimed, nil
}

// HashOf reads the hash at the end of a sealed object without checking it: the
// place to start from in the middle of a chain.
func HashOf(sealed []byte) (Hash, error) {
	var hash Hash
	if len(sealed) < minSealed {
		return hash, fmt.Errorf("%w: %d bytes are too few for a sealed object", cellar.ErrDamaged, len(sealed))
	}
	tail := sealed[len(sealed)-sealLen:]
	digits := tail[len(sealOpen) : len(tail)-len(sealClose)]
	if string(tail[:len(sealOpen)]) != sealOpen || string(tail[len(tail)-len(sealClose):]) != sealClose ||
		!lowerHex(digits) {
		return hash, fmt.Errorf("%w: the object does not end in its hash", cellar.ErrDamaged)
	}
	_, err := hex.Decode(hash[:], digits)
	return hash, err
}

// lowerHex refuses capital digits: they would read as the same hash, and a bit
// that flipped there would go unseen.
func lowerHex(digits []byte) bool {
	for _, c := range digits {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

// sum hashes prev, the open part of an object, and the brace that closed it. It
// copies into one buffer because that is cheaper than a hash state on the heap.
func sum(prev Hash, open []byte) Hash {
	var small [1024]byte
	buf := append(small[:0], prev[:]...)
	buf = append(buf, open...)
	buf = append(buf, '}')
	return sha256.Sum256(buf)
}
