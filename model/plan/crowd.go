package plan

import (
	"context"
	"math/rand/v2"

	"tautline/model/mask"
)

// A crowd is the persons of a belief. What the masks do on a face costs the
// time, and it does not depend on how soon the skin gets sore, on the habit of
// setting straps or on the lips: each face is therefore held with several draws
// of those. With one draw a few outcomes leave a single face standing, for the
// wrong reason: its skin agreed.
type crowd struct {
	*bank
	prior belief // before any outcome
}

// draws is how many persons share a face in a belief. Of these at least fewLets
// let air into the mouth, and as many do not: they are the rarer sort, and must
// not run out where they are needed. The prior sets their weight right.
const (
	draws   = 8
	fewLets = 2
)

// gather makes a crowd of as many faces.
func (s setup) gather(ctx context.Context, faces int, of Spreads, look *Look, r *rand.Rand) (*crowd, error) {
	c, err := s.newCrowd(ctx, drawPeople(faces, of, look, r), faces, of, look.MouthOpen, r)
	if err != nil {
		return nil, err
	}
	return c, onAllCores(ctx, faces, func(face int) error { return c.settle(face*draws, face) })
}

// around makes a crowd of one known face, held so many times: what is left open
// is only what a face does not tell.
func (s setup) around(ctx context.Context, p person, times int, of Spreads, r *rand.Rand) (*crowd, error) {
	same := make([]person, times)
	for i := range same {
		same[i] = p
	}
	c, err := s.newCrowd(ctx, same, 1, of, Unknown, r)
	if err != nil {
		return nil, err
	}
	return c, c.settle(0, 0)
}

// newCrowd makes draws persons of each that was drawn, with room for as many
// faces; those of one face share it.
func (s setup) newCrowd(ctx context.Context, drawn []person, faces int, of Spreads, told Told, r *rand.Rand) (*crowd, error) {
	c := &crowd{}
	share := mouthShare(told)
	lets := min(max(int(share*draws+0.5), fewLets), draws-fewLets)
	weight := [2]float64{(1 - share) / float64(draws-lets), share / float64(lets)}
	people := make([]person, 0, len(drawn)*draws)
	for _, p := range drawn {
		for k := range draws {
			p.soreAt, p.habit, p.lips = drawSoreAt(r, of), of.Habit*r.NormFloat64(), drawLips(r)
			p.lets, p.refuses = k < lets, [typeCount]bool{}
			people = append(people, p)
			c.prior = append(c.prior, weight[jaw(&p)])
		}
	}
	c.prior = c.prior.normed()
	var err error
	if c.bank, err = s.newBank(people, 2*faces); err != nil {
		return nil, err
	}
	return c, onAllCores(ctx, len(people), func(i int) error {
		c.shape[i] = 2*(i*faces/len(people)) + jaw(&people[i])
		c.breathe(i)
		return nil
	})
}

// jaw numbers the two shapes of a face: the jaw held, and dropped.
func jaw(p *person) int {
	if p.lets {
		return 1
	}
	return 0
}

// settle puts the masks on one face, whose persons begin at first: with the jaw
// held and, for masks that rest on the chin, with it dropped.
func (c *crowd) settle(first, face int) error {
	held, dropped := c.people[first], c.people[first]
	held.lets, dropped.lets = false, true
	if err := c.respond(2*face, &held); err != nil {
		return err
	}
	for m := range c.masks {
		if c.masks[m].Type != mask.Oronasal {
			copy(c.row(2*face+1, m), c.row(2*face, m))
			continue
		}
		if err := c.putOn(2*face+1, m, &dropped); err != nil {
			return err
		}
	}
	return nil
}
