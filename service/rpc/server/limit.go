package server

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Rate is how often something may be done: so often a second in the long run, and so
// often at once.
type Rate struct {
	PerSecond float64
	Burst     int
}

// Rates gives the rate of one caller by class where nothing else is said (own choice,
// no source): above what a person or a till does, below what would keep others waiting.
func Rates() map[Class]Rate {
	return map[Class]Rate{Look: {100, 200}, Reckon: {40, 80}, Change: {20, 40}, Upload: {0.5, 5}}
}

// perAddress is how many times what one caller may do may come from one address: a shop
// has several tills behind it.
const perAddress = 4

// wrongTokens is how many wrong tokens from one address are told that they are wrong.
var wrongTokens = Rate{1, 20}

// meters keeps a meter for each of many keys, in bounded memory. When half of the room
// is taken, the meters that were not used since the half before are let go.
type meters struct {
	mu       sync.Mutex
	new, old map[string]*rate.Limiter
}

// half is how many keys are kept at least.
const half = 8192

// wait takes one from the meter of a key, or gives how long until it has one.
func (m *meters) wait(key string, r Rate) time.Duration {
	reservation := m.of(key, r).Reserve()
	wait := reservation.Delay()
	if wait > 0 {
		reservation.Cancel()
	}
	if !reservation.OK() {
		return time.Minute // the rate lets nothing through at all
	}
	return wait
}

func (m *meters) of(key string, r Rate) *rate.Limiter {
	m.mu.Lock()
	defer m.mu.Unlock()
	if l, ok := m.new[key]; ok {
		return l
	}
	l, ok := m.old[key]
	if !ok {
		l = rate.NewLimiter(rate.Limit(r.PerSecond), r.Burst)
	}
	if m.new == nil || len(m.new) >= half {
		m.new, m.old = make(map[string]*rate.Limiter), m.new
	}
	m.new[key] = l
	return l
}

// limits is how often callers and addresses may call.
type limits struct {
	rates               map[Class]Rate
	callers, peers, bad meters
}

// take counts a call, and gives how long the caller has to wait where it is one too
// many.
func (l *limits) take(c caller, from string, class Class) time.Duration {
	r, ok := l.rates[class]
	if c.free || !ok {
		return 0
	}
	if wait := l.peers.wait(string(class)+" "+from, Rate{r.PerSecond * perAddress, r.Burst * perAddress}); wait > 0 {
		return wait
	}
	return l.callers.wait(string(class)+" "+c.Name, r)
}

// wrong counts a wrong token.
func (l *limits) wrong(from string) time.Duration { return l.bad.wait(from, wrongTokens) }
