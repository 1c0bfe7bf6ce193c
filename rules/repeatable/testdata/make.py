#!/usr/bin/env python3
"""Works out, to 60 digits with mpmath, what this package is built on and tested against.

    make.py coefficients   the tables of tail.go, as Go
    make.py reference      reference.csv: function, argument(s), the double nearest to the
                           value and what it lacks; in hexadecimal

Nothing here is run by the build; it says where the numbers come from.
"""
import random
import sys

from mpmath import (cbrt, cos, erf, erfc, erfinv, exp, log, mp, mpf, ncdf, nstr, pi, power, sqrt)

mp.dps = 60


def chebyshev(f, low, high, n):
    """Coefficients of f on [low, high] in Chebyshev polynomials, c[0] already halved."""
    nodes = [cos(pi * (k + mpf(1) / 2) / n) for k in range(n)]
    values = [f((low + high) / 2 + (high - low) / 2 * x) for x in nodes]
    c = [2 / mpf(n) * sum(v * cos(j * pi * (k + mpf(1) / 2) / n) for k, v in enumerate(values)) for j in range(n)]
    c[0] /= 2
    return c


def g(x):
    return log(x * exp(x * x) * erfc(x))


def coefficients():
    # The middle of each range is taken out, so that what is summed is small.
    middle = chebyshev(lambda v: g((1 + v) / (1 - v)) + mpf("0.875"), mpf(-1) / 3, mpf(1) / 3, 48)
    far = chebyshev(lambda w: g(1 / sqrt(w)) + mpf("0.625"), mpf(1) / 784, mpf(1) / 4, 48)
    for name, c in (("tailMiddle", middle), ("tailFar", far)):
        last = max(i for i, v in enumerate(c) if abs(v) > mpf(10) ** -18)
        print(f"var {name} = [...]float64{{")
        for v in c[: last + 1]:
            print(f"\t{nstr(v, 20)},")
        print("}")


def rows():
    # Where Go's package math on amd64 is off: 64 ulp, 4 ulp, 4 ulp, a subnormal not seen, +Inf too early.
    yield "pow", (1.1240869505540441e64, 3.2758), power
    yield "pow", (8.995496396587991e17, 3.2758258432747436), power
    yield "erfc", (4.560125113600334,), erfc
    yield "log", (5e-324,), log
    yield "exp", (709.78,), exp
    rnd = random.Random(1)
    for _ in range(150):
        x = rnd.uniform(-745, 709.7)
        yield "exp", (x,), exp
    for _ in range(100):
        yield "exp", (rnd.uniform(-1, 1),), exp
    for _ in range(150):
        yield "log", (2 ** rnd.uniform(-1070, 1023),), log
    for _ in range(120):
        yield "log", (1 + rnd.uniform(-1, 1) * 10 ** rnd.uniform(-15, -0.5),), log
    for _ in range(200):
        x = 2 ** rnd.uniform(-1000, 1000)
        y = rnd.uniform(-700, 700) / float(log(x))
        yield "pow", (x, y), power
    for _ in range(120):
        yield "pow", (1 + rnd.uniform(-1, 1) * 10 ** rnd.uniform(-12, -0.5), rnd.uniform(-1000, 1000)), power
    for _ in range(120):
        yield "cbrt", (2 ** rnd.uniform(-1000, 1000),), cbrt
    for _ in range(200):
        yield "erf", (rnd.choice((-1, 1)) * 10 ** rnd.uniform(-8, 0.77),), erf
    for _ in range(300):
        yield "erfc", (rnd.choice((-1, 1, 1, 1)) * 10 ** rnd.uniform(-3, 1.42),), erfc
    for _ in range(300):
        yield "phi", (rnd.choice((-1, -1, -1, 1)) * 10 ** rnd.uniform(-3, 1.57),), ncdf
    for _ in range(150):
        yield "quantile", (rnd.random(),), quantile
    for _ in range(150):
        yield "quantile", (10 ** rnd.uniform(-300, -1),), quantile


def quantile(p):
    """The x with ncdf(x) = p, by Newton's rule from a rough start."""
    if p > mpf("0.001"):
        return -sqrt(mpf(2)) * erfinv(1 - 2 * p)
    x = -sqrt(-2 * log(p))
    for _ in range(150):
        value = erfc(-x / sqrt(mpf(2))) / 2
        x -= (log(value) - log(p)) * value * sqrt(2 * pi) * exp(x * x / 2)
    return x


def reference():
    print("function,x,y,value,rest")
    for name, args, f in rows():
        true = f(*(mpf(a) for a in args))
        value = float(true)
        rest = float(true - mpf(value))
        x, y = args[0].hex(), args[1].hex() if len(args) > 1 else ""
        print(f"{name},{x},{y},{value.hex()},{rest.hex()}")


if __name__ == "__main__":
    {"coefficients": coefficients, "reference": reference}[sys.argv[1]]()
