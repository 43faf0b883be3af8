package report

// The cautions stand here and nowhere else; every answer shows the short form,
// and the whole list is one request away. Common practice, no source; local
// protocol and a licensed clinician decide.

// ShortCaution stands above every answer about a patient's mask.
const ShortCaution = "First look: is this a vented mask, its vent open? Magnets near an implant? Oxygen " +
	"near a flame? Can the patient take the mask off alone? Stop and call someone for drowsiness, " +
	"confusion, falling oxygen, vomiting or broken skin. (tautline cautions: the whole list)"

// Disclaimer says what tautline is.
const Disclaimer = "tautline teaches; it is not a medical device. Local protocol and a licensed clinician decide."

// A CautionGroup is one heading of the whole list with its points.
type CautionGroup struct {
	Heading string
	Points  []string
}

// Cautions gives the whole list.
func Cautions() []CautionGroup {
	return []CautionGroup{
		{"Before anything else, look at", []string{
			"The mask vent: open, unblocked, and is this a vented mask at all?",
			"Magnets in mask or headgear: implants or metal in head, eye or chest, of the patient and of whoever shares the bed. Keep the distance on the mask's label.",
			"Oxygen: no flame, no smoking, no petroleum ointment; oxygen off before the machine. It also shifts the leak that a machine reports.",
			"Full face: the anti-asphyxia valve opens with the machine off; the patient can pull the mask off alone; no vomiting, full stomach or thick secretions.",
		}},
		{"Stop and call someone for", []string{
			"drowsiness or confusion; oxygen saturation falling; breathing harder; vomiting",
			"a patient who cannot take the mask off unaided, is under 18, or cannot do without the machine for a minute",
			"skin that is broken or stays red (or dark, warm, firm or painful) when pressed: take the load off that site now and tell the nurse or prescriber",
			"eye pain or a change of sight; recent surgery or injury of face, skull or upper gut",
		}},
		{"What tautline is", []string{
			"It teaches and is not a medical device. It knows nothing of the person but what was typed in.",
			"No figure here is a limit for skin or a setting for a machine. Local protocol and a licensed clinician decide.",
		}},
	}
}

// CautionsText is the whole list as text.
func CautionsText(ink Ink) string {
	out := ""
	for i, g := range Cautions() {
		if i > 0 {
			out += "\n"
		}
		out += ink.Bold(g.Heading) + "\n"
		for _, p := range g.Points {
			out += Wrap("- "+p, "  ") + "\n"
		}
	}
	return out
}
