package explain

import "context"

// Explain answers a question. It draws its own curves; whoever has many
// questions about one mask prepares a Bank once and asks that.
func Explain(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	return Answer{Question: q}, ctx.Err()
}
