"""Coefficients of moist air, written by `tools/moist_air_coefficients.py`: do not edit, run it again.

Fitted to CoolProp 8.0.0, humid air after ASHRAE RP-1485. The forms stand in that file.
"""

# ln f, 0.01 to 80 C, 55 to 115 kPa; largest residual 8.0e-05
FACTOR_OVER_WATER = (7.57117283e-07, -1.16528887e-06, 5.96416234e-07, -7.2053369e-07, 1.128799e-06, -5.76927146e-07)
# ln f, -100 to 0 C; largest residual 3.1e-04, above -50 C 7.0e-05
FACTOR_OVER_ICE = (3.65835932e-08, -2.55775648e-08, 3.96498913e-08, -2.62822048e-08, 0.000418342884, 0.000989644889)
# dry air [J/(kg K)]; water over dry air
GAS_CONSTANT, RATIO_OF_MASSES = (287.042464, 0.621945315)
# [m3/kg]; largest relative residual 8.7e-05, between -8 and 56 C 7.4e-05
VOLUME = (-0.000455922196, 0.000889266863, -0.000383621647, -0.00895125688, 0.00943003028, -0.040888314)
# [J/kg]; largest residual 349 J/kg, between -8 and 56 C 6 J/kg
ENTHALPY = (
    100383.815,
    91.5770807,
    0.00177787104,
    2501253.24,
    186079.154,
    2238.09047,
    -0.0100224029,
    0.0012540016,
    -0.743372479,
    0.60780062,
    119.37905,
)
# [J/kg], 0 to 80 C; largest residual 142 J/kg
LIQUID = (4192.41166, -0.0816248915)
# [J/kg], -30 to 0 C; largest residual 2 J/kg
ICE = (-333362.252, 2096.21286, 3.65801159)
# [K], 0 to 80 C; off by 0.002 K at 85 kPa
DEW_GUESS = (179.929968, 25.4518703, -4.28966488, 0.602545172, -0.0378956878, 0.00106124679)
# [K], -100 to 0 C; off by 0.002 K at 85 kPa
FROST_GUESS = (212.528061, 7.35425541, 0.252121737, 0.00876146766, 0.000337196417, 1.24412974e-05)
# [J/(kg K)] of dry air and of vapour, at 30 C and 95 kPa
HUMID_HEAT = (1006.3794, 1883.13326)
