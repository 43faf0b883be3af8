package wire

import (
	"bytes"
	"encoding/json"
	"testing"

	"pgregory.net/rapid"

	"tautline/kernel/jupyter"
)

func letter(t *rapid.T) jupyter.Letter {
	object := func(what string) json.RawMessage {
		b, _ := json.Marshal(map[string]string{"msg_id": rapid.String().Draw(t, what)})
		return b
	}
	return jupyter.Letter{Header: object("header"), Parent: object("parent"), Metadata: object("metadata"), Content: object("content"),
		Buffers: rapid.SliceOfN(rapid.SliceOf(rapid.Byte()), 0, 4).Draw(t, "buffers")}
}

// What is packed comes out as it was.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := letter(t)
		for _, protocol := range []string{V1, ""} {
			p, err := Pack(protocol, "shell", in)
			if err != nil {
				t.Fatal(err)
			}
			channel, out, err := Unpack(protocol, p)
			if err != nil || channel != "shell" || len(out.Buffers) != len(in.Buffers) {
				t.Fatalf("%q: %v, %d buffers of %d", protocol, err, len(out.Buffers), len(in.Buffers))
			}
			for i, b := range in.Buffers {
				if !bytes.Equal(b, out.Buffers[i]) {
					t.Fatalf("%q: buffer %d changed", protocol, i)
				}
			}
			for i, pair := range [][2][]byte{{in.Header, out.Header}, {in.Parent, out.Parent}, {in.Metadata, out.Metadata}, {in.Content, out.Content}} {
				var a, b any
				if json.Unmarshal(pair[0], &a) != nil || json.Unmarshal(pair[1], &b) != nil || !bytes.Equal(compact(a), compact(b)) {
					t.Fatalf("%q: part %d changed: %s, %s", protocol, i, pair[0], pair[1])
				}
			}
		}
	})
}

func compact(v any) []byte { b, _ := json.Marshal(v); return b }

// The bytes of the published protocol, written out: 6 offsets of 8 bytes after
// their number, so that the first part begins at 56.
func TestPublishedLayout(t *testing.T) {
	l := jupyter.Letter{Header: json.RawMessage(`{"a":1}`), Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: json.RawMessage(`{"b":2}`)}
	p, _ := Pack(V1, "shell", l)
	want := []byte{6, 0, 0, 0, 0, 0, 0, 0, 56, 0, 0, 0, 0, 0, 0, 0, 61, 0, 0, 0, 0, 0, 0, 0, 68, 0, 0, 0, 0, 0, 0, 0,
		70, 0, 0, 0, 0, 0, 0, 0, 72, 0, 0, 0, 0, 0, 0, 0, 79, 0, 0, 0, 0, 0, 0, 0}
	want = append(want, `shell{"a":1}{}{}{"b":2}`...)
	if p.Text || !bytes.Equal(p.Data, want) {
		t.Errorf("%v\n%v", p.Data, want)
	}
}

func FuzzUnpack(f *testing.F) {
	l := jupyter.Letter{Header: json.RawMessage(`{"msg_id":"1"}`), Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: json.RawMessage(`{}`), Buffers: [][]byte{{1}}}
	for _, protocol := range []string{V1, ""} {
		p, _ := Pack(protocol, "shell", l)
		f.Add(p.Text, p.Data)
	}
	f.Fuzz(func(t *testing.T, text bool, data []byte) {
		for _, protocol := range []string{V1, ""} {
			if _, l, err := Unpack(protocol, Packet{text, data}); err == nil && !json.Valid(l.Content) {
				t.Fatalf("%q passes", data)
			}
		}
	})
}
