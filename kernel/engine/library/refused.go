package library

const (
	readsInput  = "reads the process's own input, which cells do not have"
	readsFiles  = "reads files, which cells cannot"
	writesFiles = "writes files, which cells cannot; the last line of a cell shows the plot"
	noTimers    = "calls back later, and cells run one thing after another; time.Sleep waits"
	changesAll  = "changes something for the whole process"
	noGoroutine = "hands out channels, which cells do not have"
)

// refused says why a name of an allowed package is left out. Methods are named
// with their type.
var refused = map[string]string{
	"fmt.Scan": readsInput, "fmt.Scanf": readsInput, "fmt.Scanln": readsInput,
	"fmt.Fscan": readsInput, "fmt.Fscanf": readsInput, "fmt.Fscanln": readsInput,
	"image.Decode": readsFiles, "image.DecodeConfig": readsFiles, "image.RegisterFormat": changesAll,
	"time.LoadLocation": readsFiles, "time.LoadLocationFromTZData": readsFiles,
	"time.After": noTimers, "time.AfterFunc": noTimers, "time.Tick": noTimers,
	"time.NewTicker": noTimers, "time.NewTimer": noTimers, "time.Ticker": noTimers, "time.Timer": noTimers,
	"math/rand.Seed":                           "sets the numbers of the whole process; use rand.New(rand.NewSource(1))",
	"gonum.org/v1/gonum/optimize.Printer":      "prints to the process's own output; read the result instead",
	"gonum.org/v1/gonum/optimize.NewPrinter":   "prints to the process's own output; read the result instead",
	"gonum.org/v1/plot.Plot.Save":              writesFiles,
	"gonum.org/v1/plot/vg/draw.RegisterFormat": changesAll,
}

// Refused says why a name, or a method ("Plot.Save"), of an allowed package is
// not there for cells.
func Refused(path, name string) (why string, ok bool) {
	why, ok = refused[path+"."+name]
	return why, ok
}

// HiddenMethod tells whether a method of some allowed package has this name
// and is refused; no interface declared in a cell may ask for it.
func HiddenMethod(name string) (why string, ok bool) {
	if name == "Save" {
		return writesFiles, true
	}
	return "", false
}
