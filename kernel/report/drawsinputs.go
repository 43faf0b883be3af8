package report

import "strings"

// inputWords names inputs as a person would at the bedside, so that the
// sentence "it hangs mostly on ..." can be said aloud.
var inputWords = map[string]string{
	"strap force":                    "the guess for the strap force",
	"contact width":                  "how wide the cushion touches",
	"cushion stiffness":              "how stiff the cushion is",
	"cushion bottoming":              "how far the cushion gives way",
	"stiffening when bottomed out":   "how hard the cushion is once pressed flat",
	"flap share":                     "how hard the cushion's flap presses",
	"flap reach":                     "how far the cushion's flap follows the skin",
	"mask weight":                    "the weight of mask and hose",
	"strap stiffness":                "how stretchy the straps are",
	"upper straps' share":            "how the pull is shared between upper and lower straps",
	"left straps' share of the pull": "how evenly left and right straps are set",
	"vent tolerance":                 "what the mask vent in hand really passes",
	"face length":                    "the face length",
	"face width":                     "the face width",
	"nose width":                     "the nose width",
	"tissue foundation share":        "how soft skin is under a cushion",
	"hair thickness":                 "how thick the hair is",
	"feature width":                  "how wide the folds or ridges are",
	"feature depth":                  "how deep the folds or ridges are",
	"gap scale":                      "how rough the skin is",
	"closing stress":                 "how firmly a gap must be pressed shut",
	"flap lifting stiffness":         "how easily the cushion's flap lifts",
	"slot loss factor":               "what a gap takes of the flow",
	"hose length":                    "the hose length",
	"corrugation":                    "how rough the hose is inside",
	"fittings":                       "what elbow and swivel take of the pressure",
	"machine's largest flow":         "the largest flow of the machine",
	"machine's droop":                "how the machine gives in at its limit",
	"mask gas temperature":           "how warm the air in the mask is",
	"mask gas humidity":              "how damp the air in the mask is",
	"weight pressing":                "how much of the mask's weight presses",
	"weight hanging on the bridge":   "how much of the mask's weight hangs on the bridge",
	"strap slackening":               "how much the straps slacken on lying down",
	"jaw falling back":               "how far the jaw falls back",
	"bed pillow's push":              "how hard the bed pillow pushes",
	"cushion wear time":              "how fast the cushion wears",
	"cushion softening":              "how much softer a worn cushion is",
	"flap going limp":                "how limp a worn cushion's flap is",
	"flap stiffening":                "how much reach a worn cushion's flap has lost",
}

// InputWords says an input in words; one that has none is named as it is.
func InputWords(name string) string {
	if w, ok := inputWords[name]; ok {
		return w
	}
	what, where, split := strings.Cut(name, ", ")
	if !split {
		return "the guess for " + name
	}
	switch what {
	case "shape":
		return "the guess for the shape of the " + where
	case "left-right difference":
		return "how much left and right differ at the " + where
	case "tissue modulus":
		return "how soft the skin is at the " + where
	case "tissue thickness":
		return "how thick the skin and fat are at the " + where
	}
	return "the guess for " + what + " at the " + where
}
