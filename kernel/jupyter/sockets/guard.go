package sockets

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"
	"net"
)

// greetingSize and the flags of a frame are the ZeroMQ protocol's, ZMTP 3.0
// (https://rfc.zeromq.org/spec/23/).
const (
	greetingSize = 64

	flagMore    = 1
	flagLong    = 2
	flagCommand = 4
)

var errFrame = errors.New("malformed frame")

// A guard stands between a connection and the library. It lets a frame pass
// only after a look at its header, since the library would make room for
// whatever length a peer claims; and it answers pings, since the library would
// write into the midst of another message.
type guard struct {
	net.Conn // for its deadlines and addresses
	p        *peer
	in       *bufio.Reader
	greeting int    // bytes of the greeting still to come
	met      bool   // the handshake is over
	head     []byte // of the present frame, still to be passed on
	left     int    // bytes of the present frame's body
	total    int    // bytes of the present message
}

func newGuard(p *peer) *guard {
	return &guard{Conn: p.conn, p: p, in: bufio.NewReaderSize(p.conn, pieceSize), greeting: greetingSize}
}

// Read passes on the greeting, and then one checked frame after another.
func (g *guard) Read(b []byte) (int, error) {
	if g.greeting > 0 {
		n, err := g.in.Read(b[:min(len(b), g.greeting)])
		g.greeting -= n
		return n, err
	}
	for len(g.head) == 0 && g.left == 0 {
		if err := g.nextFrame(); err != nil {
			return 0, err
		}
	}
	if len(g.head) > 0 {
		n := copy(b, g.head)
		g.head = g.head[n:]
		return n, nil
	}
	n, err := g.in.Read(b[:min(len(b), g.left)])
	g.left -= n
	return n, err
}

// nextFrame reads a header. A command after the handshake is dealt with here.
func (g *guard) nextFrame() error {
	flags, size, err := g.header()
	if err != nil {
		return err
	}
	command := flags&flagCommand != 0
	if !g.met && !command {
		return errFrame // only a command belongs into a handshake
	}
	if command {
		if size > maxCommand || flags&flagMore != 0 {
			return errFrame
		}
		if g.met {
			return g.command(int(size))
		}
	}
	// Frames without content cost room too.
	if g.total += len(g.head); size > uint64(maxMessage-min(g.total, maxMessage)) {
		return errFrame
	}
	g.left = int(size)
	g.total += g.left
	if flags&flagMore == 0 {
		g.total = 0
	}
	return nil
}

func (g *guard) header() (flags byte, size uint64, err error) {
	if flags, err = g.in.ReadByte(); err != nil {
		return 0, 0, err
	}
	if flags&^(flagMore|flagLong|flagCommand) != 0 {
		return 0, 0, errFrame
	}
	var long [8]byte
	width := 1
	if flags&flagLong != 0 {
		width = len(long)
	}
	if _, err = io.ReadFull(g.in, long[8-width:]); err != nil {
		return 0, 0, err
	}
	g.head = append([]byte{flags}, long[8-width:]...)
	return flags, binary.BigEndian.Uint64(long[:]), nil
}

// command answers a ping and drops anything else.
func (g *guard) command(size int) error {
	g.head = nil
	body := make([]byte, size)
	if _, err := io.ReadFull(g.in, body); err != nil {
		return err
	}
	const ping = "\x04PING"
	if len(body) >= len(ping) && string(body[:len(ping)]) == ping {
		g.p.pong()
	}
	return nil
}

// Write goes straight out during the handshake, and is gathered afterwards.
func (g *guard) Write(b []byte) (int, error) {
	if !g.met {
		return g.Conn.Write(b)
	}
	return g.p.buffered.Write(b)
}
