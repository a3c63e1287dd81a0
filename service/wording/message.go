package wording

import (
	"errors"
	"fmt"
	"strings"

	"example.com/lugbook/service/electrical"
)

// message is one sentence, taken apart once so that saying it is quick.
type message struct{ groups []group }

// group is a stretch of a message; an optional one is left out where a figure in
// it is not given.
type group struct {
	optional bool
	pieces   []piece
}

// piece is literal text, or a figure's key where slot is not empty.
type piece struct{ text, slot string }

// The faults of a message.
var (
	errBrace   = errors.New("a brace without its partner")
	errBracket = errors.New("a square bracket without its partner, or one within another")
	errSlot    = errors.New("a figure's key is lower-case letters, digits and underscores")
	errOption  = errors.New("square brackets without a figure in them")
	errEmpty   = errors.New("empty text")
)

// parseMessage takes a message apart.
func parseMessage(text string) (message, error) {
	if strings.TrimSpace(text) == "" {
		return message{}, errEmpty
	}
	var m message
	for text != "" {
		var g group
		stretch := text
		switch at := strings.IndexAny(text, "[]"); {
		case at < 0:
			text = ""
		case at > 0:
			stretch, text = text[:at], text[at:]
		default:
			inside, rest, ok := strings.Cut(text[1:], "]")
			if text[0] == ']' || !ok || strings.Contains(inside, "[") {
				return message{}, errBracket
			}
			stretch, text, g.optional = inside, rest, true
		}
		var err error
		if g.pieces, err = parsePieces(stretch); err != nil {
			return message{}, err
		}
		if g.optional && !hasSlot(g.pieces) {
			return message{}, errOption
		}
		m.groups = append(m.groups, g)
	}
	return m, nil
}

func parsePieces(text string) ([]piece, error) {
	var pieces []piece
	for text != "" {
		at := strings.IndexAny(text, "{}")
		if at < 0 {
			return append(pieces, piece{text: text}), nil
		}
		if at > 0 {
			pieces = append(pieces, piece{text: text[:at]})
		}
		slot, rest, ok := strings.Cut(text[at+1:], "}")
		if text[at] == '}' || !ok {
			return nil, errBrace
		}
		if !isKey(slot) {
			return nil, fmt.Errorf("{%s}: %w", slot, errSlot)
		}
		pieces, text = append(pieces, piece{slot: slot}), rest
	}
	return pieces, nil
}

func hasSlot(pieces []piece) bool {
	for _, p := range pieces {
		if p.slot != "" {
			return true
		}
	}
	return false
}

// isKey tells that text may be the key of a figure or the code of a word.
func isKey(text string) bool {
	for _, r := range text {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '_' {
			return false
		}
	}
	return text != ""
}

// slots gives the keys of the figures that the message names, in order.
func (m message) slots() []string {
	var keys []string
	for _, g := range m.groups {
		for _, p := range g.pieces {
			if p.slot != "" {
				keys = append(keys, p.slot)
			}
		}
	}
	return keys
}

// render fills the figures in; false where one that must be given is not.
func (m message) render(t *Teller, figures []electrical.Figure) (string, bool) {
	const usual = 128 // bytes, more than most sentences need
	out := make([]byte, 0, usual)
	for _, g := range m.groups {
		start, complete := len(out), true
		for _, p := range g.pieces {
			if p.slot == "" {
				out = append(out, p.text...)
				continue
			}
			f, ok := given(figures, p.slot)
			if !ok {
				complete = false
				break
			}
			out = append(out, t.Value(f)...)
		}
		switch {
		case complete:
		case g.optional:
			out = out[:start]
		default:
			return "", false
		}
	}
	return string(out), true
}

// given gives the figure of a key; false where there is none or it says nothing.
func given(figures []electrical.Figure, key string) (electrical.Figure, bool) {
	for _, f := range figures {
		if f.Key != key {
			continue
		}
		switch f.Unit {
		case electrical.UnitText, electrical.UnitWord, electrical.UnitNone:
			return f, f.Text != ""
		case electrical.UnitSize:
			return f, !f.Size.IsZero()
		}
		return f, true
	}
	return electrical.Figure{}, false
}
