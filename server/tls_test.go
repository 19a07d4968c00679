package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// certificate is one that a person made for the laptop in the garage.
type certificate struct {
	cert, key []byte // PEM
	spki      string // base64 of the SHA-256 of its public key, by which Chromium knows it
	roots     *x509.CertPool
}

// ownCertificate makes a self-signed certificate for this machine's loopback
// address and for the name garage.test, once for all tests.
var ownCertificate = sync.OnceValues(func() (*certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	about := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "garage.test"}, DNSNames: []string{"garage.test"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour), KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, about, about, &key.PublicKey, key)
	if err != nil {
		return nil, err
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	public, err := x509.MarshalPKIXPublicKey(&key.PublicKey)
	if err != nil {
		return nil, err
	}
	c := &certificate{cert: pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), key: pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: private}), roots: x509.NewCertPool()}
	sum := sha256.Sum256(public)
	c.spki = base64.StdEncoding.EncodeToString(sum[:])
	c.roots.AppendCertsFromPEM(c.cert)
	return c, nil
})

// files writes the certificate and its key and returns the options that use
// them.
func (c *certificate) files(t testing.TB) []string {
	t.Helper()
	folder := t.TempDir()
	cert, key := filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	for name, data := range map[string][]byte{cert: c.cert, key: c.key} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return []string{"-cert", cert, "-key", key}
}

// With a certificate of one's own everything is encrypted: pages, interface,
// sockets; the pass of a device is then sent over nothing else, and no page
// says plain HTTP.
func TestOwnCertificate(t *testing.T) {
	made, err := ownCertificate()
	if err != nil {
		t.Fatal(err)
	}
	p := startProgram(t, t.TempDir(), append(made.files(t), "-listen", "0.0.0.0:0")...)
	if !strings.HasPrefix(p.url, "https://") {
		t.Fatalf("the address is %s", p.url)
	}
	secure := &tls.Config{RootCAs: made.roots}
	c := &http.Client{Transport: &http.Transport{TLSClientConfig: secure}, Timeout: time.Minute, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	ask := func(req *http.Request, err error) (*http.Response, string) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		res, err := c.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		body, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		return res, string(body)
	}
	_, page := ask(http.NewRequest(http.MethodGet, p.url+"/phone", nil))
	if strings.Contains(page, "Plain HTTP") || !strings.Contains(page, "https://") {
		t.Error("the page of the phone does not know that the line is encrypted")
	}
	_, phrase, _ := strings.Cut(page, "Pairing phrase</span> <strong>")
	phrase, _, _ = strings.Cut(phrase, "</strong>")

	// A phone comes in by the name on the certificate.
	enter, err := http.NewRequest(http.MethodPost, p.url+"/pair", strings.NewReader(url.Values{"phrase": {phrase}}.Encode()))
	if err == nil {
		enter.Host = "garage.test"
		enter.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	res, _ := ask(enter, err)
	if len(res.Cookies()) != 1 {
		t.Fatalf("pairing with %q: %d, cookies %v", phrase, res.StatusCode, res.Cookies())
	}
	if pass := res.Cookies()[0]; !pass.Secure || !pass.HttpOnly || pass.SameSite == http.SameSiteNoneMode || pass.SameSite == 0 {
		t.Errorf("the pass may go over plain HTTP or to scripts: %s", pass)
	}
	// The conversation's socket.
	_, made2 := ask(http.NewRequest(http.MethodPost, p.url+"/api/cases", nil))
	var cas struct{ ID string }
	decode(t, []byte(made2), &cas)
	dialer := websocket.Dialer{TLSClientConfig: secure}
	conn, _, err := dialer.Dial("wss"+strings.TrimPrefix(p.url, "https")+"/ws?case="+cas.ID, http.Header{"Origin": {p.url}})
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if f := next(t, conn); f.Type != "case" || f.Case.ID != cas.ID {
		t.Errorf("the first frame is %.200s", f.raw)
	}
	// TLS 1.1 is refused, and so is plain HTTP.
	if _, err := tls.Dial("tcp", strings.TrimPrefix(p.url, "https://"), &tls.Config{RootCAs: made.roots, MaxVersion: tls.VersionTLS11}); err == nil {
		t.Error("TLS 1.1 was taken")
	}
	if res, err := http.Get("http" + strings.TrimPrefix(p.url, "https")); err == nil {
		res.Body.Close()
		if res.StatusCode != http.StatusBadRequest {
			t.Errorf("plain HTTP at the encrypted door: %d", res.StatusCode)
		}
	}
}

// What is wrong with a certificate is said before anything is served.
func TestBadCertificate(t *testing.T) {
	made, err := ownCertificate()
	if err != nil {
		t.Fatal(err)
	}
	good := made.files(t)
	swapped := []string{"-cert", good[3], "-key", good[1]}
	for _, args := range [][]string{good[:2], good[2:], swapped, {"-cert", "/nowhere/cert.pem", "-key", good[3]}} {
		code, out, errs := command(t, "", append([]string{"-data", t.TempDir()}, args...)...)
		if code == 0 || out != "" || !strings.Contains(errs, "cert") {
			t.Errorf("%v: exit code %d, output %q, error %q", args, code, out, errs)
		}
	}
}

// A paired phone reaches the laptop by name over TLS: there the browser keeps
// the articles that were read for when the laptop sleeps. Over plain HTTP no
// browser does that for another machine, and the page says so.
func TestPageOverTLS(t *testing.T) {
	made, err := ownCertificate()
	if err != nil {
		t.Fatal(err)
	}
	p := startProgram(t, t.TempDir(), append(made.files(t), "-listen", "0.0.0.0:0")...)
	g := openGate(t, p.url)
	phone, laptop := openTab(t, 390, 844, false), openTab(t, 1280, 800, false)
	outside := strings.NewReplacer("http://127.0.0.1", "https://garage.test").Replace(g.url())
	laptop.open(p.url + "/phone")
	phone.open(outside + "/pair#" + strings.ReplaceAll(laptop.text(".phrase strong"), " ", "-"))
	phone.until("document.querySelector('#phrase').value !== ''")
	js[bool](phone, "(document.querySelector('#phrase').form.requestSubmit(), true)")
	phone.until("document.querySelector('#words')")
	phone.until("navigator.serviceWorker.controller")
	phone.say("it gets hot in traffic")
	phone.turns(1)
	phone.open(outside + "/articles/relay-terminals")
	phone.until("caches.match('/articles/relay-terminals').then(Boolean)")
	title := phone.text("h1")
	phone.fine(false)
	g.cut()
	phone.open(outside + "/articles/relay-terminals")
	if got := phone.text("h1"); got != title || title == "" {
		t.Errorf("with the laptop asleep the article shows %q, was %q", got, title)
	}
	laptop.fine(false)
}
