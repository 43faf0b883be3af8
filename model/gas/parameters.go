package gas

import "tautline/model/unit"

// The gas at hand where nothing else is said.
var (
	maskTemperature = unit.Parameter{
		Name: "mask gas temperature", Symbol: "T", Meaning: "temperature of the gas in the mask",
		Unit: "C", Value: 30, Low: 0, High: 60, Likely: [2]float64{26, 34}, Origin: unit.Assumed,
		Source: "between room air and the 34 C that leaves the nose"}
	maskHumidity = unit.Parameter{
		Name: "mask gas humidity", Symbol: "RH", Meaning: "relative humidity of the gas in the mask",
		Unit: "%", Value: 80, Low: 0, High: 100, Likely: [2]float64{50, 100}, Origin: unit.Assumed,
		Source: "humidified or breathed-in gas, short of condensing"}
	benchTemperature = unit.Parameter{
		Name: "bench temperature", Symbol: "T0", Meaning: "temperature at which a vent curve was measured, unless said",
		Unit: "C", Value: 20, Low: 0, High: 60, Fixed: "moves a flow by less than the vent's tolerance", Origin: unit.Assumed,
		Source: "laboratory air"}
	benchHumidity = unit.Parameter{
		Name: "bench humidity", Symbol: "RH0", Meaning: "relative humidity at which a vent curve was measured, unless said",
		Unit: "%", Value: 50, Low: 0, High: 100, Fixed: "moves a flow by 0.4 % at most", Origin: unit.Assumed,
		Source: "laboratory air; dry to saturated moves a flow by 0.4 %"}
	co2 = unit.Parameter{
		Name: "CO2 share", Symbol: "xCO2", Meaning: "share of CO2 in the dry gas",
		Unit: "%", Value: 0.04, Low: 0, High: 10, Fixed: "what is breathed out moves the density by under 2 %, less than the vent's tolerance", Origin: unit.Memory,
		Source: "outdoor air, 400 ppm, as Picard et al., Metrologia 2008;45:149-155 take it"}
)

// What a state may be, for range errors.
var (
	temperatureRange = named(maskTemperature, "gas temperature")
	humidityRange    = named(maskHumidity, "gas humidity")
	co2Range         = co2
	ambientRange     = unit.Parameter{
		Name: "ambient pressure", Symbol: "p", Meaning: "pressure of the air around",
		Unit: "hPa", Value: 1013.25, Low: 500, High: 1100, Fixed: "known from the place", Origin: unit.Memory,
		Source: "ICAO Doc 7488, 1993: sea level"}
	altitudeRange = unit.Parameter{
		Name: "altitude", Symbol: "h", Meaning: "height above sea level",
		Unit: "m", Value: 0, Low: -450, High: 5500, Fixed: "known from the place", Origin: unit.Assumed,
		Source: "from the lowest to about the highest place where people live"}
)

func named(p unit.Parameter, name string) unit.Parameter {
	p.Name = name
	return p
}

// Parameters lists the adjustable numbers of this package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{maskTemperature, maskHumidity, benchTemperature, benchHumidity,
		co2, ambientRange, altitudeRange}
}
