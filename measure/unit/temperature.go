package unit

// Zero points and steps of the temperature scales ([SI], section 2.3.1; the
// Fahrenheit scale puts 32 at 0 °C and 212 at 100 °C).
const (
	ZeroCelsius      = 273.15  // 0 °C in K
	FahrenheitDegree = 5.0 / 9 // one step in K
	freezingDegF     = 32.0
)

// FromCelsius turns degrees Celsius into kelvins.
func FromCelsius(degC float64) float64 { return degC + ZeroCelsius }

// ToCelsius turns kelvins into degrees Celsius.
func ToCelsius(kelvin float64) float64 { return kelvin - ZeroCelsius }

// FromFahrenheit turns degrees Fahrenheit into kelvins.
func FromFahrenheit(degF float64) float64 {
	return (degF-freezingDegF)*FahrenheitDegree + ZeroCelsius
}

// ToFahrenheit turns kelvins into degrees Fahrenheit.
func ToFahrenheit(kelvin float64) float64 {
	return (kelvin-ZeroCelsius)/FahrenheitDegree + freezingDegF
}
