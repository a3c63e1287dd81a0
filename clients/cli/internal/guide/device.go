package guide

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/jobfile"
)

// Form shows how a piece of equipment is written in one line.
const Form = "PART@ZONE or KIND:POWER@ZONE or KIND:CURRENT@ZONE, then any of ,quantity=2 ,battery=ID ,label=TEXT ,length=5.5m ,engine-off ,switched"

// ParseDevice reads a piece of equipment of one line: what it is, where it is
// mounted, and after commas what else is known of it.
//
//	EQ-FRG-45@galley,battery=house
//	light:6W@roof,quantity=6,engine-off
//
// The device has no id yet; [Name] gives it one.
func ParseDevice(text string) (*lugbookv1.Device, error) {
	first, rest, _ := strings.Cut(text, ",")
	at := strings.LastIndexByte(first, '@')
	if at < 0 || strings.TrimSpace(first[:at]) == "" || strings.TrimSpace(first[at+1:]) == "" {
		return nil, fmt.Errorf("%q does not say what is mounted where; write %s", text, Form)
	}
	d := &lugbookv1.Device{Zone: strings.TrimSpace(first[at+1:])}
	if err := setWhat(d, strings.TrimSpace(first[:at])); err != nil {
		return nil, err
	}
	if rest == "" {
		return d, nil
	}
	for option := range strings.SplitSeq(rest, ",") {
		if err := setOption(d, strings.TrimSpace(option)); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// setWhat sets what a device is: a part of the catalog, or a kind and what it draws.
func setWhat(d *lugbookv1.Device, text string) error {
	word, rating, typed := strings.Cut(text, ":")
	if !typed {
		d.EquipmentSku = text
		return nil
	}
	kind, err := jobfile.ParseWord(d.GetKind().Descriptor(), word)
	if err != nil {
		return err
	}
	d.Kind = lugbookv1.DeviceKind(kind)
	return setRating(d, rating)
}

// setRating sets what a device of a kind draws; the power of an amplifier or an
// inverter is what it delivers.
func setRating(d *lugbookv1.Device, text string) error {
	amps, notAmps := quantity.Parse(quantity.Current, text)
	if notAmps == nil {
		d.Rating = &lugbookv1.Device_CurrentA{CurrentA: amps}
		return nil
	}
	watts, notWatts := quantity.Parse(quantity.Power, text)
	if notWatts != nil {
		return ratingFault(text, notAmps, notWatts)
	}
	switch d.GetKind() {
	case lugbookv1.DeviceKind_DEVICE_KIND_AMPLIFIER:
		d.Rating = &lugbookv1.Device_Audio{Audio: &lugbookv1.AudioOutput{RmsW: &watts}}
	case lugbookv1.DeviceKind_DEVICE_KIND_INVERTER:
		d.Rating = &lugbookv1.Device_OutputPowerW{OutputPowerW: watts}
	default:
		d.Rating = &lugbookv1.Device_InputPowerW{InputPowerW: watts}
	}
	return nil
}

// ratingFault says what is wrong with a rating: as a current where its unit is
// one, as a power likewise, else that it is neither.
func ratingFault(text string, notAmps, notWatts error) error {
	other := func(err error) bool {
		var bad *quantity.Error
		return !errors.As(err, &bad) || bad.Reason == quantity.ReasonOtherUnit || bad.Reason == quantity.ReasonUnknownUnit
	}
	switch {
	case other(notAmps) && !other(notWatts):
		return notWatts
	case !other(notAmps) && other(notWatts):
		return notAmps
	}
	return fmt.Errorf("%q is neither a power, such as 60W, nor a current, such as 5A", text)
}

// setOption sets one thing that is known of a device beside what and where it is.
func setOption(d *lugbookv1.Device, option string) error {
	key, value, valued := strings.Cut(option, "=")
	if !valued {
		return setSwitch(d, key)
	}
	switch key {
	case "quantity":
		n, err := parseQuantity(value)
		d.Quantity = n
		return err
	case "battery":
		d.FedFrom = value
	case "label":
		d.Label = value
	case "length":
		metres, err := quantity.Parse(quantity.Length, value)
		if err != nil {
			return err
		}
		d.MeasuredLengthM = &metres
	default:
		return optionFault(option)
	}
	return nil
}

// setSwitch sets one of the things that are so by being named.
func setSwitch(d *lugbookv1.Device, key string) error {
	yes := true
	switch key {
	case "engine-off":
		d.UsedEngineOff = &yes
	case "switched":
		d.Switched = true
	default:
		return optionFault(key)
	}
	return nil
}

// optionFault says which options there are.
func optionFault(option string) error {
	return fmt.Errorf("%q is not known of equipment; allowed: quantity=2, battery=ID, label=TEXT, length=5.5m, engine-off, switched", option)
}

// parseQuantity reads how many of a device there are. The service knows how many
// it takes.
func parseQuantity(text string) (int32, error) {
	n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 32)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is not a number of pieces, such as 2", text)
	}
	return int32(n), nil
}

// Name gives the devices of a job that have no id one each: of their kind or part
// number, and a count from the second of a name on.
func Name(devices []*lugbookv1.Device) {
	taken := map[string]bool{}
	for _, d := range devices {
		taken[d.GetId()] = true
	}
	for _, d := range devices {
		if d.GetId() != "" {
			continue
		}
		base := idOf(d)
		id := base
		for n := 2; taken[id]; n++ {
			id = base + "-" + strconv.Itoa(n)
		}
		d.Id = id
		taken[id] = true
	}
}

// longestBase leaves room for a count behind the base of an id of 64 characters.
const longestBase = 56

// idOf makes the id of a device: lower-case letters, digits and hyphens.
func idOf(d *lugbookv1.Device) string {
	text := d.GetEquipmentSku()
	if text == "" {
		text = jobfile.Word(d.GetKind().Descriptor(), d.GetKind().Number())
	}
	id := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(text))
	id = strings.Trim(id[:min(len(id), longestBase)], "-")
	if id == "" {
		return "device"
	}
	return id
}
