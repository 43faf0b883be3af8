package plan

import "context"

// Plan says what to try first, and next after each outcome.
func Plan(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	return Answer{Question: q}, ctx.Err()
}
