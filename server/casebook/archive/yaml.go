package archive

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// readYAML reads a file of ours: text of bounded size, one document, of the
// version expected, without anchors (which can blow a small file up), and
// without keys that are not known.
func readYAML(name string, data []byte, most int, key string, version int, into any) error {
	switch {
	case len(data) > most:
		return fault(name, "", "it is larger than %d MiB", most>>20)
	case len(data) == 0:
		return fault(name, "", "it is empty")
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return fault(name, "export it again", "it is not text")
	}
	var doc yaml.Node
	dec := yaml.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&doc); err != nil {
		return fault(name, "mend the line or export it again", "%s", plain(err))
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return fault(name, "keep one file a case", "it holds more than one document")
	}
	if n := anchored(&doc, 0); n != nil {
		return fault(fmt.Sprintf("%s:%d:%d", name, n.Line, n.Column), "write it out", "anchors and aliases are not taken")
	}
	if len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode {
		return fault(name, "the first line is "+key+": 1", "it is not a file of this program")
	}
	top := doc.Content[0].Content
	at := slices.IndexFunc(top, func(n *yaml.Node) bool { return n.Value == key })
	if at < 0 || at%2 != 0 {
		return fault(name, "the first line is "+key+": 1", "it is not a file of this program: %s is missing", key)
	}
	if v := top[at+1]; v.Value != fmt.Sprint(version) {
		return fault(fmt.Sprintf("%s:%d:%d", name, v.Line, v.Column), "use the program that wrote it", "its format is %.20q; this program knows %d", v.Value, version)
	}
	strict := yaml.NewDecoder(bytes.NewReader(data))
	strict.KnownFields(true)
	if err := strict.Decode(into); err != nil {
		return fault(name, "mend the line or export it again", "%s", plain(err))
	}
	return nil
}

// depthMost is how deep a file of ours goes at most, and some.
const depthMost = 40

// anchored finds an anchor, an alias or a depth that no file of ours has.
func anchored(n *yaml.Node, depth int) *yaml.Node {
	if n.Kind == yaml.AliasNode || n.Anchor != "" || depth > depthMost {
		return n
	}
	for _, c := range n.Content {
		if bad := anchored(c, depth+1); bad != nil {
			return bad
		}
	}
	return nil
}

// plain is the library's complaint without its name and kept short.
func plain(err error) string {
	text := strings.TrimPrefix(strings.Join(strings.Fields(err.Error()), " "), "yaml: ")
	text = strings.TrimPrefix(text, "unmarshal errors: ")
	if r := []rune(text); len(r) > 300 {
		text = string(r[:300]) + "…"
	}
	return text
}

func keys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
