package picture

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// galleryFolder, when set, is where TestGallery leaves every picture for
// somebody to look at.
const galleryFolder = "PICTURE_GALLERY"

func rimCases() map[string]*Picture {
	lifted := oronasal()
	lifted.contact = map[face.Site]unit.Pressure{}
	lifted.leaking = map[face.Site]unit.Flow{face.Bridge: 6 * unit.LPerMin, face.NoseSideLeft: 9 * unit.LPerMin,
		face.NoseSideRight: 9 * unit.LPerMin, face.CheekLeft: 14 * unit.LPerMin, face.CheekRight: 14 * unit.LPerMin,
		face.CornerLeft: 11 * unit.LPerMin, face.CornerRight: 10 * unit.LPerMin, face.Chin: 30 * unit.LPerMin}
	one := oronasal()
	one.pressure = 18 * unit.CmH2O
	one.leaking = map[face.Site]unit.Flow{face.Chin: 7.3 * unit.LPerMin}
	sideways := nasal()
	sideways.leaking = map[face.Site]unit.Flow{face.Bridge: 2.4 * unit.LPerMin, face.CheekRight: 0.6 * unit.LPerMin, face.NoseSideLeft: 4 * unit.LPerMin}
	sideways.first = face.NoseSideLeft
	tight := nasal()
	tight.contact = map[face.Site]unit.Pressure{face.Bridge: 130 * unit.MmHg, face.NoseSideLeft: 70 * unit.MmHg, face.CheekLeft: 60 * unit.MmHg, face.Lip: 90 * unit.MmHg}
	tight.crushed = map[face.Site]bool{face.Bridge: true, face.Lip: true}
	tight.lift = 0
	huge := nasal()
	huge.contact = map[face.Site]unit.Pressure{face.Bridge: 1e9, face.NoseSideLeft: 1e8, face.CheekLeft: 1e7, face.Lip: 1e9}
	huge.leaking = map[face.Site]unit.Flow{face.CheekLeft: 1e6 * unit.LPerMin}
	huge.pressure = 1e5 * unit.CmH2O
	long := "An oronasal mask of a remarkably long invented name, size medium to large, on a face that is described at even greater length than the mask itself is, on the back"
	return map[string]*Picture{
		"rim-nasal":       Rim(nasal().point(), Named("Nasal, medium, narrow bridge")),
		"rim-oronasal":    Rim(oronasal().point()),
		"rim-one-leak":    Rim(one.point(), Named("Oronasal, medium")),
		"rim-sideways":    Rim(sideways.point()),
		"rim-lifted":      Rim(lifted.point(), Named(long)),
		"rim-crushed":     Rim(tight.point()),
		"rim-huge":        Rim(huge.point()),
		"rim-pillows":     Rim(pillows(30*unit.MmHg, 22*unit.MmHg, 0), Named("Pillows, small")),
		"rim-pillow-leak": Rim(pillows(30*unit.MmHg, 12*unit.MmHg, 5*unit.LPerMin)),
		"rim-empty":       Rim(fit.Point{}),
	}
}

// TestGallery leaves every picture where PICTURE_GALLERY says, for eyes.
func TestGallery(t *testing.T) {
	folder := os.Getenv(galleryFolder)
	if folder == "" {
		return // for eyes only; every other test looks at the same pictures
	}
	for name, p := range gallery() {
		for ext, data := range map[string][]byte{".svg": p.SVG(), ".png": p.PNG(), ".txt": []byte(p.Title + "\n" + p.Alt + "\n")} {
			if err := os.WriteFile(filepath.Join(folder, name+ext), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// gallery is every case, drawn once for all tests.
var gallery = sync.OnceValue(everyCase)

// usual are the cases of the model that every test run draws; the others only
// come into the gallery.
var usual = map[string]bool{"model-rim-nasal": true, "model-rim-loose-oronasal": true,
	"trade-sizes": true, "pressures-nasal": true, "sweep-size-position": true}

func everyCase() map[string]*Picture {
	all := rimCases()
	for name, p := range chartCases() {
		all[name] = p
	}
	for name, make := range modelCases() {
		if usual[name] || os.Getenv(galleryFolder) != "" {
			all[name] = make()
		}
	}
	return all
}
