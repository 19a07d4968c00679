package plainwords

import (
	"io/fs"
	"path"
	"sort"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"ruleout/kb"
)

// looseBase decodes the embedded lists and articles without validation: the
// reader needs only their words, so that an article with a dangling link must
// not stop its tests.
func looseBase(tb testing.TB) *kb.Base {
	tb.Helper()
	if b, problems := kb.Load(kb.EmbeddedFS()); len(problems) == 0 {
		return b
	}
	return decoded(tb)
}

func decoded(tb testing.TB) *kb.Base {
	tb.Helper()
	b := &kb.Base{}
	files := kb.EmbeddedFS()
	list := func(name string, into any) {
		data, err := fs.ReadFile(files, "lists/"+name+".yaml")
		if err != nil {
			tb.Fatal(err)
		}
		if err := yaml.Unmarshal(data, into); err != nil {
			tb.Fatalf("%s: %v", name, err)
		}
	}
	list("systems", &b.Systems)
	list("parts", &b.Parts)
	list("modes", &b.Modes)
	list("axes", &b.Axes)
	list("events", &b.Events)
	list("vehicle", &b.Vehicle)
	list("tools", &b.Tools)
	list("states", &b.States)
	list("synonyms", &b.Synonyms)
	list("vocabulary", &b.Words)
	list("usage", &b.Usages)
	list("derived", &b.Derived)
	signs, err := fs.Glob(files, "lists/signs/*.yaml")
	if err != nil {
		tb.Fatal(err)
	}
	sort.Strings(signs)
	for _, name := range signs {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			tb.Fatal(err)
		}
		var list []kb.Sign
		if err := yaml.Unmarshal(data, &list); err != nil {
			tb.Log(err)
			continue
		}
		for _, g := range list {
			b.Symptoms = append(b.Symptoms, &kb.Symptom{ID: g.ID, Title: g.Title, System: g.System, Said: g.Said})
		}
	}
	var names []string
	err = fs.WalkDir(files, "articles", func(p string, d fs.DirEntry, err error) error {
		if err == nil && path.Ext(p) == ".yaml" {
			names = append(names, p)
		}
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	sort.Strings(names)
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			tb.Fatal(err)
		}
		switch head, _, _ := strings.Cut(string(data), "\n"); strings.TrimSpace(head) {
		case "kind: symptom":
			decode(tb, data, &b.Symptoms)
		case "kind: test":
			decode(tb, data, &b.Tests)
		case "kind: cause":
			decode(tb, data, &b.Causes)
		case "kind: card":
			decode(tb, data, &b.Cards)
		}
	}
	return b
}

func decode[T any](tb testing.TB, data []byte, into *[]*T) {
	v := new(T)
	if err := yaml.Unmarshal(data, v); err != nil {
		tb.Log(err)
		return
	}
	*into = append(*into, v)
}
