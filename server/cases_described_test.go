package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"testing"

	"ruleout/server/casebook"
	"ruleout/server/chat"
)

// pictureJPEG is a small picture as a phone may send it.
func pictureJPEG(t testing.TB, shade uint8) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 40, 30))
	for i := range m.Pix {
		m.Pix[i] = shade
	}
	m.SetGray(3, 3, color.Gray{255 - shade})
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func picturePNG(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 12, 9))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// send is a request with a body of JSON; status is what it must be answered
// with.
func (p *program) send(t testing.TB, method, path string, body any, status int, into any) {
	t.Helper()
	var data []byte
	kind := ""
	switch b := body.(type) {
	case nil:
	case []byte:
		data, kind = b, "application/octet-stream"
		if bytes.HasPrefix(b, []byte("\xff\xd8")) {
			kind = "image/jpeg"
		} else if bytes.HasPrefix(b, []byte("\x89PNG")) {
			kind = "image/png"
		} else if bytes.HasPrefix(b, []byte("PK")) {
			kind = "application/zip"
		}
	case string:
		data, kind = []byte(b), "application/json"
	default:
		var err error
		if data, err = json.Marshal(b); err != nil {
			t.Fatal(err)
		}
		kind = "application/json"
	}
	got, answer := request(t, method, p.url+path, kind, data)
	if got != status {
		t.Errorf("%s %s of %.100q: %d, want %d: %.300s", method, path, data, got, status, answer)
	}
	if got >= 400 {
		var wrong struct{ Error, Mend string }
		decode(t, answer, &wrong)
		if wrong.Error == "" {
			t.Errorf("%s %s: %d without a word of what is wrong", method, path, got)
		}
	}
	if into != nil && got < 400 {
		decode(t, answer, into)
	}
}

// wiring is an arrangement of one of the circuits there are.
func wiring(t testing.TB) map[string]string {
	t.Helper()
	for _, c := range sharedRooms(t).engine.Base().Circuits {
		if len(c.Arrangements) > 1 {
			return map[string]string{c.ID: c.Arrangements[1].ID}
		}
	}
	t.Fatal("no circuit has two arrangements")
	return nil
}

// tryCases asks for everything about cases that is described, rightly and
// wrongly.
func tryCases(t *testing.T, p *program, id string) {
	t.Helper()
	var v casebook.Vehicle
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: "the van", Facts: map[string]string{"fuel": "petrol"}}, 201, &v)
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: ""}, 400, nil)
	p.send(t, "GET", "/api/vehicles", nil, 200, nil)
	p.send(t, "PUT", "/api/vehicles/"+v.ID, chat.SheetSent{Name: "the van", Facts: map[string]string{"fuel": "petrol", "gearbox": "manual"}, Arrangements: wiring(t), Notes: "key sticks"}, 200, nil)
	p.send(t, "PUT", "/api/vehicles/nobody", chat.SheetSent{Name: "x"}, 404, nil)
	var c chat.Case
	p.send(t, "POST", "/api/cases", map[string]string{"vehicle": v.ID}, 201, &c)
	p.send(t, "POST", "/api/cases", map[string]string{"vehicle": "nobody"}, 404, nil)
	p.send(t, "POST", "/api/cases", "[", 400, nil)
	p.tell(t, c.ID, said("it is a diesel and it won't start"))
	p.send(t, "GET", "/api/vehicles/"+v.ID, nil, 200, nil)
	p.send(t, "GET", "/api/vehicles/nobody", nil, 404, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/vehicle", nil, 200, nil)
	p.send(t, "GET", "/api/cases/nobody/vehicle", nil, 404, nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/vehicle", map[string][]string{"attributes": {"fuel"}}, 200, nil)
	p.send(t, "POST", "/api/cases/"+id+"/vehicle", map[string][]string{}, 400, nil)
	var a casebook.Attached
	p.send(t, "POST", "/api/cases/"+c.ID+"/notes", chat.NoteSent{Turn: 1, Note: "the blue fuse"}, 201, &a)
	p.send(t, "POST", "/api/cases/"+c.ID+"/notes", chat.NoteSent{Turn: 9, Note: "x"}, 400, nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/photos?turn=1&note=clamp", pictureJPEG(t, 90), 201, &a)
	p.send(t, "GET", "/api/cases/"+c.ID+"/photos/"+a.Photo, nil, 200, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/photos/none.jpg", nil, 404, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/attached", nil, 200, nil)
	p.send(t, "DELETE", fmt.Sprintf("/api/cases/%s/attached/%d", c.ID, a.Number), nil, 204, nil)
	p.send(t, "DELETE", fmt.Sprintf("/api/cases/%s/attached/%d", c.ID, a.Number), nil, 404, nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/ended", chat.EndedSent{As: "something else", Note: "a mouse's nest"}, 204, nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/ended", chat.EndedSent{As: "exploded"}, 400, nil)
	p.send(t, "POST", "/api/cases/nobody/ended", chat.EndedSent{As: "open"}, 404, nil)
	p.send(t, "GET", "/api/cases?q=start", nil, 200, nil)
	p.send(t, "GET", "/api/cases?q=start&limit=99", nil, 400, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/like", nil, 200, nil)
	request(t, "GET", p.url+"/api/cases/"+c.ID+"/report?for=shop", "", nil)
	p.send(t, "GET", "/api/cases/nobody/report", nil, 404, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/export", nil, 200, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/export?photos=1", nil, 200, nil)
	_, all := request(t, "GET", p.url+"/api/export", "", nil)
	p.send(t, "POST", "/api/import", all, 200, nil)
	p.send(t, "POST", "/api/import", []byte("PK no archive"), 400, nil)
	p.send(t, "GET", "/api/learned", nil, 200, nil)
	_, learned := request(t, "GET", p.url+"/api/learned/export", "", nil)
	if status, answer := request(t, "POST", p.url+"/api/learned/merge", "application/yaml", learned); status != http.StatusOK {
		t.Errorf("what was learned can't be merged: %d %s", status, answer)
	}
	p.send(t, "GET", "/api/cases", nil, 200, nil)
	p.send(t, "DELETE", "/api/cases/"+c.ID, nil, 204, nil)
	p.send(t, "DELETE", "/api/cases/"+c.ID, nil, 404, nil)
	p.send(t, "DELETE", "/api/vehicles/"+v.ID, nil, 204, nil)
	p.send(t, "DELETE", "/api/vehicles/"+v.ID, nil, 404, nil)
}
