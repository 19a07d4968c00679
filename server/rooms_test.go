package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// arrows says what each room may import: by room, the packages of the project
// and the modules of others. What it names must be there, so that a rule that
// guards nothing is noticed.
var arrows = []struct {
	room string
	// own are packages of the project, direct or not, but for itself.
	own []string
	// modules are those that its own files import.
	modules []string
	// never are packages of the standard library that its own files may not
	// import.
	never []string
}{
	{room: "kb", modules: []string{"gopkg.in/yaml.v3", "github.com/yuin/goldmark", "github.com/fsnotify/fsnotify", "github.com/invopop/jsonschema"}, never: []string{"net/http", "math/rand"}},
	{room: "retrieval", own: []string{"kb"}, modules: []string{"github.com/blevesearch/bleve/v2", "github.com/blevesearch/bleve_index_api", "github.com/blevesearch/snowballstem", "go.etcd.io/bbolt"}, never: []string{"net/http", "math/rand"}},
	{room: "dialog", own: []string{"kb", "dialog/plainwords", "dialog/belief", "dialog/plan", "dialog/learn", "dialog/circuit", "dialog/circuit/authored", "dialog/circuit/drawing"}, never: impure},
	{room: "dialog/plainwords", own: []string{"kb"}, never: impure},
	{room: "dialog/belief", never: impure},
	{room: "dialog/plan", own: []string{"dialog/belief"}, never: impure},
	{room: "dialog/learn", never: impure},
	{room: "dialog/circuit", modules: []string{"gonum.org/v1/gonum"}, never: impure},
	{room: "dialog/circuit/authored", own: []string{"kb", "dialog/circuit"}, never: impure},
	{room: "dialog/circuit/drawing", own: []string{"dialog/circuit"}, never: impure},
	{room: "web", never: []string{"math/rand", "net", "os", "time"}},
	{room: "server/casebook", own: []string{"kb", "dialog", "dialog/plainwords", "dialog/belief", "dialog/plan", "dialog/learn", "dialog/circuit", "dialog/circuit/authored", "dialog/circuit/drawing"}, modules: []string{"go.etcd.io/bbolt"}, never: []string{"net/http", "math/rand"}},
	{room: "server/casebook/photo", modules: []string{"golang.org/x/image"}, never: []string{"net/http", "math/rand", "os"}},
	{room: "server/casebook/archive", own: []string{"kb", "dialog", "dialog/plainwords", "dialog/belief", "dialog/plan", "dialog/learn", "dialog/circuit", "dialog/circuit/authored", "dialog/circuit/drawing", "server/casebook", "server/casebook/photo"}, modules: []string{"gopkg.in/yaml.v3"}, never: []string{"net/http", "math/rand", "os"}},
	{room: "server/chat", own: []string{"kb", "dialog", "dialog/plainwords", "dialog/belief", "dialog/plan", "dialog/learn", "dialog/circuit", "dialog/circuit/authored", "dialog/circuit/drawing", "server/casebook", "server/casebook/archive", "server/casebook/photo", "web"}, modules: []string{"github.com/gorilla/websocket", "rsc.io/qr", "golang.org/x/time"}, never: []string{"math/rand"}},
	{room: "server", own: []string{"kb", "retrieval", "dialog", "dialog/plainwords", "dialog/belief", "dialog/plan", "dialog/learn", "dialog/circuit", "dialog/circuit/authored", "dialog/circuit/drawing", "server/casebook", "server/casebook/archive", "server/casebook/photo", "server/chat", "web"}},
}

// impure is what makes a result depend on more than the values put in.
var impure = []string{"net", "net/http", "os", "time", "math/rand", "math/rand/v2", "crypto/rand", "io/fs", "os/exec"}

func TestRoomsPointOneWay(t *testing.T) {
	all := goList(t, "-f", "{{.ImportPath}}", "ruleout/...")
	covered := map[string]bool{}
	for _, a := range arrows {
		room := "ruleout/" + a.room
		covered[room] = true
		if !slices.Contains(all, room) {
			t.Errorf("the rule for %s guards nothing", a.room)
			continue
		}
		var own []string
		for _, p := range goList(t, "-deps", room) {
			if strings.HasPrefix(p, "ruleout/") && p != room {
				own = append(own, strings.TrimPrefix(p, "ruleout/"))
			}
		}
		for _, p := range own {
			if !slices.Contains(a.own, p) {
				t.Errorf("%s must not depend on %s", a.room, p)
			}
		}
		for _, p := range a.own {
			if !slices.Contains(own, p) {
				t.Errorf("%s may depend on %s and does not: the rule guards nothing", a.room, p)
			}
		}
		used := map[string]bool{}
		for _, p := range goList(t, "-f", `{{join .Imports "\n"}}`, room) {
			switch first, _, _ := strings.Cut(p, "/"); {
			case slices.Contains(a.never, p):
				t.Errorf("%s must not import %s", a.room, p)
			case strings.Contains(first, ".") && a.room != "server":
				module := ""
				for _, m := range a.modules {
					if p == m || strings.HasPrefix(p, m+"/") {
						module = m
					}
				}
				if module == "" {
					t.Errorf("%s must not import %s", a.room, p)
				}
				used[module] = true
			}
		}
		for _, m := range a.modules {
			if !used[m] {
				t.Errorf("%s may import %s and does not: the rule guards nothing", a.room, m)
			}
		}
	}
	for _, p := range all {
		if !covered[p] {
			t.Errorf("no rule for %s", p)
		}
	}
}

func goList(t *testing.T, args ...string) []string {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list"}, args...)...)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %v: %v: %s", args, err, complaint.String())
	}
	return strings.Fields(string(out))
}
