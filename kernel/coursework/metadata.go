package coursework

import (
	"crypto/md5"
	"encoding/hex"
	"io"
	"strconv"
)

// A Mark is what a cell's metadata says to a school's autograding: nbgrader's
// published keys, schema version 3.
type Mark struct {
	Version  int      `json:"schema_version"`
	Grade    bool     `json:"grade"`
	Solution bool     `json:"solution"`
	Locked   bool     `json:"locked"`
	Task     bool     `json:"task"`
	ID       string   `json:"grade_id"`
	Points   *float64 `json:"points,omitempty"`
	CellType string   `json:"cell_type,omitempty"`
	Checksum string   `json:"checksum,omitempty"`
}

// Sum is the checksum by which a changed cell is noticed: the MD5 sum of source,
// kind of cell, the three marks, the id and, where there are points, the points,
// as Python writes them. It guards against mishaps, not against anybody.
//
// Source: nbgrader, utils.compute_checksum, read in its repository.
func (m Mark) Sum(source, kind string) string {
	h := md5.New()
	_, _ = io.WriteString(h, source+kind+python(m.Grade)+python(m.Solution)+python(m.Locked)+m.ID)
	if m.Grade && m.Points != nil {
		points := strconv.FormatFloat(*m.Points, 'f', -1, 64)
		if decimals(points) == 0 {
			points += ".0"
		}
		_, _ = io.WriteString(h, points)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func python(b bool) string {
	if b {
		return "True"
	}
	return "False"
}
