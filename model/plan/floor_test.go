package plan

import (
	"context"
	"reflect"
	"runtime"
	"testing"
)

// TestTrialOnOneCore: how the work is shared out changes nothing, and knowing
// everything leaves no more unsolved than the plan does beyond luck.
func TestTrialOnOneCore(t *testing.T) {
	q := TrialQuestion{Question: usualQuestion(), N: 60}
	q.People = 100
	var all [2]Trial
	for i, cores := range []int{1, 4} {
		was := runtime.GOMAXPROCS(cores)
		r, err := RunTrial(context.Background(), q)
		runtime.GOMAXPROCS(was)
		if err != nil {
			t.Fatal(err)
		}
		all[i] = r
	}
	if !reflect.DeepEqual(all[0], all[1]) {
		t.Error("one core and four give different trials")
	}
	if f := all[0].Floor; f < 0 || f > all[0].Planned.Unsolved.High {
		t.Errorf("the floor is %.3f, the plan leaves %.3f", f, all[0].Planned.Unsolved)
	}
}
