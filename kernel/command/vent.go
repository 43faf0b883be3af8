package command

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// ventFlags are what can be asked of a vent.
type ventFlags struct {
	at       []string
	altitude string
	gas      string
	blocked  string
}

// ventAt are the pressures shown when none are asked for: those of therapy.
var ventAt = []string{"4 cmH2O", "8 cmH2O", "12 cmH2O", "16 cmH2O", "20 cmH2O"}

func ventCommand() *cobra.Command {
	f := &ventFlags{}
	cmd := &cobra.Command{
		Use:   "vent FILE",
		Short: "Read a mask vent and say what it passes",
		Long: `Reads a mask vent and prints the fitted power law with its standard errors, what
the exponent says about the vent, flows at chosen pressures, and the flow below
which the mask is no longer cleared between two breaths.

FILE is a published curve as CSV with the header pressure_cmH2O,flow_L_per_min
(other units of pressure and flow are understood), or the holes as TOML:

  format = "tautline vent 1"
  holes = 20
  diameter = "1.1 mm"
  length = "2.2 mm"

A curve is taken to be measured at 20 C, 50 % humidity and sea level. --gas and
--altitude rescale it; with --altitude alone the gas stays as warm and as damp.`,
		Example: `  tautline vent testdata/curves/nasal.csv
  tautline vent testdata/curves/nasal.csv --at "6 cmH2O" --at "14 cmH2O"
  tautline vent testdata/curves/holes.toml --altitude "2500 m" --svg vent.svg`,
		Args: oneFile,
	}
	f.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runVent(cmd, args[0], f, o) }
	return cmd
}

func (f *ventFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.at, "at", ventAt, "flow at this mask `PRESSURE`; may be repeated")
	flags.StringVar(&f.altitude, "altitude", "", "ambient pressure of this `HEIGHT`, such as \"2500 m\"")
	flags.StringVar(&f.gas, "gas", "", "gas in the mask, such as \"30 C, 80 %\"")
	flags.StringVar(&f.blocked, "blocked", "", "`SHARE` of the vent that is covered or dirty, such as \"30 %\"")
}

func runVent(cmd *cobra.Command, path string, f *ventFlags, o *output) error {
	if err := o.ready(path); err != nil {
		return err
	}
	name, data, err := readInput(cmd, path)
	if err != nil {
		return err
	}
	published, err := scenario.Vent(name, data, gas.AtBench())
	if err != nil {
		return err
	}
	a := report.VentAnswer{Name: filepath.Base(name), Published: published}
	if err := f.apply(&a); err != nil {
		return err
	}
	return o.write(cmd.OutOrStdout(), rendering{
		text: a.Text,
		json: func() any { return a.JSON() },
		csv:  a.CSV,
		picture: func() *picture.Picture {
			return picture.Vent(a.Vent, a.At, picture.Named(a.Name), picture.WashoutFloor(vent.Floor()))
		},
	})
}

// apply sets the vent in the gas asked for and reads the pressures.
func (f *ventFlags) apply(a *report.VentAnswer) error {
	g, err := f.state(a.Published.Gas())
	if err != nil {
		return err
	}
	a.Vent, a.Altitude = a.Published.In(g), f.altitude
	if f.blocked != "" {
		share, err := unit.ParseFraction(f.blocked)
		if err != nil {
			return misused("--blocked: %w", err)
		}
		if !(share >= 0 && share < 1) {
			return misused("--blocked %q: a share from 0 %% to below 100 %% is wanted", f.blocked)
		}
		a.Vent = a.Vent.Blocked(share)
	}
	for _, s := range f.at {
		p, err := unit.ParsePressure(s)
		if err == nil {
			err = vent.CheckPressure(p)
		}
		if err != nil {
			return misused("--at: %w", err)
		}
		a.At = append(a.At, p)
	}
	return nil
}

// state is the gas asked for; what is not asked for stays as published.
func (f *ventFlags) state(published gas.State) (gas.State, error) {
	g := published
	if f.gas != "" {
		var err error
		if g, err = scenario.Gas(f.gas, g); err != nil {
			return g, misused("--gas: %w", err)
		}
	}
	if f.altitude == "" {
		return g, nil
	}
	h, err := unit.ParseLength(f.altitude)
	if err == nil {
		g, err = g.AtAltitude(h)
	}
	if err != nil {
		return g, misused("--altitude: %w", err)
	}
	return g, nil
}
