package words

import "testing"

func TestWritten(t *testing.T) {
	for _, c := range []struct{ value, was, want string }{
		{"5 N", "3*N", "5*N"}, {"350 g", "3*N", "350*Grams"}, {"1 kg", "3*N", "9.80665*N"}, {" 12 cmH2O ", "4*CmH2O", "12*CmH2O"},
		{"-1.5 N", "3*N", "-1.5*N"}, {"2 weeks", "7*Day", "20160*Minute"}, {"60 %", "0.5", "60*Percent"}, {"0.4", "60*Percent", "0.4"},
		{"large", `"medium"`, `"large"`}, {"5 N", `"medium"`, `"5 N"`}, {"4", "3", "4"}, {"true", "false", "true"},
		{`Mask("nasal", "large")`, `Mask("nasal", "small")`, `Mask("nasal", "large")`}, {"2*pull", "3*N", "2*pull"},
	} {
		if got, err := Written(c.value, c.was); err != nil || got != c.want {
			t.Errorf("%s for %s gives %s, %v; want %s", c.value, c.was, got, err, c.want)
		}
	}
	for _, c := range []struct{ value, was string }{{"5", "3*N"}, {"8 cmH2O", "3*N"}, {"", "3"}, {"a b", "3*N"}, {"5 stone", "3*N"}} {
		if got, err := Written(c.value, c.was); err == nil {
			t.Errorf("%s for %s gives %s", c.value, c.was, got)
		}
	}
}
