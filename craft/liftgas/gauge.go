package liftgas

// GaugeForMoles is the gauge reading above one standard atmosphere at which a
// bottle holds an amount of gas: the inverse of MolesInBottle. It answers zero
// for less gas than stays behind when the gauge shows nothing.
func GaugeForMoles(k Kind, waterVolume, moles, temperature float64) float64 {
	if moles <= MolesInBottle(k, waterVolume, 0, temperature) {
		return 0
	}
	// Starting from the ideal gas, each round sets the pressure by the
	// compressibility at the last one; Z grows by a few per cent for each
	// hundred bar, so that every round leaves under a tenth of the error.
	pressure := moles * UniversalGas * temperature / waterVolume
	for range 40 {
		pressure = moles * Compressibility(k, pressure, temperature) * UniversalGas * temperature / waterVolume
	}
	return pressure - StandardPressure
}

// WaterVolumeFor is the water volume of a bottle whose content is known for a
// full gauge reading, both at 70 F: what a trade size holds, less what stays
// behind when the gauge shows nothing.
func WaterVolumeFor(k Kind, content, gauge float64) float64 {
	perVolume := MolesInBottle(k, 1, gauge, StandardTemperature) - MolesInBottle(k, 1, 0, StandardTemperature)
	return MolesAtStandard(k, content) / perVolume
}
