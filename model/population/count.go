package population

import (
	"context"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"

	"tautline/model/mask"
)

// BinWidth is the side of a bin of the map.
const BinWidth Millimetres = 5

// stream gives the random numbers of one face: its own, from the seed and its
// place in the row, so that no other face and no division of the work matters.
func stream(seed uint64, index int) *rand.Rand { return rand.New(rand.NewPCG(seed, uint64(index))) }

// PersonAt gives one face of a question's row.
func (q *Question) PersonAt(index int) Person { return DrawPerson(stream(q.Seed, index), q.Women) }

// A kit is one type with its three sizes and its own table.
type kit struct {
	kind  mask.Type
	table Table
	sizes [sizeCount]*bench
}

func (q *Question) kits() ([]kit, error) {
	kinds, err := q.types()
	if err != nil {
		return nil, err
	}
	var out []kit
	for _, kind := range kinds {
		k := kit{kind: kind}
		if k.table, err = CatalogueTable(kind); err != nil {
			return nil, err
		}
		masks, err := q.masks(kind)
		if err != nil {
			return nil, err
		}
		for i, m := range masks {
			if k.sizes[i], err = newBench(&q.Question, m); err != nil {
				return nil, err
			}
		}
		out = append(out, k)
	}
	return out, nil
}

// stride is how many faces a goroutine takes at a time.
const stride = 64

// CountFaces tallies the faces with places from (included) to (excluded) in the
// question's row, on all cores. tell, when given, hears how many are done, from
// several goroutines. Whatever the cores, the tally is the same.
func CountFaces(ctx context.Context, q Question, from, to int, tell func(done int)) (Tally, error) {
	if err := q.Check(); err != nil {
		return Tally{}, err
	}
	kits, err := q.kits()
	if err != nil {
		return Tally{}, err
	}
	var next, done atomic.Int64
	next.Store(int64(from))
	parts := make([]Tally, runtime.GOMAXPROCS(0))
	var all sync.WaitGroup
	for w := range parts {
		all.Go(func() {
			c := newCounter(&q, kits)
			parts[w] = c.tally
			for ctx.Err() == nil {
				end := int(next.Add(stride))
				start := end - stride
				if start >= to {
					return
				}
				end = min(end, to)
				for i := start; i < end; i++ {
					c.count(i)
				}
				if n := done.Add(int64(end - start)); tell != nil {
					tell(int(n))
				}
			}
		})
	}
	all.Wait()
	return Merge(parts...), ctx.Err()
}

// A counter is one goroutine's hands and tally.
type counter struct {
	q     *Question
	kits  []kit
	hands [][sizeCount]worker
	tally Tally
}

func newCounter(q *Question, kits []kit) *counter {
	c := &counter{q: q, kits: kits, tally: newTally()}
	for _, k := range kits {
		var hands [sizeCount]worker
		for i, b := range k.sizes {
			hands[i] = b.worker()
		}
		c.hands = append(c.hands, hands)
	}
	return c
}

// count tries every type and size on one face.
func (c *counter) count(index int) {
	p := c.q.PersonAt(index)
	served := Served{Sex: p.Sex}
	for k := range c.kits {
		kit := &c.kits[k]
		s := Shape{Type: kit.kind, Half: index % 2, Sex: p.Sex, Reading: Read(&p, kit.kind)}
		anyFits := false
		for i := range s.Outcomes {
			s.Outcomes[i] = c.hands[k][i].try(&p.Face)
			anyFits = anyFits || s.Outcomes[i] == Fits
		}
		chosen := s.Outcomes[kit.table.Choose(s.Reading)]
		if chosen == Fits {
			served.Types |= 1 << k
		}
		c.tally.shapes[s]++
		c.tally.places[Place{kit.kind, bin(Gauge(p.Size[FaceLength])), bin(Gauge(p.Size[FaceWidth])), chosen, anyFits}]++
	}
	c.tally.served[served]++
}

// bin gives the lower edge of a reading's bin.
func bin(x Millimetres) Millimetres { return x - x%BinWidth }
