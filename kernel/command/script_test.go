package command

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"tautline/kernel/worker"
)

// TestMain lets scripts call the command line by its name.
func TestMain(m *testing.M) {
	worker.ServeIfAsked()
	testscript.Main(m, map[string]func(){
		"tautline": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs testdata/script/*.txtar, named after the verb that they try.
// $TESTDATA is the folder of example files at the top of the tree.
func TestScripts(t *testing.T) {
	data, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("TESTDATA", data)
			return nil
		},
	})
}
