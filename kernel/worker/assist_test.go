package worker

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

func offered(t *testing.T, s *Supervisor, code string) []string {
	t.Helper()
	c, err := s.Complete(context.Background(), code, utf8.RuneCountInString(code))
	if err != nil {
		t.Fatal(err)
	}
	return c.Matches
}

// The real words complete: names, catalogue texts, members and units.
func TestCompletion(t *testing.T) {
	s := begin(t, Options{})
	if o := s.Execute(context.Background(), Request{Code: `fit := PutOn(Mask("nasal", "medium"), Face("narrow bridge"), Straps(3*N)); at := fit.At(12*CmH2O)`}, newHeard()); o.Err != nil {
		t.Fatal(o.Err.Value)
	}
	for code, want := range map[string]string{
		"Stra": "Straps", "Mask(\"nas": "nasal", "Mask(\"nasal\", \"": "medium", "Face(\"nar": "narrow bridge", "Position(\"on the b": "on the back",
		"fit.A": "AcrossPressures", "at.Le": "Leak", "fit.At(12*CmH2O).Site(\"br": "bridge", "at.Sites[0].Con": "Contact",
		"at.Pose.": "Pitch", "fit.At(12*CmH2O).Pose.Dis": "Distance",
	} {
		if got := offered(t, s, code); !slices.Contains(got, want) {
			t.Errorf("%q offers %q", code, got)
		}
	}
	for code, want := range map[string][]string{"Straps(3*": {"Grams", "N"}, "fit.At(3*": {"CmH2O", "HPa", "KPa", "MmHg"}} {
		if got := offered(t, s, code); len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
			t.Errorf("%q offers %q", code, got)
		}
	}
}

// What is typed while a cell runs is answered, and the cell can still be
// stopped.
func TestHelpWhileACellRuns(t *testing.T) {
	s := begin(t, Options{})
	h := newHeard()
	over := make(chan Outcome)
	go func() {
		over <- s.Execute(context.Background(), Request{Code: "import \"fmt\"\nfmt.Println(1)\nfor { }"}, h)
	}()
	<-h.first
	if got := offered(t, s, "Stra"); !slices.Contains(got, "Straps") {
		t.Errorf("offers %q", got)
	}
	i, err := s.Inspect(context.Background(), "Straps", 3, 0)
	if text := fmt.Sprint(i.Bundle.Data["text/plain"]); err != nil || !i.Found || !strings.HasPrefix(text, "Straps(pull Force) Setting") {
		t.Errorf("%v %q", err, text)
	}
	s.Interrupt()
	if o := <-over; o.Err == nil || o.Err.Name != "Interrupted" {
		t.Errorf("ended with %v", o.Err)
	}
}

func TestPager(t *testing.T) {
	s := begin(t, Options{})
	for code, want := range map[string]string{
		"?Straps": "valid range: 0.05 to 60 N", "Point?": "A Point is", "?Msak": "did you mean Mask?",
	} {
		o := s.Execute(context.Background(), Request{Code: code}, newHeard())
		if o.Err != nil || len(o.Payload) != 1 || o.Payload[0]["source"] != "page" {
			t.Fatalf("%q: %v, %v", code, o.Err, o.Payload)
		}
		if text := fmt.Sprint(o.Payload[0]["data"]); !strings.Contains(text, want) {
			t.Errorf("%q: %s", code, text)
		}
	}
	if c, err := s.IsComplete(context.Background(), "?Straps"); err != nil || c.Status != "complete" {
		t.Errorf("%v, %v", c, err)
	}
}
