package kb

import (
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/invopop/jsonschema"
)

// Schema returns the JSON Schema (draft 2020-12) of an article file, for
// completion and checking in editors. It is made from the Go types; each kind
// stands alone under $defs by its name. What refers to other files (ids,
// findings) only Load can check.
func Schema() ([]byte, error) {
	r := jsonschema.Reflector{
		FieldNameTag:   "yaml",
		Anonymous:      true,
		DoNotReference: true,
		ExpandedStruct: true,
		Mapper:         schemaOf,
	}
	defs := jsonschema.Definitions{}
	root := &jsonschema.Schema{
		Version:     jsonschema.Version,
		Title:       "Article",
		Description: "One article of the knowledge base: a symptom, a cause, a test, a card, a circuit or a path.",
		Type:        "object",
		Properties:  jsonschema.NewProperties(),
		Required:    []string{"kind"},
		Definitions: defs,
	}
	kinds := sortedKeys(articleTypes)
	root.Properties.Set("kind", &jsonschema.Schema{Type: "string", Enum: anys(kinds)})
	for _, kind := range kinds {
		s := r.ReflectFromType(articleTypes[kind])
		s.Version = ""
		restrict(s)
		s.Properties.Set("kind", &jsonschema.Schema{Type: "string", Enum: []any{kind}})
		defs[kind] = s

		is := jsonschema.NewProperties()
		is.Set("kind", &jsonschema.Schema{Enum: []any{kind}})
		root.AllOf = append(root.AllOf, &jsonschema.Schema{
			If:   &jsonschema.Schema{Properties: is},
			Then: &jsonschema.Schema{Ref: "#/$defs/" + kind},
		})
	}
	out, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("kb: schema: %w", err)
	}
	return append(out, '\n'), nil
}

// schemaOf gives the types whose Go kind says too little.
func schemaOf(t reflect.Type) *jsonschema.Schema {
	switch t {
	case reflect.TypeFor[Likelihood]():
		words := make([]any, 0, len(Scale))
		for _, w := range sortedKeys(scaleByName) {
			words = append(words, w)
		}
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{
			{Type: "string", Enum: words},
			{Type: "number", ExclusiveMinimum: "0", ExclusiveMaximum: "1"},
		}}
	case reflect.TypeFor[Basis]():
		return &jsonschema.Schema{Type: "string", Pattern: "^(common practice|memory|user's manual|invented|published:.*[^ ].*)$"}
	}
	return nil
}

// restrict adds the fixed vocabularies, which the Go types leave as text.
func restrict(s *jsonschema.Schema) {
	vocab := map[string][]string{
		"severity": severities, "difficulty": difficulties, "relation": relations, "place": places, "order": orders,
		"known_by": knownBy, "comes": comes, "quantity": quantities, "shows_after": afterAll, "when": drawWhen,
	}
	var walk func(s *jsonschema.Schema)
	walk = func(s *jsonschema.Schema) {
		if s == nil {
			return
		}
		if s.Properties != nil {
			for p := s.Properties.Oldest(); p != nil; p = p.Next() {
				if words, ok := vocab[p.Key]; ok && p.Value.Type == "string" {
					p.Value.Enum = anys(words)
				}
				if p.Key == "id" && p.Value.Type == "string" {
					p.Value.Pattern = idSyntax.String()
				}
				walk(p.Value)
			}
		}
		walk(s.Items)
		walk(s.AdditionalProperties)
	}
	walk(s)
}

func anys(ss []string) []any {
	out := make([]any, len(ss))
	for i, s := range ss {
		out[i] = s
	}
	return out
}
