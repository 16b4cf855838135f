"""Water and the air outside: saturation, standard atmosphere, where water boils."""

import numpy as np

KELVIN_AT_0_DEGC = 273.15


def saturation_kPa(t_degC):
    """Saturation pressure of water. IAPWS SR1-86(1992), Eq. 1, coefficients from memory; another equation than
    the program's."""
    kelvin = np.asarray(t_degC) + 273.15
    tau = 1.0 - kelvin / 647.096
    series = (-7.85951783 * tau + 1.84408259 * tau**1.5 - 11.7866497 * tau**3 + 22.6807411 * tau**3.5
              - 15.9618719 * tau**4 + 1.80122502 * tau**7.5)
    return 22064.0 * np.exp(647.096 / kelvin * series)


def saturation_degC(p_kPa):
    """Inverse of saturation_kPa between 0 and 200 degC, by bisection."""
    low, high = np.zeros_like(p_kPa), np.full_like(p_kPa, 200.0)
    for _ in range(60):
        middle = (low + high) / 2
        too_cold = saturation_kPa(middle) < p_kPa
        low, high = np.where(too_cold, middle, low), np.where(too_cold, high, middle)
    return (low + high) / 2


def standard_air_kPa(altitude_m):
    """Standard atmosphere (ISO 2533:1975), from memory."""
    return 101.325 * (1 - 0.0065 * altitude_m / 288.15) ** 5.25588


def boiling_degC(air_kPa):
    return float(saturation_degC(np.array(air_kPa)))
