package report

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"tautline/model/population"
)

var tableIDs = map[population.TableKind]string{population.Own: "own", population.LengthOnly: "length only",
	population.OneSize: "medium for all", population.Found: "searched"}

// PopulationRows is the table by type and size, heading first.
func PopulationRows(a population.Answer) [][]string {
	rows := [][]string{{"", "size", "faces", "window", "past line", "leaks", "if all wore it"}}
	for _, t := range a.Types {
		rows = append(rows, append([]string{TypeWords(t.Type), "chosen"}, append(shareCells(t.Chosen), "")...))
		for _, s := range t.Sizes {
			rows = append(rows, append([]string{"", s.Size}, append(shareCells(s.Chosen), perHundred(s.Everybody.Fits, s.Everybody.Faces))...))
		}
		for sex, s := range t.BySex {
			rows = append(rows, append([]string{"", population.Sex(sex).ID()}, append(shareCells(s), "")...))
		}
	}
	return rows
}

func shareCells(s population.Share) []string {
	return []string{strconv.Itoa(s.Faces), perHundred(s.Fits, s.Faces), perHundred(s.ByLine, s.Faces), perHundred(s.ByShape, s.Faces)}
}

// TableRows compares the size tables, heading first.
func TableRows(a population.Answer) [][]string {
	rows := [][]string{{"", "table", "reading 1", "reading 2", "window", "+-"},
		{"", "", "mm", "mm", "%", "points"}}
	for _, t := range a.Types {
		name := TypeWords(t.Type)
		for _, one := range t.Tables {
			second := ""
			if len(t.By) > 1 {
				second = cutsCell(one.Table.Second)
			}
			margin := ""
			if one.Share.Faces > 0 {
				margin = bedside(100 * one.Share.Margin())
			}
			rows = append(rows, []string{name, tableIDs[one.Kind], cutsCell(one.Table.First), second,
				perHundred(one.Share.Fits, one.Share.Faces), margin})
			name = ""
		}
	}
	return rows
}

// cutsCell says cuts shortly: "114 / 122".
func cutsCell(c population.Cuts) string {
	cell := func(m population.Millimetres) string {
		switch {
		case m >= population.Never:
			return "-"
		case m <= 0:
			return "all"
		}
		return strconv.Itoa(int(m))
	}
	return cell(c.Medium) + " / " + cell(c.Large)
}

// PopulationCSV gives the map as a table: one line for each type and bin.
func PopulationCSV(a population.Answer) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	// A strings.Builder takes everything, so no write can fail.
	_ = w.Write([]string{"type", "face_length_from_mm", "face_length_below_mm", "face_width_from_mm", "face_width_below_mm",
		"faces", "window_faces", "past_line_faces", "leaking_faces", "any_size_faces"})
	for _, t := range a.Types {
		for _, bin := range t.Bins {
			s := bin.Share
			_ = w.Write([]string{string(t.Type), fmt.Sprint(bin.Length), fmt.Sprint(bin.Length + population.BinWidth),
				fmt.Sprint(bin.Width), fmt.Sprint(bin.Width + population.BinWidth), strconv.Itoa(s.Faces), strconv.Itoa(s.Fits),
				strconv.Itoa(s.ByLine), strconv.Itoa(s.ByShape), strconv.Itoa(bin.Whichever)})
		}
	}
	w.Flush()
	return b.String()
}
