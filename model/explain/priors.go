package explain

// Priors are the numbers that hold before any reading.
type Priors struct {
	set bool
}
