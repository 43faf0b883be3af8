package face

import "tautline/model/unit"

// Tissue is what lies under a site.
type Tissue struct {
	Modulus   unit.Pressure // elastic modulus as an indenter finds it
	Thickness unit.Length   // skin to bone
}

// Stiffness gives the tissue's foundation stiffness: contact pressure per
// depth, share * modulus / thickness. An indenter presses a small spot and
// finds it stiffer than a long rim does; the share accounts for that.
func (t Tissue) Stiffness(share float64) unit.Foundation {
	return unit.Foundation(share * float64(t.Modulus) / float64(t.Thickness))
}

const (
	indentation = "Annals of Biomedical Engineering 2024;52:3184-95, indentation of the face"
	depths      = "C. N. Stephan, E. K. Simpson, J Forensic Sci 2008;53:1257-72, from memory"
)

// FoundationShare turns an indenter's modulus into the one that a rim meets.
var FoundationShare = unit.Parameter{Name: "tissue foundation share", Symbol: "c",
	Meaning: "modulus met by a long rim over modulus found by an indenter",
	Value:   0.35, Low: 0.05, High: 1, Likely: [2]float64{0.25, 0.5}, Origin: unit.Calibrated,
	Source: "chosen so that lip and nose sides give way by 4.9 and 4.6 mm (Sims et al., J Biomech 2016)"}

// rigid is a modulus in kPa under which nothing gives way: idealized cases,
// such as a uniform rim on a stiff plate, may be stated as well as faces.
const rigid = 1e6

// modulus and thickness hold the record of each site's tissue. Left and right
// sites share one.
var modulus = [SiteCount]unit.Parameter{
	Bridge: {Name: "tissue modulus, bridge", Symbol: "E", Meaning: "stiffness of skin over the nasal bone", Unit: "kPa",
		Value: 120, Low: 1, High: rigid, SD: 35, Origin: unit.Assumed, Source: "60 to 200 kPa assumed: thin skin on bone"},
	NoseSideLeft: {Name: "tissue modulus, nose side", Symbol: "E", Meaning: "stiffness beside the nose", Unit: "kPa",
		Value: 14.3, Low: 1, High: rigid, SD: 5, Origin: unit.Calibrated, Source: "5 kPa after the foundation share; meets Sims et al., J Biomech 2016"},
	CheekLeft: {Name: "tissue modulus, cheek", Symbol: "E", Meaning: "stiffness of the cheek near the lip", Unit: "kPa",
		Value: 16.3, Low: 1, High: rigid, SD: 8.4, Origin: unit.Read, Source: indentation},
	CornerLeft: {Name: "tissue modulus, corner of the mouth", Symbol: "E", Meaning: "stiffness beside the mouth", Unit: "kPa",
		Value: 16.3, Low: 1, High: rigid, SD: 8.4, Origin: unit.Read, Source: indentation + " (cheek near the lip)"},
	Lip: {Name: "tissue modulus, upper lip", Symbol: "E", Meaning: "stiffness of the upper lip", Unit: "kPa",
		Value: 17.1, Low: 1, High: rigid, SD: 8.4, Origin: unit.Calibrated, Source: "6 kPa after the foundation share; meets Sims et al., J Biomech 2016"},
	Chin: {Name: "tissue modulus, chin", Symbol: "E", Meaning: "stiffness of the chin", Unit: "kPa",
		Value: 53, Low: 1, High: rigid, SD: 21, Origin: unit.Read, Source: indentation},
	NostrilLeft: {Name: "tissue modulus, nostril", Symbol: "E", Meaning: "stiffness round the nostril", Unit: "kPa",
		Value: 14.3, Low: 1, High: rigid, SD: 5, Origin: unit.Assumed, Source: "as the nose side"},
}

var thickness = [SiteCount]unit.Parameter{
	Bridge: {Name: "tissue thickness, bridge", Symbol: "t", Meaning: "skin to bone between mid-nasal point and rhinion", Unit: "mm",
		Value: 3.5, Low: 0.1, High: 60, SD: 1, Origin: unit.Memory, Source: depths},
	NoseSideLeft: {Name: "tissue thickness, nose side", Symbol: "t", Meaning: "skin to bone beside the nose", Unit: "mm",
		Value: 8, Low: 0.1, High: 60, SD: 2, Origin: unit.Calibrated, Source: "between mid-nasal 4 and cheek 20 mm; meets Sims et al., J Biomech 2016"},
	CheekLeft: {Name: "tissue thickness, cheek", Symbol: "t", Meaning: "skin to bone in the cheek", Unit: "mm",
		Value: 20, Low: 0.1, High: 60, SD: 5, Origin: unit.Memory, Source: depths},
	CornerLeft: {Name: "tissue thickness, corner of the mouth", Symbol: "t", Meaning: "skin to teeth beside the mouth", Unit: "mm",
		Value: 15, Low: 0.1, High: 60, SD: 4, Origin: unit.Assumed, Source: "between lip and cheek"},
	Lip: {Name: "tissue thickness, upper lip", Symbol: "t", Meaning: "skin to teeth in the upper lip", Unit: "mm",
		Value: 11.5, Low: 0.1, High: 60, SD: 3, Origin: unit.Memory, Source: depths},
	Chin: {Name: "tissue thickness, chin", Symbol: "t", Meaning: "skin to bone at the chin", Unit: "mm",
		Value: 11, Low: 0.1, High: 60, SD: 3, Origin: unit.Memory, Source: depths},
	NostrilLeft: {Name: "tissue thickness, nostril", Symbol: "t", Meaning: "soft tissue round the nostril", Unit: "mm",
		Value: 4, Low: 0.1, High: 60, SD: 1, Origin: unit.Assumed, Source: "as the nose side"},
}

func left(s Site) Site {
	if m := s.Mirror(); m < s {
		return m
	}
	return s
}

// ModulusOf and ThicknessOf give the records of a site's tissue.
func ModulusOf(s Site) *unit.Parameter { return &modulus[left(s)] }

// ThicknessOf gives the record of a site's thickness.
func ThicknessOf(s Site) *unit.Parameter { return &thickness[left(s)] }

// UsualTissue gives the default tissue of a site.
func UsualTissue(s Site) Tissue {
	return Tissue{unit.Pressure(ModulusOf(s).SI()), unit.Length(ThicknessOf(s).SI())}
}
