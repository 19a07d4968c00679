package kb

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Limits of one authored file. An article is a few kilobytes; the limits only
// keep a hostile or mistaken file from costing memory or stack.
const (
	maxFileBytes = 1 << 20
	maxDepth     = 20
)

// document is one authored file, kept with its text and its tree so that
// every later finding about it can point at line and column.
type document struct {
	layer int
	file  string
	lines []string
	root  *yaml.Node
}

// problem returns a problem at the node (or of the whole file if nil).
func (d *document) problem(n *yaml.Node, s Severity, what, fix string) Problem {
	p := Problem{Severity: s, Layer: d.layer, File: d.file, What: what, Fix: fix}
	if n != nil && n.Line > 0 {
		p.Line, p.Column = n.Line, n.Column
		if n.Line <= len(d.lines) {
			p.Snippet = d.lines[n.Line-1]
		}
	}
	return p
}

// octal matches numbers that YAML would read to the base eight.
var octal = regexp.MustCompile(`^[-+]?0\d`)

var yamlLine = regexp.MustCompile(`line (\d+): `)

// parse reads one YAML document without interpreting it. It refuses what no
// article needs: other encodings, several documents, anchors and aliases, and
// deep nesting. An empty file has a nil root.
func parse(layer int, file string, text []byte) (d *document, problems Problems) {
	d = &document{layer: layer, file: file}
	fail := func(n *yaml.Node, what, fix string) (*document, Problems) {
		return d, Problems{d.problem(n, SeverityError, what, fix)}
	}
	if len(text) > maxFileBytes {
		return fail(nil, fmt.Sprintf("the file is larger than %d KiB", maxFileBytes>>10), "")
	}
	if !utf8.Valid(text) {
		return fail(nil, "the file is not UTF-8 text", "")
	}
	d.lines = strings.Split(string(text), "\n")
	// The parser reports its own errors by panicking inside; should one ever
	// escape, it is the file's fault and must not stop the others.
	defer func() {
		if r := recover(); r != nil {
			d.root = nil
			_, problems = fail(nil, fmt.Sprintf("not readable as YAML: %v", r), "")
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var n yaml.Node
	if err := dec.Decode(&n); errors.Is(err, io.EOF) {
		return d, nil
	} else if err != nil {
		return d, Problems{d.syntaxError(err)}
	}
	if err := dec.Decode(new(yaml.Node)); err == nil {
		return fail(&n, "several documents in one file", "keep one article a file")
	} else if !errors.Is(err, io.EOF) {
		return d, Problems{d.syntaxError(err)}
	}
	if bad, what := refused(&n, 0); bad != nil {
		return fail(bad, what, "")
	}
	if len(n.Content) == 1 {
		d.root = n.Content[0]
	}
	return d, nil
}

// syntaxError places the parser's message, which has a line but no column.
func (d *document) syntaxError(err error) Problem {
	msg := strings.TrimPrefix(err.Error(), "yaml: ")
	p := Problem{Severity: SeverityError, Layer: d.layer, File: d.file}
	if m := yamlLine.FindStringSubmatch(msg); m != nil {
		p.Line, _ = strconv.Atoi(m[1])
		p.Column = 1
		if p.Line >= 1 && p.Line <= len(d.lines) {
			p.Snippet = d.lines[p.Line-1]
		}
		msg = strings.Replace(msg, m[0], "", 1)
	}
	p.What = "not readable as YAML: " + msg
	p.Fix = "put text with a colon, # or quotes in \"double quotes\" and indent with spaces"
	return p
}

// refused returns the first node that is an anchor, an alias, a merge, an
// explicit tag or too deep, with the reason.
func refused(n *yaml.Node, depth int) (*yaml.Node, string) {
	switch {
	case depth > maxDepth:
		return n, "nested too deeply"
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		return n, "anchors and aliases are not allowed"
	case n.Tag == "!!merge":
		return n, "merge keys are not allowed"
	case n.Style&yaml.TaggedStyle != 0:
		return n, "tags are not allowed"
	}
	for _, c := range n.Content {
		if bad, what := refused(c, depth+1); bad != nil {
			return bad, what
		}
	}
	return nil, ""
}

// shape compares a tree with the Go type it is to fill and reports every
// unknown or repeated key and every value of the wrong kind. A tree without
// such problems decodes into the type without error.
func (d *document) shape(n *yaml.Node, t reflect.Type, name string) Problems {
	wrong := func(want string) Problems {
		return Problems{d.problem(n, SeverityError, name+" must be "+want, "")}
	}
	if n.Kind == yaml.ScalarNode && n.Tag == "!!null" && t.Kind() != reflect.Pointer {
		return Problems{d.problem(n, SeverityError, name+" is empty", "fill it in or leave the key out")}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return d.shape(n, t.Elem(), name)
	case reflect.String:
		if n.Kind != yaml.ScalarNode {
			return wrong("text")
		}
	case reflect.Bool:
		if n.Kind != yaml.ScalarNode || n.Tag != "!!bool" {
			return wrong("true or false")
		}
	case reflect.Float64, reflect.Int:
		if n.Kind != yaml.ScalarNode || (n.Tag != "!!int" && n.Tag != "!!float") {
			return wrong("a number")
		}
		if v, err := strconv.ParseFloat(n.Value, 64); err != nil || math.IsInf(v, 0) || math.IsNaN(v) || octal.MatchString(n.Value) {
			return wrong("a plain decimal number")
		}
		if _, err := strconv.ParseInt(n.Value, 10, 32); err != nil && t.Kind() == reflect.Int {
			return wrong("a whole number")
		}
	case reflect.Slice, reflect.Array:
		if n.Kind != yaml.SequenceNode {
			return wrong("a list")
		}
		if t.Kind() == reflect.Array && len(n.Content) != t.Len() {
			return wrong(fmt.Sprintf("a list of %d", t.Len()))
		}
		var ps Problems
		for _, c := range n.Content {
			ps = append(ps, d.shape(c, t.Elem(), "an entry of "+name)...)
		}
		return ps
	case reflect.Map, reflect.Struct:
		if n.Kind != yaml.MappingNode {
			return wrong("a mapping (key: value)")
		}
		return d.mapping(n, t, name)
	}
	return nil
}

func (d *document) mapping(n *yaml.Node, t reflect.Type, name string) Problems {
	var ps Problems
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if k.Kind != yaml.ScalarNode || k.Tag == "!!null" {
			ps = append(ps, d.problem(k, SeverityError, "a key of "+name+" must be text", ""))
			continue
		}
		if seen[k.Value] {
			ps = append(ps, d.problem(k, SeverityError, fmt.Sprintf("key %q is given twice", k.Value), ""))
			continue
		}
		seen[k.Value] = true
		elem := t
		if t.Kind() == reflect.Map {
			elem = t.Elem()
		} else if f, ok := fieldOf(t, k.Value); ok {
			elem = f
		} else {
			fix := didYouMean(k.Value, keysOf(t))
			if v.Tag == "!!null" && n.Style&yaml.FlowStyle != 0 {
				fix = "put text with a comma in \"double quotes\""
			}
			ps = append(ps, d.problem(k, SeverityError, fmt.Sprintf("%s has no key %q", name, k.Value), fix))
			continue
		}
		ps = append(ps, d.shape(v, elem, strconv.Quote(k.Value))...)
	}
	return ps
}

// keysOf returns the YAML keys of a struct type in order.
func keysOf(t reflect.Type) []string {
	var out []string
	for i := range t.NumField() {
		if k, _, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ","); k != "" && k != "-" {
			out = append(out, k)
		}
	}
	sort.Strings(out)
	return out
}

func fieldOf(t reflect.Type, key string) (reflect.Type, bool) {
	for i := range t.NumField() {
		if k, _, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ","); k == key && k != "-" {
			return t.Field(i).Type, true
		}
	}
	return nil, false
}

// at follows keys (string) and positions (int) down from the node as far as
// they exist and returns the key's node for a last string step, the entry's
// for a last position. It is where the author's eye should go.
func at(n *yaml.Node, path ...any) *yaml.Node {
	key := n
	for _, step := range path {
		found := false
		switch s := step.(type) {
		case string:
			if n.Kind != yaml.MappingNode {
				break
			}
			for i := 0; i+1 < len(n.Content); i += 2 {
				if n.Content[i].Value == s {
					key, n, found = n.Content[i], n.Content[i+1], true
					break
				}
			}
		case int:
			if n.Kind == yaml.SequenceNode && s < len(n.Content) {
				n, found = n.Content[s], true
				key = n
			}
		}
		if !found {
			return key
		}
	}
	return key
}
