// Package air computes the properties of moist air: saturation, dew point,
// humidity, latent heat and the transfer of vapour.
//
// Every function is pure, allocates nothing and works on plain numbers: degrees
// Celsius, percent, pascals.
//
// Humidity is relative to liquid water at all temperatures, as weather services
// report it, so that the dew point below 0 °C is that over supercooled water.
//
// None of the functions checks for missing data: absence is flagged before the
// number gets here. Inputs outside a stated range are taken at the range's end
// where the comment says so.
package air

import "math"

// Coefficients of the Magnus form over water: Alduchov and Eskridge 1996,
// "Improved Magnus form approximation of saturation vapor pressure",
// J. Appl. Meteor. 35, 601–609, eq. 21.
const (
	magnusPa = 610.94 // Pa, saturation at 0 °C
	magnusA  = 17.625
	magnusB  = 243.04 // °C
)

// Constants of air and water vapour.
const (
	// Kelvin is 0 °C on the absolute scale.
	Kelvin = 273.15
	// StandardPa is the pressure of the standard atmosphere at sea level in Pa (ISO 2533),
	// taken where no pressure is known.
	StandardPa = 101325
	// GasDry is the gas constant of dry air in J/(kg K) (ASHRAE Fundamentals 2017, ch. 1, eq. 1).
	GasDry = 287.042
	// GasVapour is the gas constant of water vapour in J/(kg K) (ASHRAE Fundamentals 2017, ch. 1, eq. 2).
	GasVapour = 461.524
	// HeatCapacity is the specific heat of dry air at constant pressure in J/(kg K).
	HeatCapacity = 1006
	// Lewis is the Lewis number of water vapour in air (thermal over mass diffusivity).
	Lewis = 0.865
	// lowestRH is the driest air that DewPoint resolves, %.
	lowestRH = 0.1
)

// lewisTwoThirds is Lewis to the power 2/3 (Chilton–Colburn analogy).
var lewisTwoThirds = math.Pow(Lewis, 2.0/3)

// SaturationPressure gives the saturation vapour pressure in Pa over liquid
// water at tC °C: 610.94 exp(17.625 t/(243.04+t)), Alduchov and Eskridge 1996,
// eq. 21. It holds within 0.4 % from −40 to 50 °C, the range that it was fitted
// on; colder than −100 °C is taken as −100 °C. Up to 100 °C it comes from a table by the
// quarter kelvin and the exponential series about its entry, to a relative 1e-10.
func SaturationPressure(tC float64) float64 {
	if !(tC > coldestEntry && tC < warmestEntry) {
		return magnusPa * math.Exp(magnus(max(tC, coldestEntry)))
	}
	d := tC - coldestEntry
	k := int(d*pressuresPerK + 0.5)
	e := &pressures[k]
	d -= float64(k) / pressuresPerK
	return e[0] + d*(e[1]+d*(e[2]+d*(e[3]+d*e[4])))
}

func magnus(tC float64) float64 { return magnusA * tC / (magnusB + tC) }

// pressuresPerK is how fine the table of pressures is: as fine as turns a dew point back into
// its humidity within 1e-9 %. That of densities is coarser, for a surface asks no more of it.
const pressuresPerK = 4

// pressures are the saturation pressure and the factors of its series,
// exp(g₁d + g₂d² + g₃d³ + g₄d⁴) with those of the Magnus form.
var pressures = func() (table [(warmestEntry-coldestEntry)*pressuresPerK + 1][5]float64) {
	for k := range table {
		t := coldestEntry + float64(k)/pressuresPerK
		p, d := magnusPa*math.Exp(magnus(t)), 1/(magnusB+t)
		g1 := magnusA * magnusB * d * d
		g2, g3, g4 := -g1*d, g1*d*d, -g1*d*d*d
		table[k] = [...]float64{
			p, p * g1, p * (g1*g1/2 + g2), p * (g1*g1*g1/6 + g1*g2 + g3),
			p * (g1*g1*g1*g1/24 + g1*g1*g2/2 + g2*g2/2 + g1*g3 + g4),
		}
	}
	return table
}()

// SaturatedDensity gives the density of saturated vapour in kg/m³ at tC °C (valid
// as [SaturationPressure], warmer than −100 °C) together with its logarithmic
// slope in 1/K, d ln ρ/dT = 17.625·243.04/(243.04+t)² − 1/T: what a surface that
// evaporates or dews needs. Up to 100 °C it comes from a table by the kelvin and the
// exponential series about its entry, to a relative 2e-5: a third of the time of the
// formula, and with it a wet panel of [window/surface] (its BenchmarkTrack).
func SaturatedDensity(tC float64) (rho, steep float64) {
	if !(tC > coldestEntry && tC < warmestEntry) {
		return saturatedExactly(tC)
	}
	d := tC - coldestEntry
	k := int(d + 0.5)
	e := &saturated[k]
	d -= float64(k)
	return e.rho + d*e.rises[0] + d*d*(e.rises[1]+d*e.rises[2]), e.steep + 2*d*e.bend
}

// The ends of the tables, °C; that of saturated vapour's density goes by the kelvin.
const (
	coldestEntry = -100
	warmestEntry = 100
)

// entry holds density, logarithmic slope and half of what that changes in a kelvin, and
// what follows from them: the density's own change with the temperature, its square and its cube.
type entry struct {
	rho, steep, bend float64
	rises            [3]float64
}

var saturated = func() (table [warmestEntry - coldestEntry + 1]entry) {
	for k := range table {
		t := float64(coldestEntry + k)
		e := &table[k]
		e.rho, e.steep = saturatedExactly(t)
		inverse, d := 1/(t+Kelvin), 1/(magnusB+t)
		e.bend = (inverse*inverse - 2*magnusA*magnusB*d*d*d) / 2
		// exp(steep·d + bend·d²) as a series
		e.rises = [...]float64{e.rho * e.steep, e.rho * (e.steep*e.steep/2 + e.bend), e.rho * e.steep * (e.steep*e.steep/6 + e.bend)}
	}
	return table
}()

func saturatedExactly(tC float64) (rho, steep float64) {
	inverse, d := 1/(tC+Kelvin), 1/(magnusB+tC)
	rho = magnusPa / GasVapour * math.Exp(magnusA*tC*d) * inverse
	return rho, magnusA*magnusB*d*d - inverse
}

// VapourPressure gives the partial pressure of water vapour in Pa of air with
// the dew point dewC °C. It is SaturationPressure at the dew point.
func VapourPressure(dewC float64) float64 { return SaturationPressure(dewC) }

// DewPoint gives the dew point in °C of air at tC °C with a relative humidity of
// rhPct % over water: the Magnus form of [SaturationPressure] inverted. Humidity
// below 0.1 % is taken as 0.1 %, above 100 % as 100 %, so that the dew point
// never lies above the air temperature.
func DewPoint(tC, rhPct float64) float64 {
	rhPct = math.Min(math.Max(rhPct, lowestRH), 100)
	if rhPct == 100 {
		return tC
	}
	g := math.Log(rhPct/100) + magnusA*tC/(magnusB+tC)
	return magnusB * g / (magnusA - g)
}

// Humidity gives the relative humidity over water in %, 0 to 100, of air at
// tC °C with the dew point dewC °C. A dew point above the air temperature, which
// rounded forecasts can show, gives 100.
func Humidity(tC, dewC float64) float64 {
	return HumidityOf(VapourPressure(dewC), tC)
}

// HumidityOf gives [Humidity] from the vapour pressure pvPa in Pa.
func HumidityOf(pvPa, tC float64) float64 {
	return min(100*pvPa/SaturationPressure(tC), 100)
}

// VapourDensity gives the mass of water vapour in kg/m³ of air at tC °C whose
// vapour pressure is pvPa Pa (ideal gas).
func VapourDensity(pvPa, tC float64) float64 {
	return pvPa / (GasVapour * (tC + Kelvin))
}

// LatentHeat gives the heat of vaporisation of water in J/kg at tC °C:
// 2.501e6 − 2361 t, the linear form of FAO Irrigation and Drainage Paper 56,
// annex 3, eq. 3-1.
func LatentHeat(tC float64) float64 { return 2.501e6 - 2361*tC }

// MassTransfer gives the mass transfer coefficient of water vapour in m/s that
// goes with the convective heat transfer coefficient h, W/(m² K), in air of the
// density rho, kg/m³: the Lewis relation h/(ρ cp Le^⅔) with
// Le = 0.865. Times the difference in vapour density between a wet surface and
// the air it is the evaporation in kg/(m² s).
func MassTransfer(h, rho float64) float64 {
	return h / (rho * HeatCapacity * lewisTwoThirds)
}
