package report

import (
	"errors"

	"tautline/model/mask"
	"tautline/model/population"
)

// A PopulationResult is the JSON form of a population (testdata/schema).
type PopulationResult struct {
	Format    string         `json:"format"`
	Version   int            `json:"version"`
	Name      string         `json:"name"`
	About     string         `json:"about"`
	Asked     PeopleItem     `json:"asked"`
	Women     int            `json:"women_faces"`
	Men       int            `json:"men_faces"`
	AnyType   int            `json:"any_type_faces"` // some type has a window in its chosen size
	NoneWomen int            `json:"no_type_women_faces"`
	NoneMen   int            `json:"no_type_men_faces"`
	Types     []MaskTypeItem `json:"types"`
	Sentences []string       `json:"sentences"`
	Cautions  []string       `json:"cautions"`
}

// A PeopleItem repeats what was asked of the faces.
type PeopleItem struct {
	Faces    int         `json:"faces"`
	Seed     uint64      `json:"seed"`
	Women    *float64    `json:"women_share"`
	Position string      `json:"position"`
	Range    [2]*float64 `json:"range_cmH2O"`
	Limit    *float64    `json:"limit_L_per_min"`
	Line     LineItem    `json:"line"`
	Between  [2]*float64 `json:"between_N"`
}

// A FacesItem counts faces.
type FacesItem struct {
	Faces  int `json:"faces"`
	Window int `json:"window_faces"`
	Line   int `json:"past_line_faces"`
	Shape  int `json:"leaking_faces"`
}

// A MaskTypeItem is one type of mask.
type MaskTypeItem struct {
	Type    string          `json:"type"`
	SizedBy []string        `json:"sized_by"`
	Chosen  FacesItem       `json:"chosen"`
	Women   FacesItem       `json:"women"`
	Men     FacesItem       `json:"men"`
	AnySize FacesItem       `json:"any_size"`
	Sizes   []SizeItem      `json:"sizes"`
	Tables  []SizeTableItem `json:"tables"`
	Bins    []BinItem       `json:"bins"`
}

// A SizeItem is one size of a type.
type SizeItem struct {
	Size      string    `json:"size"`
	Chosen    FacesItem `json:"chosen"`
	Everybody FacesItem `json:"everybody"`
}

// A SizeTableItem is one size table: the readings from which on medium and
// large are taken; null where none is.
type SizeTableItem struct {
	Table  string    `json:"table"`
	Medium []*int    `json:"medium_from_mm"`
	Large  []*int    `json:"large_from_mm"`
	Share  FacesItem `json:"share"`
}

// A BinItem is one bin of the map, by its lower edges.
type BinItem struct {
	Length  int       `json:"face_length_mm"`
	Width   int       `json:"face_width_mm"`
	Share   FacesItem `json:"share"`
	AnySize int       `json:"any_size_faces"`
}

// PopulationJSON gives the answer that programs read.
func PopulationJSON(name, about string, a population.Answer) PopulationResult {
	q := asked(a.Question.Question)
	r := PopulationResult{Format: "tautline population result", Version: 1, Name: name, About: about,
		Asked: PeopleItem{Faces: a.Question.Faces, Seed: a.Question.Seed, Women: num(float64(a.Question.Women)), Position: q.Position,
			Range: q.Range, Limit: q.Limit, Line: q.Line, Between: q.Between},
		Women: a.Sexes[population.Women], Men: a.Sexes[population.Men], AnyType: a.Some.Fits,
		NoneWomen: a.None[population.Women], NoneMen: a.None[population.Men], Types: []MaskTypeItem{},
		Sentences: append([]string{PopulationSentence(a), ServedSentence(a)}, append(PopulationWhy(a), PopulationAfterwards(a))...),
		Cautions:  append(cautionLines(), PopulationLimits)}
	for _, t := range a.Types {
		r.Types = append(r.Types, maskTypeItem(t))
	}
	return r
}

func facesItem(s population.Share) FacesItem { return FacesItem{s.Faces, s.Fits, s.ByLine, s.ByShape} }

func maskTypeItem(t population.TypeAnswer) MaskTypeItem {
	item := MaskTypeItem{Type: string(t.Type), Chosen: facesItem(t.Chosen), AnySize: facesItem(t.Whichever),
		Women: facesItem(t.BySex[population.Women]), Men: facesItem(t.BySex[population.Men]),
		Sizes: []SizeItem{}, Tables: []SizeTableItem{}, Bins: []BinItem{}}
	for _, d := range t.By {
		item.SizedBy = append(item.SizedBy, dimensionWords[d])
	}
	for _, s := range t.Sizes {
		item.Sizes = append(item.Sizes, SizeItem{s.Size, facesItem(s.Chosen), facesItem(s.Everybody)})
	}
	for _, one := range t.Tables {
		cuts := []population.Cuts{one.Table.First, one.Table.Second}[:len(t.By)]
		table := SizeTableItem{Table: tableIDs[one.Kind], Share: facesItem(one.Share)}
		for _, c := range cuts {
			table.Medium, table.Large = append(table.Medium, cutItem(c.Medium)), append(table.Large, cutItem(c.Large))
		}
		item.Tables = append(item.Tables, table)
	}
	for _, b := range t.Bins {
		item.Bins = append(item.Bins, BinItem{int(b.Length), int(b.Width), facesItem(b.Share), b.Whichever})
	}
	return item
}

func cutItem(m population.Millimetres) *int {
	if m >= population.Never {
		return nil
	}
	n := int(m)
	return &n
}

// A ShardFile is a part of a population's counts, which add up exactly.
type ShardFile struct {
	Format   string       `json:"format"`
	Version  int          `json:"version"`
	Question string       `json:"question_sha256"` // of all that the counts depend on
	Shard    int          `json:"shard"`
	Of       int          `json:"of"`
	Faces    int          `json:"faces"`
	Shapes   []ShapeItem  `json:"shapes"`
	Places   []PlaceItem  `json:"places"`
	Served   []ServedItem `json:"served"`
}

// A ShapeItem counts faces of one reading with the outcomes of the sizes.
type ShapeItem struct {
	Type     string `json:"type"`
	Half     int    `json:"half"`
	Sex      int    `json:"sex"`
	Readings [2]int `json:"readings_mm"`
	Outcomes [3]int `json:"outcomes"` // 0 window, 1 past the line, 2 leaks
	Faces    int    `json:"faces"`
}

// A PlaceItem counts faces of one bin of the map.
type PlaceItem struct {
	Type    string `json:"type"`
	Bin     [2]int `json:"bin_mm"`
	Outcome int    `json:"outcome"`
	AnySize bool   `json:"any_size"`
	Faces   int    `json:"faces"`
}

// A ServedItem counts faces by the types that have a window on them.
type ServedItem struct {
	Sex   int `json:"sex"`
	Types int `json:"types"`
	Faces int `json:"faces"`
}

// ShardFormat heads a shard's file.
const ShardFormat = "tautline population shard"

// ShardJSON gives a part's counts as a file holds them.
func ShardJSON(question string, shard, of int, t population.Tally) ShardFile {
	f := ShardFile{Format: ShardFormat, Version: 1, Question: question, Shard: shard, Of: of, Faces: t.Faces(),
		Shapes: []ShapeItem{}, Places: []PlaceItem{}, Served: []ServedItem{}}
	for _, c := range t.Shapes() {
		k := c.Key
		item := ShapeItem{Type: string(k.Type), Half: k.Half, Sex: int(k.Sex), Faces: c.Faces,
			Readings: [2]int{int(k.Reading.First), int(k.Reading.Second)}}
		for i, o := range k.Outcomes {
			item.Outcomes[i] = int(o)
		}
		f.Shapes = append(f.Shapes, item)
	}
	for _, c := range t.Places() {
		k := c.Key
		f.Places = append(f.Places, PlaceItem{string(k.Type), [2]int{int(k.Length), int(k.Width)}, int(k.Chosen), k.Any, c.Faces})
	}
	for _, c := range t.Served() {
		f.Served = append(f.Served, ServedItem{int(c.Key.Sex), int(c.Key.Types), c.Faces})
	}
	return f
}

// Tally is the way back.
func (f ShardFile) Tally() population.Tally {
	var shapes []population.Count[population.Shape]
	for _, c := range f.Shapes {
		k := population.Shape{Type: mask.Type(c.Type), Half: c.Half & 1, Sex: sexOf(c.Sex),
			Reading: population.Reading{First: population.Millimetres(c.Readings[0]), Second: population.Millimetres(c.Readings[1])}}
		for i, o := range c.Outcomes {
			k.Outcomes[i] = population.Outcome(o)
		}
		shapes = append(shapes, population.Count[population.Shape]{Key: k, Faces: c.Faces})
	}
	var places []population.Count[population.Place]
	for _, c := range f.Places {
		places = append(places, population.Count[population.Place]{Key: population.Place{Type: mask.Type(c.Type),
			Length: population.Millimetres(c.Bin[0]), Width: population.Millimetres(c.Bin[1]),
			Chosen: population.Outcome(c.Outcome), Any: c.AnySize}, Faces: c.Faces})
	}
	var served []population.Count[population.Served]
	for _, c := range f.Served {
		served = append(served, population.Count[population.Served]{Key: population.Served{Sex: sexOf(c.Sex), Types: uint8(c.Types)}, Faces: c.Faces})
	}
	return population.TallyOf(shapes, places, served)
}

func sexOf(n int) population.Sex { return population.Sex(min(max(n, 0), int(population.SexCount)-1)) }

// Check refuses counts that no faces come to.
func (f ShardFile) Check() error {
	const largest = 999 // mm, of any reading
	sum := 0
	good := func(ok bool, faces int) bool { return ok && faces > 0 && faces <= f.Faces }
	for _, c := range f.Served {
		sum += c.Faces
		if !good(c.Types >= 0 && c.Types < 256 && c.Sex >= 0 && c.Sex < int(population.SexCount), c.Faces) {
			return errDamaged
		}
	}
	for _, c := range f.Places {
		if !good(areOutcomes(c.Outcome) && allWithin(largest, c.Bin[:]...), c.Faces) {
			return errDamaged
		}
	}
	perType := map[string]int{}
	for _, c := range f.Shapes {
		perType[c.Type] += c.Faces
		if !good(areOutcomes(c.Outcomes[:]...) && allWithin(largest, c.Readings[:]...) && allWithin(1, c.Half, c.Sex), c.Faces) {
			return errDamaged
		}
	}
	for _, n := range perType {
		if n != f.Faces {
			return errDamaged
		}
	}
	if sum != f.Faces {
		return errDamaged
	}
	return nil
}

var errDamaged = errors.New("the counts do not add up")

func areOutcomes(all ...int) bool { return allWithin(int(population.ByShape), all...) }

func allWithin(most int, all ...int) bool {
	for _, n := range all {
		if n < 0 || n > most {
			return false
		}
	}
	return true
}
