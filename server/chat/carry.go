package chat

import (
	"bytes"
	"fmt"
	"net/http"

	"ruleout/server/casebook"
	"ruleout/server/casebook/archive"
)

// answers gives the reply to a turn of a case, to be read by people.
func (d *Desk) answers(id string, n int) string {
	c, err := d.Case(id)
	if err != nil || n < 1 || n > len(c.Turns) {
		return ""
	}
	return c.Turns[n-1].Reply.Text
}

// Export writes one case as it can be read.
func (d *Desk) Export(id string) ([]byte, error) {
	w, err := d.book.Whole(id)
	if err != nil {
		return nil, err
	}
	return archive.WriteCase(w, func(n int) string { return d.answers(id, n) })
}

// ExportAll writes everything as one archive: all cases, or those named.
func (d *Desk) ExportAll(ids ...string) ([]byte, error) {
	var c archive.Contents
	if len(ids) == 0 {
		list, err := d.book.List()
		if err != nil {
			return nil, err
		}
		for _, s := range list {
			ids = append(ids, s.ID)
		}
	}
	for _, id := range ids {
		w, err := d.book.Whole(id)
		if err != nil {
			return nil, err
		}
		c.Cases = append(c.Cases, w)
	}
	var err error
	if c.Vehicles, err = d.book.Vehicles(); err != nil {
		return nil, err
	}
	if c.Ledger, err = d.Ledger(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = archive.Write(&b, c, d.answers, d.book.Photo)
	return b.Bytes(), err
}

// Import takes an archive, or the file of one case.
func (d *Desk) Import(name string, data []byte) (casebook.Imported, error) {
	var c archive.Contents
	var err error
	if bytes.HasPrefix(data, []byte("PK")) {
		c, err = archive.Read(data)
	} else {
		var w casebook.Whole
		w, err = archive.ReadCase(name, data)
		for _, a := range w.Attached {
			if a.Photo != "" && err == nil {
				err = &archive.Fault{Where: name, What: "it has photos, which come only with the archive", Mend: "import the archive"}
			}
		}
		c.Cases = []casebook.Whole{w}
	}
	if err != nil {
		return casebook.Imported{}, faulty(err)
	}
	n, err := d.book.Import(c.Cases, c.Vehicles, c.Photos)
	if err != nil {
		return n, badRequest(err.Error(), "nothing was taken in")
	}
	if len(c.Ledger) > 0 {
		if err := d.book.MergeForeign(c.Ledger); err != nil {
			return n, err
		}
	}
	d.forget(c.Cases)
	return n, nil
}

// forget lets go of conversations that an import changed: they are read anew.
func (d *Desk) forget(cases []casebook.Whole) {
	for _, w := range cases {
		d.drop(w.ID)
	}
}

// drop ends the live views of a case and lets go of it.
func (d *Desk) drop(id string) {
	d.mu.Lock()
	c := d.cases[id]
	delete(d.cases, id)
	d.mu.Unlock()
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.gone = true
	for ch := range c.watch {
		close(ch)
		delete(c.watch, ch)
	}
}

// Delete throws a case away with all that belongs to it.
func (d *Desk) Delete(id string) error {
	if err := d.book.Delete(id); err != nil {
		return err
	}
	d.drop(id)
	return nil
}

func (s *Server) deleteCase(w http.ResponseWriter, r *http.Request) error {
	if err := s.desk.Delete(r.PathValue("id")); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (s *Server) exportCase(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if r.URL.Query().Get("photos") != "" {
		data, err := s.desk.ExportAll(id)
		if err != nil {
			return err
		}
		return attachment(w, fmt.Sprintf("ruleout-%s.zip", id), "application/zip", data)
	}
	data, err := s.desk.Export(id)
	if err != nil {
		return err
	}
	return attachment(w, fmt.Sprintf("ruleout-%s.yaml", id), "application/yaml; charset=utf-8", data)
}

func (s *Server) exportAll(w http.ResponseWriter, r *http.Request) error {
	data, err := s.desk.ExportAll()
	if err != nil {
		return err
	}
	return attachment(w, "ruleout-cases.zip", "application/zip", data)
}

// importMost is how much is taken at once over HTTP: all of it is in memory
// while it lasts. The command takes larger archives.
const importMost = 64 << 20

func (s *Server) postImport(w http.ResponseWriter, r *http.Request) error {
	data, err := body(w, r, importMost)
	if err != nil {
		return err
	}
	n, err := s.desk.Import("the file", data)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, n)
	return nil
}
