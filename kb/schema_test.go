package kb

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"
	"gopkg.in/yaml.v3"
)

// schemas returns the schema of each kind, read back from its text.
func schemas(t *testing.T) map[string]*jsonschema.Schema {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	var root jsonschema.Schema
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	return root.Definitions
}

// admits checks a JSON value against a schema by the keywords that Schema
// uses (JSON Schema 2020-12, core and validation) and refuses any other
// keyword, so that none is passed over.
func admits(s *jsonschema.Schema, v any, at string) error {
	known := *s
	known.Type, known.Enum, known.Pattern, known.Required, known.AnyOf = "", nil, "", nil, nil
	known.Properties, known.AdditionalProperties, known.Items = nil, nil, nil
	known.MinItems, known.MaxItems, known.ExclusiveMinimum, known.ExclusiveMaximum = nil, nil, "", ""
	if reflect.DeepEqual(*s, *jsonschema.FalseSchema) {
		return fmt.Errorf("%s is not allowed", at)
	}
	if rest, err := json.Marshal(&known); err != nil || string(rest) != "true" && string(rest) != "{}" {
		return fmt.Errorf("%s: schema keywords not known to this test: %s, %v", at, rest, err)
	}
	if len(s.AnyOf) > 0 {
		var errs []string
		for _, alt := range s.AnyOf {
			err := admits(alt, v, at)
			if err == nil {
				return nil
			}
			errs = append(errs, err.Error())
		}
		return fmt.Errorf("none of: %s", strings.Join(errs, "; "))
	}
	if len(s.Enum) > 0 {
		found := false
		for _, x := range s.Enum {
			found = found || reflect.DeepEqual(x, v)
		}
		if !found {
			return fmt.Errorf("%s: %v is not among %v", at, v, s.Enum)
		}
	}
	typed := map[string]bool{"": true}
	switch v := v.(type) {
	case string:
		typed["string"] = true
		if s.Pattern != "" && !regexp.MustCompile(s.Pattern).MatchString(v) {
			return fmt.Errorf("%s: %q does not match %s", at, v, s.Pattern)
		}
	case bool:
		typed["boolean"] = true
	case float64:
		typed["number"], typed["integer"] = true, v == float64(int(v))
		for _, limit := range []struct {
			n    json.Number
			sign float64
		}{{s.ExclusiveMinimum, 1}, {s.ExclusiveMaximum, -1}} {
			if x, err := limit.n.Float64(); limit.n != "" && (err != nil || (v-x)*limit.sign <= 0) {
				return fmt.Errorf("%s: %v is out of range", at, v)
			}
		}
	case []any:
		typed["array"] = true
		if s.MinItems != nil && uint64(len(v)) < *s.MinItems || s.MaxItems != nil && uint64(len(v)) > *s.MaxItems {
			return fmt.Errorf("%s has %d entries", at, len(v))
		}
		for i, x := range v {
			if err := admits(s.Items, x, fmt.Sprintf("%s/%d", at, i)); err != nil {
				return err
			}
		}
	case map[string]any:
		typed["object"] = true
		for _, key := range s.Required {
			if _, ok := v[key]; !ok {
				return fmt.Errorf("%s has no %s", at, key)
			}
		}
		for key, x := range v {
			sub := s.AdditionalProperties
			if s.Properties != nil {
				if own, ok := s.Properties.Get(key); ok {
					sub = own
				}
			}
			if sub != nil {
				if err := admits(sub, x, at+"/"+key); err != nil {
					return err
				}
			}
		}
	}
	if !typed[s.Type] {
		return fmt.Errorf("%s: %v is no %s", at, v, s.Type)
	}
	return nil
}

func asJSON(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var v map[string]any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(b, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestSchemaAdmitsSoundArticles(t *testing.T) {
	defs := schemas(t)
	kinds := map[string]int{}
	for file, text := range soundFiles() {
		if !strings.HasPrefix(file, "articles/") {
			continue
		}
		v := asJSON(t, []byte(text))
		kind := v["kind"].(string)
		kinds[kind]++
		if err := admits(defs[kind], v, kind); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	for kind := range articleTypes {
		if kinds[kind] == 0 {
			t.Errorf("no sound article of kind %s was tried", kind)
		}
	}
}

func TestSchemaAdmitsEmbeddedArticles(t *testing.T) {
	defs := schemas(t)
	bad := map[string]bool{}
	_, problems := Embedded()
	for _, p := range problems.Errors() {
		bad[p.File] = true
	}
	err := fs.WalkDir(EmbeddedFS(), "articles", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".yaml") || bad[file] {
			return err
		}
		text, err := fs.ReadFile(EmbeddedFS(), file)
		if err != nil {
			return err
		}
		v := asJSON(t, text)
		if err := admits(defs[v["kind"].(string)], v, file); err != nil {
			t.Errorf("%s: %v", file, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestSchemaRefuses(t *testing.T) {
	defs := schemas(t)
	for name, change := range map[string]func(map[string]any){
		"unknown key":       func(v map[string]any) { v["colour"] = "red" },
		"missing title":     func(v map[string]any) { delete(v, "title") },
		"severity":          func(v map[string]any) { v["severity"] = "awful" },
		"likelihood word":   func(v map[string]any) { v["shows"].(map[string]any)["drips"] = map[string]any{"present": "mostly"} },
		"likelihood number": func(v map[string]any) { v["shows"].(map[string]any)["drips"] = map[string]any{"present": 1.5} },
		"basis":             func(v map[string]any) { v["frequency"].(map[string]any)["basis"] = "hearsay" },
	} {
		v := asJSON(t, []byte(soundFiles()["articles/cooling/hose-split.yaml"]))
		if err := admits(defs["cause"], v, "cause"); err != nil {
			t.Fatal(err)
		}
		change(v)
		if admits(defs["cause"], v, "cause") == nil {
			t.Errorf("%s: admitted", name)
		}
	}
}
