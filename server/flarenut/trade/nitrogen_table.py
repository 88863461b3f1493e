"""Nitrogen beyond the ideal gas, written by deploy/make_nitrogen.py; never edit it by hand.

Source: CoolProp 8.0.0, -20 to 60 deg C, up to 64 kg/m3. A row for each order of the
density's Chebyshev series [m3/kg]; in it the coefficients of that of one over the temperature.
"""

LOW_C = -20.0
HIGH_C = 60.0
HIGHEST_KG_M3 = 64.0
GAS_CONSTANT_J_MOL_K = 8.31451
MOLAR_MASS_KG_MOL = 0.02801348

BEYOND_IDEAL = [
    [-1.951164e-04, 2.919032e-04, -3.454532e-06, -4.383887e-08, -3.692262e-09],
    [5.974406e-05, -3.947728e-06, 2.619374e-07, -4.496811e-09, -4.666855e-10],
    [3.016276e-07, 7.441408e-08, -4.985177e-09, -2.925325e-10, 2.078509e-11],
    [4.599133e-08, 3.078941e-09, -2.427981e-10, -2.470767e-11, 2.632528e-13],
]
