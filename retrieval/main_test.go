package retrieval

import (
	"sync"
	"testing"

	"ruleout/kb"
)

var embeddedOnce = sync.OnceValues(func() (*kb.Base, error) {
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		return nil, e
	}
	return b, nil
})

// embedded is the knowledge base of the program.
func embedded(t testing.TB) *kb.Base {
	t.Helper()
	b, err := embeddedOnce()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// mustOpen indexes the embedded articles in memory.
func mustOpen(t testing.TB) *Index {
	t.Helper()
	return mustOpenIn(t, "")
}

func mustOpenIn(t testing.TB, dir string) *Index {
	t.Helper()
	x, err := Open(embedded(t), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := x.Close(); err != nil {
			t.Error(err)
		}
	})
	return x
}
