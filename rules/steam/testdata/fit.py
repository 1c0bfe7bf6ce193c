#!/usr/bin/env python3
"""Fits the polynomials of liquid.go to IAPWS-IF97 and prints them as Go.

Needs Debian's python3-iapws. Nothing here is run by the build; it says where the numbers come from.
"""
import numpy as np
from iapws import IAPWS97

DEGREE = 8


def saturated(celsius):
    """Latent heat J/kg, density kg/m3 and heat capacity J/kgK of the liquid on the saturation line."""
    liquid = IAPWS97(T=celsius + 273.15, x=0)
    vapour = IAPWS97(T=celsius + 273.15, x=1)
    return (vapour.h - liquid.h) * 1e3, liquid.rho, liquid.cp * 1e3


nodes = np.cos(np.pi * (np.arange(60) + 0.5) / 60)
values = np.array([saturated(65 + 65 * x) for x in nodes])
fine = np.linspace(-1, 1, 521)
check = np.array([saturated(65 + 65 * x) for x in fine])
for i, name in enumerate(("latentHeat", "density", "heatCapacity")):
    fit = np.polynomial.chebyshev.Chebyshev.fit(nodes, values[:, i], DEGREE, domain=[-1, 1])
    terms = fit.convert(kind=np.polynomial.polynomial.Polynomial).coef
    worst = np.abs(np.polynomial.polynomial.polyval(fine, terms) - check[:, i]).max()
    print(f"// worst error {worst:.2g}\nvar {name}Terms = [...]float64{{")
    for c in terms:
        print(f"\t{float(c)!r},")
    print("}")
