#!/usr/bin/env python3
"""Prints, as CSV, what the Python package iapws says of saturated water: the second opinion of the tests."""
from iapws import IAPWS97
from iapws.iapws97 import _PSat_T, _TSat_P

print("what,x,value")
for tenth in range(1, 1300, 13):
    celsius = tenth / 10
    kelvin = celsius + 273.15
    liquid = IAPWS97(T=kelvin, x=0)
    vapour = IAPWS97(T=kelvin, x=1)
    print(f"pressure,{celsius!r},{_PSat_T(kelvin) * 1e6!r}")
    print(f"latent heat,{celsius!r},{(vapour.h - liquid.h) * 1e3!r}")
    print(f"density,{celsius!r},{liquid.rho!r}")
    print(f"heat capacity,{celsius!r},{liquid.cp * 1e3!r}")
for pascal in range(1000, 120000, 1190):
    print(f"boiling,{pascal!r},{_TSat_P(pascal / 1e6) - 273.15!r}")
