package picture

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const chartWidth vg.Length = 900

// A chart is a sheet of small multiples. Every cell stacks the same panels over
// one horizontal axis, which all cells share.
type chart struct {
	title string
	facts []fact // lines below the title
	x     scale
	cells []cell
	key   []series // drawn as a row of samples under the facts; often empty
	alt   string

	panelHeight vg.Length
}

// A fact is a line of text under the title.
type fact struct {
	text string
	bold bool
}

// A cell is one of the small multiples: the panels for one setting of whatever
// is varied beside the horizontal axis.
type cell struct {
	name   string // of the setting; empty when there is only one cell
	note   string // a sentence about this cell
	panels []panel
	span   *span  // an outlined range across all panels
	posts  []post // vertical lines across all panels
	bands  []bandRow
}

// A panel is one pair of axes.
type panel struct {
	title  string // of the vertical axis, with its unit
	series []series
	rules  []rule // horizontal lines that somebody chose
	marks  []post // vertical lines in this panel only
	y      scale
	least  float64 // what the vertical axis reaches at any rate
	top    float64 // where the vertical axis ends, when it ends at a given place
	cut    bool    // the axis ends at a few times the highest rule
}

// cellsAcross is how many cells stand side by side: at most three, and four as
// two and two.
func (c *chart) cellsAcross() int {
	if len(c.cells) == 4 {
		return 2
	}
	return min(3, len(c.cells))
}

// Heights on the sheet.
const (
	titleStep vg.Length = 26
	factStep  vg.Length = 22
	noteStep  vg.Length = 18
	axisRoom  vg.Length = 50 // numbers and title of the horizontal axis
)

// picture fixes the sheet's size from what it has to hold.
func (c *chart) picture() *Picture {
	if c.panelHeight == 0 {
		c.panelHeight = 215
	}
	c.rangeAll()
	height := c.headHeight() + 8
	if len(c.cells) == 0 {
		height += 60
	}
	for _, row := range c.rows() {
		height += c.rowHeight(row)
	}
	return &Picture{Title: plain(c.title), Alt: plain(c.alt),
		width: chartWidth, height: vg.Length(int(height) + 1), draw: c.draw}
}

// rows parts the cells into rows of the sheet.
func (c *chart) rows() [][]cell {
	var rows [][]cell
	for i := 0; i < len(c.cells); i += c.cellsAcross() {
		rows = append(rows, c.cells[i:min(len(c.cells), i+c.cellsAcross())])
	}
	return rows
}

func (c *chart) rowHeight(row []cell) vg.Length {
	return c.cellHead(row) + vg.Length(len(row[0].panels))*c.panelHeight + axisRoom + 10
}

// cellHead is the room above a row's panels: names, notes and the lines over
// spans and posts.
func (c *chart) cellHead(row []cell) vg.Length {
	head, posts := vg.Length(0), 0
	for _, l := range row {
		h := vg.Length(0)
		if l.name != "" {
			h += factStep
		}
		h += noteStep * vg.Length(len(c.noteLines(l)))
		if l.span != nil {
			h += noteStep + 4
		}
		h += stripStep * vg.Length(len(l.bands))
		head, posts = max(head, h), max(posts, len(l.posts))
	}
	return head + noteStep*vg.Length(posts) + 8
}

// noteLines wraps a cell's sentence to the width that a cell has.
func (c *chart) noteLines(l cell) []string {
	if l.note == "" {
		return nil
	}
	return wrap(regular(small), l.note, (chartWidth-2*margin-190)/vg.Length(c.cellsAcross())-50, 5)
}

func (c *chart) titleLines() []string {
	return wrap(bold(large), c.title, chartWidth-2*margin, 2)
}

// factLines breaks the facts to the sheet's width.
func (c *chart) factLines() []fact {
	var lines []fact
	for _, f := range c.facts {
		for _, l := range wrap(f.face(), f.text, chartWidth-2*margin, 2) {
			lines = append(lines, fact{l, f.bold})
		}
	}
	return lines
}

func (c *chart) headHeight() vg.Length {
	h := 16 + titleStep*vg.Length(len(c.titleLines())) + factStep*vg.Length(len(c.factLines()))
	if len(c.key) > 0 {
		h += factStep + 6
	}
	return h
}

func (c *chart) draw(on paper) {
	y := on.Max.Y - 36
	for _, l := range c.titleLines() {
		on.write(bold(large), ink, vg.Point{X: margin, Y: y}, left, l)
		y -= titleStep
	}
	for _, f := range c.factLines() {
		on.write(f.face(), ink, vg.Point{X: margin, Y: y}, left, f.text)
		y -= factStep
	}
	c.drawKey(on, y-2)
	top := on.Max.Y - c.headHeight()
	if len(c.cells) == 0 {
		on.write(regular(normal), soft, vg.Point{X: margin, Y: top - 30}, left, "There is nothing to draw.")
	}
	for _, row := range c.rows() {
		bottom := top - c.rowHeight(row)
		c.drawRow(on, row, bottom, top)
		top = bottom
	}
}

// drawRow lays the panels of one row of cells on a grid with aligned axes.
func (c *chart) drawRow(on paper, row []cell, bottom, top vg.Length) {
	across, down := c.cellsAcross(), len(row[0].panels)
	plots := make([][]*plot.Plot, down)
	for j := range plots {
		plots[j] = make([]*plot.Plot, across)
		for i, l := range row {
			plots[j][i] = c.plot(l.panels[j], i == 0, j == down-1)
		}
	}
	room := c.labelRoom(row[len(row)-1])
	area := draw.Canvas{Canvas: on.Canvas.Canvas,
		Rectangle: box(margin, bottom+34, chartWidth-margin-room, top-c.cellHead(row))}
	tiles := plot.Align(plots, draw.Tiles{Rows: down, Cols: across, PadX: 18, PadY: 14}, area)
	var last draw.Canvas
	for i, l := range row {
		data := make([]draw.Canvas, down)
		for j := range down {
			plots[j][i].Draw(tiles[j][i])
			data[j] = plots[j][i].DataCanvas(tiles[j][i])
		}
		c.decorate(on, l, data, i == len(row)-1)
		last = data[down-1]
	}
	// The axis title stands once for the row: under each cell it would not fit.
	first := plots[down-1][0].DataCanvas(tiles[down-1][0])
	on.write(regular(normal), ink, vg.Point{X: (first.Min.X + last.Max.X) / 2, Y: bottom + 16}, centre, c.x.title)
}

// plot sets one panel's axes in this house's lettering and adds what is drawn
// in it.
func (c *chart) plot(p panel, first, lowest bool) *plot.Plot {
	pl := plot.New()
	pl.BackgroundColor = nil
	c.x.set(&pl.X, lowest)
	p.y.set(&pl.Y, true)
	if first {
		pl.Y.Label.Text = p.title
	}
	grid := plotter.NewGrid()
	grid.Vertical.Width = 0
	grid.Horizontal = draw.LineStyle{Color: gridInk, Width: 1}
	pl.Add(grid)
	for _, s := range p.series {
		pl.Add(s)
	}
	return pl
}
