package pages

import (
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"maps"
	"math"
	"slices"
	"sync"
)

// The icon: a drop above a level line with a gap between the two, which is what the
// program is about. SVG and PNG are made from the same figures, in a square of 64.
const (
	inkHex   = "#0b2233"
	paperHex = "#ffffff"

	iconSide   = 64.0
	dropX      = 32.0 // centre of the drop's round part
	dropY      = 28.0
	dropR      = 11.0
	dropTop    = 9.0 // tip
	lineTop    = 46.0
	lineBottom = 51.0
	lineLeft   = 15.0
	lineRight  = 49.0
)

// touch is where the tangents from the drop's tip meet its round part: how far from
// the middle, and at what height.
var touchX, touchY = func() (x, y float64) {
	a := math.Acos(dropR / (dropY - dropTop)) // from the vertical
	return dropR * math.Sin(a), dropY - dropR*math.Cos(a)
}()

func iconSVG() []byte {
	return []byte(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64">`+
		`<rect width="64" height="64" fill="%s"/>`+
		`<path d="M%g %gL%.2f %.2fA%g %g 0 1 1 %.2f %.2fZ" fill="%s"/>`+
		`<rect x="%g" y="%g" width="%g" height="%g" fill="%s"/></svg>`,
		inkHex, dropX, dropTop, dropX+touchX, touchY, dropR, dropR, dropX-touchX, touchY, paperHex,
		lineLeft, lineTop, lineRight-lineLeft, lineBottom-lineTop, paperHex))
}

// inIcon reports whether a point is of the drop or of the line.
func inIcon(x, y float64) bool {
	if x >= lineLeft && x <= lineRight && y >= lineTop && y <= lineBottom {
		return true
	}
	if dx, dy := x-dropX, y-dropY; dx*dx+dy*dy <= dropR*dropR {
		return true
	}
	return y >= dropTop && y <= touchY && math.Abs(x-dropX) <= (y-dropTop)/(touchY-dropTop)*touchX
}

// iconSizes are the sides of the PNG icons in pixels: two for the manifest, one for
// phones that ask for none of them.
var iconSizes = map[string]int{"icon-192.png": 192, "icon-512.png": 512, "icon-180.png": 180}

// iconPNGs are the PNG icons by their names, drawn once however many pages are made.
var iconPNGs = sync.OnceValues(func() (map[string][]byte, error) {
	files := map[string][]byte{}
	for name, side := range iconSizes {
		data, err := iconPNG(side)
		if err != nil {
			return nil, err
		}
		files[name] = data
	}
	return files, nil
})

// samples is the root of how many points of a pixel are looked at: as many make its
// edges smooth.
const samples = 4

// shades are the icon's colours, by how many points of a pixel are of the drop or line.
var shades = func() color.Palette {
	ink, paper := color.NRGBA{0x0b, 0x22, 0x33, 0xff}, color.NRGBA{0xff, 0xff, 0xff, 0xff}
	var p color.Palette
	for in := range samples*samples + 1 {
		p = append(p, mix(ink, paper, float64(in)/(samples*samples)))
	}
	return p
}()

// iconPNG draws the icon with a side of so many pixels.
func iconPNG(side int) ([]byte, error) {
	img := image.NewPaletted(image.Rect(0, 0, side, side), shades)
	for py := range side {
		for px := range side {
			img.SetColorIndex(px, py, shadeAt(px, py, iconSide/float64(side)))
		}
	}
	var b bytes.Buffer
	err := png.Encode(&b, img)
	return b.Bytes(), err
}

// shadeAt is the index of a pixel's shade; unit is the side of a pixel.
func shadeAt(px, py int, unit float64) (in uint8) {
	for i := range samples * samples {
		x := (float64(px) + (float64(i%samples)+0.5)/samples) * unit
		y := (float64(py) + (float64(i/samples)+0.5)/samples) * unit
		if inIcon(x, y) {
			in++
		}
	}
	return in
}

func mix(a, b color.NRGBA, share float64) color.NRGBA {
	at := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + share*(float64(y)-float64(x)))) }
	return color.NRGBA{at(a.R, b.R), at(a.G, b.G), at(a.B, b.B), 0xff}
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
