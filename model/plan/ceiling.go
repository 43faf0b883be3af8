package plan

import (
	"context"
	"math/rand/v2"
)

// inTheKnow is how many times a face that is known is held: enough for the skins,
// straps and mouths that may go with it.
const inTheKnow = 16

// knowing plays the plan with each person's own face, hose and all, as the only
// one in its belief. Skin, habit, mouth, refusals and each night's luck stay
// unknown. What it leaves unsolved tells how far seeing faces better could go.
func (t *stage) knowing(ctx context.Context) ([]run, error) {
	out := make([]run, t.q.N)
	return out, onAllCores(ctx, t.q.N, func(i int) error {
		r := rand.New(rand.NewPCG(t.q.Seed^beliefStream, uint64(i)))
		c, err := t.truth.setup.around(ctx, t.truth.people[i], inTheKnow, t.meant, r)
		if err != nil {
			return err
		}
		out[i] = t.course(i, &planned{table: c.newTable(t.meant), prior: c.prior})
		return nil
	})
}
