package main

import (
	"fmt"
	"io"
	"net"
	"net/netip"
	"slices"
	"strings"

	"rsc.io/qr"

	"ruleout/server/chat"
)

// beyond reports whether a listening address can be reached from other
// machines.
func beyond(a net.Addr) bool {
	p, err := netip.ParseAddrPort(a.String())
	return err != nil || !p.Addr().Unmap().IsLoopback()
}

// addressOf is the address to open on this machine.
func addressOf(scheme string, a net.Addr) string {
	p, err := netip.ParseAddrPort(a.String())
	if err != nil || !p.Addr().IsUnspecified() {
		return scheme + "://" + a.String()
	}
	return fmt.Sprintf("%s://127.0.0.1:%d", scheme, p.Port())
}

// doorsOf are the addresses under which other machines reach the program:
// those of all networks when it listens everywhere. Those of private networks
// come first.
func doorsOf(scheme string, a net.Addr) []string {
	p, err := netip.ParseAddrPort(a.String())
	if err != nil {
		return nil
	}
	if !p.Addr().IsUnspecified() {
		return []string{scheme + "://" + a.String()}
	}
	own, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var ips []netip.Addr
	for _, n := range own {
		if x, err := netip.ParsePrefix(n.String()); err == nil && x.Addr().Unmap().Is4() && !x.Addr().IsLoopback() && !x.Addr().IsLinkLocalUnicast() {
			ips = append(ips, x.Addr().Unmap())
		}
	}
	slices.SortFunc(ips, func(a, b netip.Addr) int {
		if a.IsPrivate() != b.IsPrivate() {
			if a.IsPrivate() {
				return -1
			}
			return 1
		}
		return a.Compare(b)
	})
	var out []string
	for _, ip := range ips {
		out = append(out, scheme+"://"+netip.AddrPortFrom(ip, p.Port()).String())
	}
	return out
}

// invite tells in the terminal how a phone gets in.
func invite(out io.Writer, doors []string, phrase string, plain bool) error {
	fmt.Fprintf(out, "\nPairing phrase: %s\n", phrase)
	for _, d := range doors {
		fmt.Fprintf(out, "From a phone on the same network: %s\n", d)
	}
	if len(doors) > 0 {
		code, err := qr.Encode(chat.PairAddress(doors[0], phrase), qr.M)
		if err != nil {
			return fmt.Errorf("the QR code: %w", err)
		}
		fmt.Fprint(out, blocks(code))
	}
	if plain {
		fmt.Fprintln(out, "This is plain HTTP: anyone who listens on this network can read along. -cert and -key give TLS.")
	}
	return nil
}

// blocks draws a QR code with half blocks, two modules a character, light on
// dark, with the quiet zone around it.
func blocks(code *qr.Code) string {
	const quiet = 4
	light := func(x, y int) bool {
		return x < 0 || y < 0 || x >= code.Size || y >= code.Size || !code.Black(x, y)
	}
	var b strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		for x := -quiet; x < code.Size+quiet; x++ {
			below := y+1 < code.Size+quiet && light(x, y+1)
			switch {
			case light(x, y) && below:
				b.WriteRune('█')
			case light(x, y):
				b.WriteRune('▀')
			case below:
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}
