package jupyter

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
)

// delimiter stands between a message's routing frames and the message.
const delimiter = "<IDS|MSG>"

// Frames after the delimiter: signature, header, parent header, metadata and
// content; what follows are buffers.
const fixedFrames = 5

// A signer signs and checks messages. An empty key means neither.
type signer struct{ key []byte }

func (s signer) sign(parts ...[]byte) []byte {
	if len(s.key) == 0 {
		return []byte{}
	}
	h := hmac.New(sha256.New, s.key)
	for _, p := range parts {
		h.Write(p)
	}
	return []byte(hex.EncodeToString(h.Sum(nil)))
}

func (s signer) holds(signature []byte, parts ...[]byte) bool {
	return len(s.key) == 0 || hmac.Equal(signature, s.sign(parts...))
}

var (
	errDelimiter = errors.New("no delimiter")
	errFrames    = errors.New("frames are missing")
	errSignature = errors.New("the signature is not ours")
)

// decode takes a message and its routing frames off the wire. What it refuses
// is none, and gets no answer: its sender is unknown or does not hold the key.
func (s signer) decode(frames [][]byte) (route [][]byte, l Letter, err error) {
	at := 0
	for at < len(frames) && string(frames[at]) != delimiter {
		at++
	}
	if at == len(frames) {
		return nil, Letter{}, errDelimiter
	}
	rest := frames[at+1:]
	if len(rest) < fixedFrames {
		return nil, Letter{}, errFrames
	}
	if !s.holds(rest[0], rest[1:fixedFrames]...) {
		return nil, Letter{}, errSignature
	}
	return frames[:at], Letter{rest[1], rest[2], rest[3], rest[4], rest[fixedFrames:]}, nil
}

// encode makes the frames of a message; front are its routing frames, or the
// topic.
func (s signer) encode(front [][]byte, l Letter) [][]byte {
	parts := [][]byte{l.Header, l.Parent, l.Metadata, l.Content}
	frames := make([][]byte, 0, len(front)+2+len(parts)+len(l.Buffers))
	frames = append(frames, front...)
	frames = append(frames, []byte(delimiter), s.sign(parts...))
	frames = append(frames, parts...)
	return append(frames, l.Buffers...)
}
