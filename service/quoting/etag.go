package quoting

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"
)

// ETag gives a text that changes with every change of a quote and says nothing else.
// The time is part of it so that a store put back to an earlier state does not give
// out the texts of the changes that it has forgotten.
func (h Head) ETag() string {
	const length = 8 // bytes: far more than one quote has changes
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%d\n%d", h.Number, h.Version, h.UpdateTime.UnixMicro()))
	return hex.EncodeToString(sum[:length])
}

// precision is how finely the store keeps time.
const precision = time.Microsecond

// clock gives the time as the store will give it back.
func (s *Service) clock() time.Time { return s.now().UTC().Truncate(precision) }
