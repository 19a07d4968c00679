package kb

import (
	"embed"
	"sync"
)

//go:embed lists articles
var embedded embed.FS

// EmbeddedFS holds the lists and articles that come with the program: the
// bottom layer of every Load.
func EmbeddedFS() embed.FS { return embedded }

// Embedded loads the lists and articles that come with the program, once.
// The base is shared: nobody may change it.
var Embedded = sync.OnceValues(func() (*Base, Problems) { return Load(embedded) })
