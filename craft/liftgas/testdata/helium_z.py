#!/usr/bin/env python3
"""Works out helium_z.tsv from the reference equation of state for helium.

D. O. Ortiz-Vega et al., NISTIR 8474 (2023); coefficients as carried by
CoolProp, dev/fluids/Helium.json (MIT licence). Run: python3 helium_z.py > helium_z.tsv
"""
from math import exp

CRITICAL_T, REDUCING_DENSITY, GAS = 5.1953, 17383.7, 8.3144598  # K, mol/m3, J/(mol K)

# n, t, d, l: n tau^t delta^d exp(-delta^l), without the exponential where l is 0
POWER = [
    (0.015559018, 1.0, 4, 0), (3.0638932, 0.425, 1, 0), (-4.2420844, 0.63, 1, 0), (0.054418088, 0.69, 2, 0),
    (-0.18971904, 1.83, 2, 0), (0.087856262, 0.575, 3, 0), (2.2833566, 0.925, 1, 1), (-0.53331595, 1.585, 1, 2),
    (-0.53296502, 1.69, 3, 2), (0.99444915, 1.51, 2, 1), (-0.30078896, 2.9, 2, 2), (-1.6432563, 0.8, 1, 1),
]
# n, t, d, eta, epsilon, beta, gamma
GAUSS = [
    (0.8029102, 1.26, 2, 1.5497, 0.596, 0.2471, 3.15), (0.026838669, 3.51, 1, 9.245, 0.3423, 0.0983, 2.54505),
    (0.04687678, 2.785, 2, 4.76323, 0.761, 0.1556, 1.2513), (-0.14832766, 1.0, 1, 6.3826, 0.9747, 2.6782, 1.9416),
    (0.03016211, 4.22, 1, 8.7023, 0.5868, 2.7077, 0.5984), (-0.019986041, 0.83, 3, 0.255, 0.5627, 0.6621, 2.2282),
    (0.14283514, 1.575, 2, 0.3523, 2.5346, 0.1775, 1.606), (0.007418269, 3.447, 2, 0.1492, 3.6763, 0.4821, 3.815),
    (-0.22989793, 0.73, 3, 0.05, 4.5245, 0.3069, 1.61958), (0.79224829, 1.634, 2, 0.1668, 5.039, 0.1758, 0.6407),
    (-0.049386338, 6.13, 2, 42.2358, 0.959, 1357.6577, 1.076),
]


def z_of_density(temperature, density):
    tau, delta, total = CRITICAL_T / temperature, density / REDUCING_DENSITY, 1.0
    for n, t, d, l in POWER:
        damping, slope = (exp(-delta**l), l * delta**l) if l else (1.0, 0.0)
        total += n * tau**t * delta**d * damping * (d - slope)
    for n, t, d, eta, epsilon, beta, gamma in GAUSS:
        bell = exp(-eta * (delta - epsilon) ** 2 - beta * (tau - gamma) ** 2)
        total += n * tau**t * delta**d * bell * (d - 2 * eta * delta * (delta - epsilon))
    return total


def z(temperature, pressure):
    density = pressure / (GAS * temperature)
    for _ in range(200):  # damped fixed point, converges by a factor of two each time
        density = (density + pressure / (GAS * temperature * z_of_density(temperature, density))) / 2
    return z_of_density(temperature, density)


print("temperature_k", "pressure_bar", "z", sep="\t")
for kelvin in (250, 270, 290, 310, 330):
    for bar in (1, 50, 100, 150, 200, 250, 300):
        print(kelvin, bar, f"{z(kelvin, bar * 1e5):.5f}", sep="\t")
