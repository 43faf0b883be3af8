package fit

import "context"

// FindWindow looks for the window of a question and for nothing else that Ask
// answers: a picture that follows a control has no time for the rest.
func FindWindow(ctx context.Context, q Question) (Window, error) {
	if err := q.Check(); err != nil {
		return Window{}, err
	}
	base, err := PutOn(q.Case)
	if err != nil {
		return Window{}, err
	}
	return q.window(ctx, base)
}
