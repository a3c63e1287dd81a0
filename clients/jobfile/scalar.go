package jobfile

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
	"go.yaml.in/yaml/v3"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// scalar reads a plain value for a field; it notes the fault and tells false
// where there is one. The text of the file counts, never what YAML would make of
// it: 00 is the gauge 2/0, not the number 0.
func (r *reader) scalar(n *yaml.Node, k key) (protoreflect.Value, bool) {
	none := protoreflect.Value{}
	if n.Kind != yaml.ScalarNode {
		r.fault(n, fmt.Sprintf("%s is a single value, not %s", k.field.Name(), describe(n)))
		return none, false
	}
	switch k.field.Kind() {
	case protoreflect.StringKind:
		return r.text(n, k)
	case protoreflect.BoolKind:
		v, err := parseTruth(n.Value)
		return protoreflect.ValueOfBool(v), r.took(n, k, err)
	case protoreflect.Int32Kind:
		v, err := strconv.ParseInt(strings.TrimSpace(n.Value), 10, 32)
		if err != nil {
			err = fmt.Errorf("%s is not a whole number", quoted(n.Value))
		}
		return protoreflect.ValueOfInt32(int32(v)), r.took(n, k, err)
	case protoreflect.DoubleKind:
		v, err := parseNumber(n.Value, k)
		return protoreflect.ValueOfFloat64(v), r.took(n, k, err)
	case protoreflect.EnumKind:
		return r.word(n, k)
	}
	r.fault(n, string(k.field.Name())+" cannot be given in a file")
	return none, false
}

// took notes an error of a value; it tells true where there is none.
func (r *reader) took(n *yaml.Node, k key, err error) bool {
	if err != nil {
		r.fault(n, fmt.Sprintf("%s: %v", k.field.Name(), err))
	}
	return err == nil
}

// text reads a string. The gauge of a conductor is brought to the contract's
// spelling.
func (r *reader) text(n *yaml.Node, k key) (protoreflect.Value, bool) {
	if !isConductor(k.field.ContainingMessage()) {
		return protoreflect.ValueOfString(n.Value), true
	}
	size, err := quantity.ParseSize(n.Value)
	if err == nil && !size.IsAWG() {
		err = fmt.Errorf("%s is not a gauge; write area_mm2", quoted(n.Value))
	}
	return protoreflect.ValueOfString(size.Label()), r.took(n, k, err)
}

// word reads an enum value.
func (r *reader) word(n *yaml.Node, k key) (protoreflect.Value, bool) {
	number, err := ParseWord(k.field.Enum(), n.Value)
	var unknown *WordError
	if errors.As(err, &unknown) {
		r.misspelt(n, fmt.Sprintf("unknown %s %s", k.field.Name(), quoted(n.Value)), unknown.Suggest, unknown.Allowed)
	}
	return protoreflect.ValueOfEnum(number), err == nil
}

// parseTruth reads a truth value in the words that people use in YAML.
func parseTruth(text string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "true", "yes", "on":
		return true, nil
	case "false", "no", "off":
		return false, nil
	}
	return false, fmt.Errorf("%s is not true or false", quoted(text))
}

// parseNumber reads a number into the unit of the key's field. Where the key
// states no unit the text must.
func parseNumber(text string, k key) (float64, error) {
	text = strings.TrimSpace(text)
	plain, notPlain := strconv.ParseFloat(text, 64)
	if isEndless(text, plain) {
		return 0, fmt.Errorf("%s is not a finite number", quoted(text))
	}
	switch {
	case k.bare && notPlain == nil:
		return plain, nil
	case k.unit == "":
		return 0, fmt.Errorf("%s is not a number", quoted(text))
	}
	v, err := quantity.ParseFor(k.unit, text)
	var bad *quantity.Error
	if k.bare && errors.As(err, &bad) && bad.Reason == quantity.ReasonNoUnit {
		return quantity.ParseFor(k.unit, text+" "+k.unit) // a decimal comma, say
	}
	return v, err
}

// isEndless tells that a text means NaN, an infinity or a number beyond the
// floating-point range, in the spelling of Go or YAML.
func isEndless(text string, v float64) bool {
	switch strings.ToLower(strings.TrimLeft(text, "+-")) {
	case ".nan", ".inf":
		return true
	}
	return math.IsNaN(v) || math.IsInf(v, 0)
}

// describe names a node's form.
func describe(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys and values"
	case yaml.SequenceNode:
		return "a list"
	}
	return quoted(n.Value)
}
