package retrieval

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/index/scorch"
	"github.com/blevesearch/bleve/v2/mapping"
	bolterrors "go.etcd.io/bbolt/errors"
)

// lockWait is how long to wait for a folder that another program holds.
const lockWait = "1s"

// onDisk opens the index folder; ready means that it holds just these
// documents. Else it is empty and to be filled, and note says why.
func onDisk(dir, digest string, docs int, m mapping.IndexMapping) (idx bleve.Index, ready bool, note string, err error) {
	path := filepath.Join(dir, "articles.index")
	note = fmt.Sprintf("index folder %s made", path)
	idx, err = bleve.OpenUsing(path, map[string]any{"bolt_timeout": lockWait})
	switch {
	case err == nil:
		why := stale(idx, digest, docs)
		if why == "" {
			return idx, true, "", nil
		}
		if err := idx.Close(); err != nil {
			return nil, false, "", err
		}
		note = fmt.Sprintf("index folder %s made anew: %s", path, why)
	case errors.Is(err, bolterrors.ErrTimeout):
		return nil, false, "", fmt.Errorf("index folder %s is in use by another program", path)
	case !errors.Is(err, bleve.ErrorIndexPathDoesNotExist):
		note = fmt.Sprintf("index folder %s made anew: it was damaged (%v)", path, err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, false, "", err
	}
	if err := os.RemoveAll(path); err != nil {
		return nil, false, "", err
	}
	idx, err = bleve.NewUsing(path, m, scorch.Name, scorch.Name, nil)
	return idx, false, note, err
}

// stale says why an index can't be used again; empty means that it can.
func stale(idx bleve.Index, digest string, docs int) string {
	d, err := idx.GetInternal([]byte("digest"))
	if err != nil {
		return fmt.Sprintf("it was damaged (%v)", err)
	}
	if string(d) != digest {
		return "the articles have changed"
	}
	if n, err := idx.DocCount(); err != nil || n != uint64(docs) {
		return fmt.Sprintf("it was damaged (%d of %d articles)", n, docs)
	}
	return ""
}
