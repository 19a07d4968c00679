package chat

import (
	"context"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/server/casebook"
)

func description(t *testing.T) *openapi3.T {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(openAPI)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestDescriptionIsValid(t *testing.T) {
	if err := description(t).Validate(context.Background()); err != nil {
		t.Error(err)
	}
}

// Every member of what is sent stands in the description and the other way
// round, down through all that Reply holds; a member is required just when it
// is always written.
func TestDescriptionNamesEveryMember(t *testing.T) {
	schemas := description(t).Components.Schemas
	seen := map[string]bool{"CaseList": true, "ArticleList": true, "HitList": true, "Probability": true, "Strings": true, "Attributes": true, "VehicleList": true, "AttachedList": true, "Merged": true, "CaseHitList": true}
	var hold func(name string, typ reflect.Type)
	hold = func(name string, typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || !strings.HasPrefix(typ.PkgPath(), "ruleout/") {
			return
		}
		if name == "" {
			name = typ.Name()
		}
		if seen[name] {
			return
		}
		seen[name] = true
		schema := schemas[name]
		if schema == nil {
			t.Errorf("no schema %s for %v", name, typ)
			return
		}
		always, sometimes := members(typ)
		written := slices.Sorted(maps.Keys(schema.Value.Properties))
		want := slices.Sorted(slices.Values(append(slices.Clone(always), sometimes...)))
		if !slices.Equal(written, want) {
			t.Errorf("%s: described %v, sent %v", name, written, want)
		}
		// What is sent to the program may leave anything out.
		if required := slices.Sorted(slices.Values(schema.Value.Required)); !strings.HasSuffix(name, "Sent") && !slices.Equal(required, slices.Sorted(slices.Values(always))) {
			t.Errorf("%s: required %v, always written %v", name, required, always)
		}
		for i := range typ.NumField() {
			if f := typ.Field(i); f.Tag.Get("json") != "-" && !(f.Anonymous && f.Tag.Get("json") == "") {
				hold(fieldSchema[typ.Field(i).Type], typ.Field(i).Type)
			}
		}
	}
	hold("", reflect.TypeFor[dialog.Reply]())
	hold("", reflect.TypeFor[Case]())
	hold("", reflect.TypeFor[Listed]())
	hold("", reflect.TypeFor[CaseHit]())
	hold("CaseSent", reflect.TypeFor[caseSent]())
	hold("", reflect.TypeFor[SheetSent]())
	hold("", reflect.TypeFor[EndedSent]())
	hold("", reflect.TypeFor[casebook.Vehicle]())
	hold("", reflect.TypeFor[Sheet]())
	hold("", reflect.TypeFor[CaseVehicle]())
	hold("CarrySent", reflect.TypeFor[carrySent]())
	hold("", reflect.TypeFor[NoteSent]())
	hold("", reflect.TypeFor[casebook.Attached]())
	hold("", reflect.TypeFor[casebook.Imported]())
	hold("", reflect.TypeFor[LearnedFigures]())
	hold("", reflect.TypeFor[Hit]())
	hold("", reflect.TypeFor[Article]())
	hold("", reflect.TypeFor[kb.Head]())
	hold("", reflect.TypeFor[dialog.Arranged]()) // the values of a map
	hold("Problem", reflect.TypeFor[problem]())
	hold("SocketMessage", reflect.TypeFor[message]())
	hold("TurnSent", reflect.TypeFor[sent]())
	for name := range schemas {
		if !seen[name] {
			t.Errorf("schema %s describes nothing that is sent", name)
		}
	}
}

// fieldSchema names the schemas of types that have another name here.
var fieldSchema = map[reflect.Type]string{reflect.TypeFor[*problem](): "Problem"}

// members returns the JSON names of a struct, those of embedded ones too:
// always written, and left out when empty.
func members(typ reflect.Type) (always, sometimes []string) {
	for i := range typ.NumField() {
		f := typ.Field(i)
		tag := f.Tag.Get("json")
		switch name, opts, _ := strings.Cut(tag, ","); {
		case f.Anonymous && tag == "":
			a, s := members(f.Type)
			always, sometimes = append(always, a...), append(sometimes, s...)
		case tag == "-" || !f.IsExported():
		case strings.Contains(opts, "omitempty") || strings.Contains(opts, "omitzero"):
			sometimes = append(sometimes, name)
		default:
			always = append(always, name)
		}
	}
	return always, sometimes
}
