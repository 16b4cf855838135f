"""Water and its vapour, as the independent bag needs them: saturation, latent heat, diffusion through air."""

import numpy as np

KELVIN_AT_0_DEGC = 273.15
STANDARD_AIR_PA = 101325.0
VAPOUR_J_PER_KGK = 8.314462618 / 0.018015268  # gas constant of water vapour, R / Mw

# IAPWS R7-97(2012), region 4, Table 34.
N4 = (0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
      0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3)
# IAPWS SR1-86(1992), Eq. 2 and 3, densities of saturated water and steam: (exponent in thirds or sixths, coefficient).
# From memory; the latent heat they give agrees with steam tables to 0.1 % (see verify_bag_truth.py).
CRITICAL_K, CRITICAL_KG_PER_M3 = 647.096, 322.0
WATER = ((1, 1.99274064), (2, 1.09965342), (5, -0.510839303), (16, -1.75493479), (43, -45.5170352),
         (110, -6.74694450e5))
STEAM = ((2, -2.03150240), (4, -2.68302940), (8, -5.38626492), (18, -17.2991605), (37, -44.7586581),
         (71, -63.9201063))


def saturation_Pa(t_degC):
    """Saturation pressure, 0 to 373 degC; IAPWS R7-97(2012), Eq. 30."""
    kelvin = np.asarray(t_degC, dtype=float) + KELVIN_AT_0_DEGC
    theta = kelvin + N4[8] / (kelvin - N4[9])
    a = theta**2 + N4[0] * theta + N4[1]
    b = N4[2] * theta**2 + N4[3] * theta + N4[4]
    c = N4[5] * theta**2 + N4[6] * theta + N4[7]
    return 1e6 * (2 * c / (-b + np.sqrt(b * b - 4 * a * c)))**4


def saturation_degC(p_Pa):
    """Inverse of saturation_Pa; IAPWS R7-97(2012), Eq. 31."""
    beta = (np.asarray(p_Pa, dtype=float) / 1e6)**0.25
    e = beta**2 + N4[2] * beta + N4[5]
    f = N4[0] * beta**2 + N4[3] * beta + N4[6]
    g = N4[1] * beta**2 + N4[4] * beta + N4[7]
    d = 2 * g / (-f - np.sqrt(f * f - 4 * e * g))
    return (N4[9] + d - np.sqrt((N4[9] + d)**2 - 4 * (N4[8] + N4[9] * d))) / 2 - KELVIN_AT_0_DEGC


def saturation_slope_Pa_per_K(t_degC):
    return (saturation_Pa(t_degC + 1e-3) - saturation_Pa(t_degC - 1e-3)) / 2e-3


def latent_J_per_kg(t_degC):
    """Latent heat from the slope of saturation and the two densities (Clausius and Clapeyron), exact but for these."""
    kelvin = np.asarray(t_degC, dtype=float) + KELVIN_AT_0_DEGC
    tau = 1 - kelvin / CRITICAL_K
    water = CRITICAL_KG_PER_M3 * (1 + sum(b * tau**(i / 3) for i, b in WATER))
    steam = CRITICAL_KG_PER_M3 * np.exp(sum(c * tau**(i / 6) for i, c in STEAM))
    return kelvin * (1 / steam - 1 / water) * saturation_slope_Pa_per_K(t_degC)


def vapour_diffusion_m2_per_s(t_degC, p_Pa):
    """Water vapour in air; common form of the temperature power law, from memory."""
    kelvin = np.asarray(t_degC, dtype=float) + KELVIN_AT_0_DEGC
    return 2.17e-5 * (kelvin / KELVIN_AT_0_DEGC)**1.88 * (STANDARD_AIR_PA / p_Pa)
