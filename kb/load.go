package kb

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"reflect"
	"runtime"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"
)

// Load reads layers of lists and articles, checks them and builds the base.
//
// A layer holds lists/NAME.yaml and articles/SYSTEM/ID.yaml; either may be
// missing. A later layer's entry replaces the entry with the same id (for
// synonyms and vocabulary, the same term) or adds to the set; what its lists/derived.yaml
// names is laid over key by key. Hidden files and files that don't end in
// .yaml are passed over.
//
// Problems holds everything found wrong in one run. The base is never nil: it
// is made of what is sound: without the entries whose errors make them
// unusable and without the references to what is missing, so that half of a
// base under way can be tried. Whoever needs the whole set asks for
// len(problems.Errors()) == 0. Load never panics, whatever the bytes.
func Load(layers ...fs.FS) (*Base, Problems) {
	s := newSet()
	for i, layer := range layers {
		s.layer = i
		s.readLayer(layer)
	}
	b := s.build()
	s.problems = append(s.problems, s.validate(b)...)
	// Leave out what is wrong until nothing that remains is wrong.
	for s.dropBad() {
		b = s.build()
		s.validate(b)
	}
	b.limitToParts()
	b.indicate()
	b.deriveLongTail()
	b.adoptFaults()
	b.deriveCards()
	b.derivePaths()
	b.deriveTogether()
	b.deriveReal()
	b.computeLinks()
	b.Digest = b.digest()
	return b, s.problems.sorted()
}

// entry is one list entry or article with its place in its file.
type entry struct {
	kind  string // a list's name or an article's kind
	id    string
	layer int
	doc   *document
	node  *yaml.Node
	value any // pointer to the Go type of the kind
	// bad means that it can't be used; cuts are the references in it to what
	// does not exist, without which it could.
	bad  bool
	cuts []*yaml.Node
}

// set is the entries of all layers by kind and id.
type set struct {
	layer    int
	entries  map[string]map[string]*entry
	articles map[string]*entry // by id, whatever the kind
	derived  Derived
	derivedE *entry // where derived came from last, or nil
	problems Problems
	// broken holds the ids of entries that could not be read (and the names of
	// such lists), so that references to them are not reported as well.
	broken map[string]bool
}

func newSet() *set {
	return &set{entries: map[string]map[string]*entry{}, articles: map[string]*entry{}, broken: map[string]bool{}}
}

// listTypes maps a list's file name to its entry type and the key that
// identifies an entry.
var listTypes = map[string]struct {
	entry reflect.Type
	id    string
}{
	"systems":    {reflect.TypeFor[System](), "id"},
	"parts":      {reflect.TypeFor[Part](), "id"},
	"modes":      {reflect.TypeFor[Mode](), "id"},
	"axes":       {reflect.TypeFor[Axis](), "id"},
	"events":     {reflect.TypeFor[Event](), "id"},
	"vehicle":    {reflect.TypeFor[Attribute](), "id"},
	"tools":      {reflect.TypeFor[Tool](), "id"},
	"access":     {reflect.TypeFor[Access](), "id"},
	"states":     {reflect.TypeFor[State](), "id"},
	"hazards":    {reflect.TypeFor[Hazard](), "id"},
	"synonyms":   {reflect.TypeFor[Synonym](), "term"},
	"signs":      {reflect.TypeFor[Sign](), "id"},
	"effects":    {reflect.TypeFor[Effect](), "id"},
	"ways":       {reflect.TypeFor[Ways](), "for"},
	"tellings":   {reflect.TypeFor[Telling](), "for"},
	"histories":  {reflect.TypeFor[History](), "for"},
	"kinds":      {reflect.TypeFor[PartKind](), "id"},
	"means":      {reflect.TypeFor[BlindSpot](), "id"},
	"real":       {reflect.TypeFor[Indication](), "id"},
	"vocabulary": {reflect.TypeFor[Word](), "term"},
	"usage":      {reflect.TypeFor[Usage](), "use"},
}

var articleTypes = map[string]reflect.Type{
	string(KindSymptom): reflect.TypeFor[Symptom](),
	string(KindCause):   reflect.TypeFor[Cause](),
	string(KindTest):    reflect.TypeFor[Test](),
	string(KindCard):    reflect.TypeFor[Card](),
	string(KindCircuit): reflect.TypeFor[Circuit](),
	string(KindPath):    reflect.TypeFor[Path](),
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// readLayer adds one layer to the set.
func (s *set) readLayer(layer fs.FS) {
	var files []parsed
	for _, root := range []string{"lists", "articles"} {
		err := fs.WalkDir(layer, root, func(file string, d fs.DirEntry, err error) error {
			switch {
			case errors.Is(err, fs.ErrNotExist) && file == root:
				return nil
			case err != nil:
				s.note(nil, Problem{Severity: SeverityError, Layer: s.layer, File: file, What: "not readable: " + plainError(err)})
				return nil
			case strings.HasPrefix(d.Name(), ".") && file != root:
				if d.IsDir() {
					return fs.SkipDir
				}
				return nil
			case d.IsDir() || !strings.HasSuffix(file, ".yaml"):
				if strings.HasSuffix(file, ".yml") {
					s.note(nil, Problem{Severity: SeverityWarning, Layer: s.layer, File: file, What: "passed over", Fix: "name it .yaml"})
				}
				return nil
			}
			files = append(files, parsed{file: file, root: root})
			return nil
		})
		if err != nil {
			s.note(nil, Problem{Severity: SeverityError, Layer: s.layer, File: root, What: "not readable: " + plainError(err)})
		}
	}
	s.parseAll(layer, files)
	for _, f := range files {
		s.take(f)
	}
}

// plainError returns the reason without the path that the problem names.
func plainError(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// note records a problem, and against the entry if there is one.
func (s *set) note(e *entry, p Problem) {
	s.problems = append(s.problems, p)
	if e != nil && p.Severity == SeverityError {
		e.bad = true
	}
}

// parsed is a file that was read, or what kept it from being read.
type parsed struct {
	file, root string
	doc        *document
	problems   Problems
}

// parseAll reads files side by side, since each stands alone and reading them
// is most of the time that loading takes. The result keeps their order.
func (s *set) parseAll(layer fs.FS, files []parsed) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				f := &files[i]
				f.doc, f.problems = s.parseFile(layer, f.file)
			}
		})
	}
	for i := range files {
		next <- i
	}
	close(next)
	wait.Wait()
}

func (s *set) parseFile(layer fs.FS, file string) (*document, Problems) {
	unreadable := func(err error) (*document, Problems) {
		return nil, Problems{{Severity: SeverityError, Layer: s.layer, File: file, What: "not readable: " + plainError(err)}}
	}
	f, err := layer.Open(file)
	if err != nil {
		return unreadable(err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxFileBytes+1))
	if err != nil {
		return unreadable(err)
	}
	return parse(s.layer, file, text)
}

// take adds what a file holds.
func (s *set) take(f parsed) {
	s.problems = append(s.problems, f.problems...)
	switch {
	case len(f.problems) > 0:
		// Its name is the best guess at what it would have held.
		s.broken[strings.TrimSuffix(path.Base(f.file), ".yaml")] = true
	case f.root == "articles":
		s.readArticle(f.doc)
	default:
		s.readList(f.doc)
	}
}

// readList adds the entries of one list file. An empty file is an empty list.
func (s *set) readList(doc *document) {
	name := strings.TrimSuffix(path.Base(doc.file), ".yaml")
	if dir := path.Dir(doc.file); dir != "lists" {
		name = path.Base(dir) // a list that is a folder of files
	}
	if name == "derived" {
		s.readDerived(doc)
		return
	}
	lt, ok := listTypes[name]
	if !ok {
		s.note(nil, doc.problem(nil, SeverityError, fmt.Sprintf("there is no list %q", name), didYouMean(name, append(sortedKeys(listTypes), "derived"))))
		return
	}
	if doc.root == nil {
		return
	}
	if doc.root.Kind != yaml.SequenceNode {
		s.note(nil, doc.problem(doc.root, SeverityError, "a list file must be a YAML list", `begin each entry with "- "`))
		return
	}
	for _, n := range doc.root.Content {
		s.add(doc, n, name, lt.entry, lt.id)
	}
}

func (s *set) readDerived(doc *document) {
	if doc.root == nil {
		return
	}
	e := &entry{kind: "derived", id: "derived", layer: s.layer, doc: doc, node: doc.root}
	if ps := doc.shape(doc.root, reflect.TypeFor[Derived](), "derived"); len(ps) > 0 {
		s.problems = append(s.problems, ps...)
		return
	}
	if err := doc.root.Decode(&s.derived); err != nil {
		s.note(nil, doc.syntaxError(err))
		return
	}
	s.derivedE = e
}

func (s *set) readArticle(doc *document) {
	if doc.root == nil {
		s.note(nil, doc.problem(nil, SeverityError, "the file is empty", ""))
		return
	}
	if doc.root.Kind != yaml.MappingNode {
		s.note(nil, doc.problem(doc.root, SeverityError, "an article must be a mapping (key: value)", ""))
		return
	}
	kind := field(doc.root, "kind")
	if kind == nil {
		s.note(nil, doc.problem(doc.root, SeverityError, "the article has no kind", "add kind: symptom, cause, test, card, circuit or path"))
		return
	}
	t, ok := articleTypes[kind.Value]
	if !ok {
		fix := didYouMean(kind.Value, sortedKeys(articleTypes))
		if fix == "" {
			fix = "use symptom, cause, test, card, circuit or path"
		}
		s.breakIDs(doc.root)
		s.note(nil, doc.problem(kind, SeverityError, fmt.Sprintf("no kind of article %q", kind.Value), fix))
		return
	}
	s.add(doc, doc.root, kind.Value, t, "id")
}

// breakIDs marks every id that an unreadable entry would have defined.
func (s *set) breakIDs(n *yaml.Node) {
	if id := field(n, "id"); id != nil {
		s.broken[id.Value] = true
	}
	if questions := field(n, "questions"); questions != nil {
		for _, q := range questions.Content {
			s.breakIDs(q)
		}
	}
}

// field returns the value node of a key, or nil.
func field(n *yaml.Node, key string) *yaml.Node {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == key {
				return n.Content[i+1]
			}
		}
	}
	return nil
}

// add checks the shape of one entry and puts it into the set.
func (s *set) add(doc *document, n *yaml.Node, kind string, t reflect.Type, idKey string) {
	_, isArticle := articleTypes[kind]
	name := "the " + kind
	if !isArticle {
		name = "an entry of " + kind
	}
	if ps := doc.shape(n, t, name); len(ps) > 0 {
		s.problems = append(s.problems, ps...)
		s.breakIDs(n)
		return
	}
	v := reflect.New(t)
	if err := n.Decode(v.Interface()); err != nil {
		s.note(nil, doc.syntaxError(err))
		return
	}
	idNode := field(n, idKey)
	if idNode == nil || idNode.Value == "" {
		s.note(nil, doc.problem(n, SeverityError, fmt.Sprintf("%s has no %s", name, idKey), ""))
		return
	}
	e := &entry{kind: kind, id: idNode.Value, layer: s.layer, doc: doc, node: n, value: v.Interface()}
	same := s.entries[kind]
	if same == nil {
		same = map[string]*entry{}
		s.entries[kind] = same
	}
	old := same[e.id]
	if isArticle {
		old = s.articles[e.id]
	}
	if old != nil && old.layer == e.layer {
		s.note(e, doc.problem(idNode, SeverityError, fmt.Sprintf("%s %q is given twice", idKey, e.id), fmt.Sprintf("the other is at %s:%d", old.doc.file, old.node.Line)))
		return
	}
	if isArticle {
		if old != nil {
			delete(s.entries[old.kind], old.id)
		}
		s.articles[e.id] = e
	}
	same[e.id] = e
}

// dropBad takes out the entries that can't be used, and the references to
// what does not exist from the others. It reports whether there were any.
func (s *set) dropBad() bool {
	dropped := false
	for _, same := range s.entries {
		for id, e := range same {
			if !e.bad && len(e.cuts) > 0 {
				dropped = true
				e.bad = !e.cut()
			}
			if e.bad {
				delete(same, id)
				if s.articles[id] == e {
					delete(s.articles, id)
				}
				dropped = true
			}
		}
	}
	if s.derivedE != nil && s.derivedE.bad {
		s.derived, s.derivedE, dropped = Derived{}, nil, true
	}
	return dropped
}

// cut takes the nodes in cuts out of the tree, decodes what is left and
// reports whether all were found.
func (e *entry) cut() bool {
	left := len(e.cuts)
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		step := 1
		if n.Kind == yaml.MappingNode {
			step = 2
		}
		var kept []*yaml.Node
		for i := 0; i+step <= len(n.Content); i += step {
			if slices.Contains(e.cuts, n.Content[i]) {
				left--
				continue
			}
			kept = append(kept, n.Content[i:i+step]...)
		}
		n.Content = kept
		for _, c := range kept {
			walk(c)
		}
	}
	walk(e.node)
	e.cuts = nil
	v := reflect.New(reflect.TypeOf(e.value).Elem())
	if left != 0 || e.node.Decode(v.Interface()) != nil {
		return false
	}
	e.value = v.Interface()
	return true
}

// inOrder returns the entries of a kind in id order.
func (s *set) inOrder(kind string) []*entry {
	same := s.entries[kind]
	out := make([]*entry, 0, len(same))
	for _, id := range sortedKeys(same) {
		out = append(out, same[id])
	}
	return out
}

func values[T any](s *set, kind string) []T {
	var out []T
	for _, e := range s.inOrder(kind) {
		out = append(out, *e.value.(*T))
	}
	return out
}

func pointers[T any](s *set, kind string) []*T {
	var out []*T
	for _, e := range s.inOrder(kind) {
		out = append(out, e.value.(*T))
	}
	return out
}

// build makes the base of the set as it stands, with the findings and
// likelihoods that the validator needs; what is wrong in the articles is left
// out of these.
func (s *set) build() *Base {
	b := &Base{
		Lists: Lists{
			Systems: values[System](s, "systems"), Parts: values[Part](s, "parts"), Modes: values[Mode](s, "modes"),
			Axes: values[Axis](s, "axes"), Events: values[Event](s, "events"), Vehicle: values[Attribute](s, "vehicle"),
			Tools: values[Tool](s, "tools"), Access: values[Access](s, "access"), States: values[State](s, "states"),
			Hazards: values[Hazard](s, "hazards"), Synonyms: values[Synonym](s, "synonyms"), Words: values[Word](s, "vocabulary"), Usages: values[Usage](s, "usage"), Signs: values[Sign](s, "signs"), Effects: values[Effect](s, "effects"), Ways: values[Ways](s, "ways"), Tellings: values[Telling](s, "tellings"), Histories: values[History](s, "histories"), Derived: s.derived,
			Follows: followsOf(s),
		},
		Symptoms:  pointers[Symptom](s, string(KindSymptom)),
		Causes:    pointers[Cause](s, string(KindCause)),
		Tests:     pointers[Test](s, string(KindTest)),
		Cards:     pointers[Card](s, string(KindCard)),
		Circuits:  pointers[Circuit](s, string(KindCircuit)),
		Paths:     pointers[Path](s, string(KindPath)),
		heads:     map[string]Head{},
		symptoms:  map[string]*Symptom{},
		causes:    map[string]*Cause{},
		tests:     map[string]*Test{},
		cards:     map[string]*Card{},
		circuits:  map[string]*Circuit{},
		paths:     map[string]*Path{},
		findings:  map[string]*Finding{},
		parts:     map[string]*Part{},
		modes:     map[string]*Mode{},
		backlinks: map[string][]string{},
	}
	for _, a := range b.Symptoms {
		b.symptoms[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for _, a := range b.Causes {
		b.causes[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for _, a := range b.Tests {
		b.tests[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for _, a := range b.Cards {
		b.cards[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for _, a := range b.Circuits {
		b.circuits[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for _, a := range b.Paths {
		b.paths[a.ID] = a
		b.heads[a.ID] = Head{Kind: a.Kind, ID: a.ID, Title: a.Title, System: a.System, Body: a.Body}
	}
	for i := range b.Parts {
		b.parts[b.Parts[i].ID] = &b.Parts[i]
	}
	for i := range b.Modes {
		b.modes[b.Modes[i].ID] = &b.Modes[i]
	}
	b.indexKinds()
	b.computeFindings()
	b.computeRows()
	return b
}

// digest names the content whatever files it came from.
func (b *Base) digest() string {
	h := sha256.New()
	enc := json.NewEncoder(h)
	for _, v := range []any{b.Lists, b.Symptoms, b.Causes, b.Tests, b.Cards, b.Circuits, b.Paths} {
		if err := enc.Encode(v); err != nil {
			// Plain structs of text and finite numbers always encode.
			panic("kb: digest: " + err.Error())
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// computeLinks fills the back-links from the bodies' links and from every
// reference of one article to another.
func (b *Base) computeLinks() {
	add := func(from, to string) {
		if _, ok := b.heads[to]; !ok || from == to {
			return
		}
		if !slices.Contains(b.backlinks[to], from) {
			b.backlinks[to] = append(b.backlinks[to], from)
		}
	}
	// finding links to the article that defines the finding.
	finding := func(from, id string) {
		if f := b.findings[id]; f != nil {
			add(from, f.Article)
		}
		add(from, id)
	}
	because := func(from string, w *Because) {
		if w != nil {
			finding(from, w.Finding)
		}
	}
	for _, h := range b.Heads() {
		for _, to := range articleLinks(h.Body) {
			add(h.ID, to)
		}
	}
	for _, a := range b.Symptoms {
		for id := range a.Of {
			finding(a.ID, id)
		}
		if a.Danger != nil {
			for id := range a.Danger.When {
				finding(a.ID, id)
			}
		}
		for _, q := range a.Questions {
			because(a.ID, q.Because)
		}
		for _, id := range a.Asks {
			finding(a.ID, id)
		}
		for _, id := range a.LooksLike {
			add(a.ID, id)
		}
	}
	for _, a := range b.Causes {
		for id := range a.Shows {
			finding(a.ID, id)
		}
		for _, id := range slices.Concat(a.KilledBy, a.With, sortedKeys(a.LeadsTo)) {
			add(a.ID, id)
		}
		add(a.ID, a.Proof.Test)
	}
	for _, a := range b.Circuits {
		for i := range a.Elements {
			for k := range a.Elements[i].Faults {
				add(a.ID, a.Elements[i].Faults[k].CauseID())
			}
		}
	}
	for _, a := range b.Paths {
		for _, id := range a.Serves {
			add(a.ID, id)
		}
		for _, part := range a.parts() {
			for _, c := range b.Causes {
				if c.Part == part && !c.Derived {
					add(a.ID, c.ID)
				}
			}
		}
		for i := range a.Points {
			for _, way := range PathWays {
				if l := a.Points[i].Look(way); l != nil {
					add(a.ID, l.Test)
				}
			}
		}
	}
	for _, a := range b.Tests {
		finding(a.ID, a.Of)
		for _, id := range a.Settles {
			finding(a.ID, id)
		}
		because(a.ID, a.Because)
	}
	for _, from := range b.backlinks {
		sort.Strings(from)
	}
}

// quote is strconv.Quote, short for messages.
func quote(s string) string { return strconv.Quote(s) }
