package worker

import (
	"bytes"
	"reflect"
	"testing"
)

func TestFrames(t *testing.T) {
	var b bytes.Buffer
	w := &frameWriter{w: &b}
	for _, m := range []message{
		{Kind: stream, ID: 3, Name: "stdout", Text: "µ\x00\"\n"},
		{Kind: comm, Comm: &Comm{Kind: "msg", ID: "x", Data: []byte(`{}`), Buffers: [][]byte{{1}, {}, {2, 3}}}},
	} {
		if err := w.send(m); err != nil {
			t.Fatal(err)
		}
		got, err := receive(&b)
		got.Buffers = nil
		if err != nil || !reflect.DeepEqual(got, m) {
			t.Errorf("%+v came as %+v, %v", m, got, err)
		}
	}
	if err := w.send(message{Comm: &Comm{Data: []byte(`{}`), Buffers: [][]byte{make([]byte, maxFrame)}}}); err != errTooLarge {
		t.Error(err)
	}
}

// No bytes make the reader fail otherwise than by an error, or take more than
// they bring.
func FuzzReceive(f *testing.F) {
	f.Add([]byte("\x00\x00\x00\x02{}"))
	f.Add([]byte("\xff\xff\xff\xff{}"))
	f.Add([]byte("\x00\x00\x00\x1b{\"comm\":{},\"buffers\":[9999]}"))
	f.Add([]byte("\x00\x00\x00\x19{\"comm\":{},\"buffers\":[-1]}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := receive(bytes.NewReader(data))
		if err == nil && m.Comm != nil && len(m.Comm.Buffers) != len(m.Buffers) {
			t.Error("buffers are missing")
		}
	})
}
