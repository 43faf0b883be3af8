package scenario

import (
	"math"

	"tautline/model/plan"
)

// StockFormat heads a stock file; the number is that of the format.
const StockFormat = "tautline stock 1"

// A Stock is what a clinic has on its shelf.
type Stock struct {
	File  string
	About string
	Masks []plan.Item
}

// mostMasks bounds a shelf: more is a slip of the finger.
const mostMasks = 10_000

// ParseStock reads a stock file's content, as strictly as a scenario.
func ParseStock(name string, data []byte) (Stock, error) {
	d, top, err := openDocument(name, data, StockFormat, "a stock file")
	if err != nil {
		return Stock{}, err
	}
	stock := Stock{File: name}
	stock.About, _ = top.text("about")
	seen := map[plan.Item]bool{}
	for _, s := range top.sections("mask") {
		m := s.stockMask()
		kind := m
		if kind.Count = 0; seen[kind] {
			s.fault(s.path, "this mask stands here twice: add its counts up and keep one of them")
		}
		seen[kind] = true
		stock.Masks = append(stock.Masks, m)
	}
	if !top.has("mask") {
		d.fault("", `no mask is listed: write [[mask]] and below it type, size, vented, magnets and count`)
	}
	top.done()
	return stock, d.err()
}

// stockMask reads one line of the shelf. Whether a mask has a vent and whether
// it has magnets are asked of every one: forgetting either would do harm.
func (s *section) stockMask() plan.Item {
	m := plan.Item{}
	m.Type, m.Size = s.maskChosen()
	m.Vented = s.stated("vented", "false for a mask without a vent of its own")
	m.Magnets = s.stated("magnets", "true if mask or headgear holds any")
	m.Reprocessed = false
	if w, ok := s.word("state", []string{"new", "reprocessed"}); ok {
		m.Reprocessed = w == "reprocessed"
	}
	m.Count = s.count()
	s.done()
	return m
}

// stated is a flag without a default.
func (s *section) stated(key, meaning string) bool {
	v, ok := s.flag(key)
	if !ok && !s.has(key) {
		s.missing(key, key+" = true or "+key+" = false ("+meaning+")")
	}
	return v
}

func (s *section) count() int {
	v, there := s.get("count")
	if !there {
		s.missing("count", "count = 3, how many there are")
		return 0
	}
	n, ok := number(v)
	if !ok || n != math.Trunc(n) || n < 0 || n > mostMasks {
		s.wrong("count", "is %s: write how many there are, a whole number from 0 up, such as count = 3", quoted(v))
		return 0
	}
	return int(n)
}
