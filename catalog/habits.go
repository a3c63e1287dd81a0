package catalog

import (
	"reflect"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// habits reads what the shop takes for each category of vehicle: every category
// has one, since a design without candidates would say nothing of the reason.
func (f fields) habits() map[electrical.Category]Habit {
	h, ok := f.sub("habits", plainWords(electrical.Categories())...)
	if !ok {
		f.missing("habits", list(electrical.Categories()))
		return nil
	}
	habits := make(map[electrical.Category]Habit, len(h.values))
	for _, c := range electrical.Categories() {
		one, ok := h.sub(string(c), habitKeys...)
		if !ok {
			h.missing(string(c), "a habit for every category: "+list(electrical.Categories()))
			continue
		}
		habits[c] = Habit{
			Materials: keyWords(one, "materials", electrical.Materials()), Families: keyWords(one, "families", electrical.Families()),
			FeedColours: one.colours("feed_colours"), ReturnColours: one.colours("return_colours"),
			SizeSystem:    needKeyWord(one, "sizes", []SizeSystem{SizesAWG, SizesMetric, SizesBoth}),
			MinInsulation: quantity.Celsius(one.needNumber("min_insulation_c", spanRating)),
		}
	}
	return habits
}

// colours reads a list of colours that must be there; like those of the
// conductors they are kept in lower case.
func (f fields) colours(key string) []string {
	f.needItems(key, "colours, such as red, black")
	var all []string
	for _, text := range f.texts(key) {
		all = append(all, strings.ToLower(text))
	}
	return all
}

// rules reads the shop's own figures over the standard ones. Its keys are those
// of electrical.Defaults; their spans are checked there, because they keep the
// rules safe.
func (f fields) rules() electrical.Defaults {
	defaults := electrical.Standard()
	if _, ok := f.has("rules"); !ok {
		return defaults
	}
	before := len(f.unread)
	f.override(reflect.ValueOf(&defaults).Elem(), "rules")
	if len(f.unread) > before {
		return defaults
	}
	if err := defaults.Check(); err != nil {
		path, _, _ := strings.Cut(err.Error(), " ")
		problem, allowed, _ := strings.Cut(err.Error(), "; allowed: ")
		f.fault(f.node(path), problem, allowed)
	}
	return defaults
}

// override reads the mapping at a path into a struct of figures by the names of
// its yaml tags, and leaves alone what is not stated. Reflection keeps the keys
// in one place, the struct; the parser's own decoding would neither name the
// place of an unknown key nor refuse NaN.
func (f fields) override(target reflect.Value, path string) {
	var keys []string
	for i := range target.NumField() {
		keys = append(keys, target.Type().Field(i).Tag.Get("yaml"))
	}
	m := f.fields(f.places[path], path, keys...)
	for i, key := range keys {
		n, ok := m.has(key)
		field := target.Field(i)
		switch {
		case !ok:
		case field.Kind() == reflect.Struct:
			f.override(field, path+"."+key)
		case field.Kind() == reflect.Float64:
			if v, ok := m.number(key, anyNumber); ok {
				field.SetFloat(v)
			}
		default:
			f.fault(n, key+" cannot be overridden", "")
		}
	}
}
