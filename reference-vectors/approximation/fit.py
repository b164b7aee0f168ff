#!/usr/bin/env python3
"""Fits the polynomials of linnet.dsp.Approximation: weighted least squares at 50 digits, with Lawson's re-weighting towards
the smallest greatest error (C. L. Lawson, 1961). One linear side condition joins the ends of the interval, so that the
pieces laid end to end are continuous and hence monotone. Prints the coefficients and the error; needs mpmath."""
from mpmath import mp, mpf, matrix, lu_solve, log, cos, pi

mp.dps = 50


def fit(f, weight, lo, hi, terms, side, value, points=240, rounds=60):
    """c of sum c[k] x^k, k = 0..terms-1, near f on [lo, hi]; the side condition is sum side[k] c[k] = value."""
    xs = [(lo + hi) / 2 + (hi - lo) / 2 * cos(pi * (2 * i + 1) / (2 * points)) for i in range(points)]
    fs, ws = [f(x) for x in xs], [weight(x) for x in xs]
    lawson = [mpf(1) / points] * points
    for _ in range(rounds):
        a, b = matrix(terms + 1, terms + 1), matrix(terms + 1, 1)
        for x, y, w, l in zip(xs, fs, ws, lawson):
            row = [x**k for k in range(terms)]
            for i in range(terms):
                b[i] += l * w * w * row[i] * y
                for j in range(terms):
                    a[i, j] += l * w * w * row[i] * row[j]
        for k in range(terms):
            a[terms, k] = a[k, terms] = side[k]
        b[terms] = value
        c = lu_solve(a, b)[:terms]
        errors = [abs(w * (sum(c[k] * x**k for k in range(terms)) - y)) for x, y, w in zip(xs, fs, ws)]
        lawson = [l * e for l, e in zip(lawson, errors)]
        total = sum(lawson)
        lawson = [l / total for l in lawson]
    return c, max(errors)


def show(name, c, error):
    print(name, "greatest error", mp.nstr(error, 3))
    for x in c:
        print("   ", repr(float(x)))


half = mpf(1) / 2
# 2^r = 1 + r q(r) on [-1/2, 1/2], relative error; 2^(1/2) = 2 * 2^(-1/2): 1 + q(1/2)/2 = 2 - q(-1/2)
n = 7
show("exp2", *fit(lambda r: (2**r - 1) / r, lambda r: r / 2**r, -half, half, n,
                  [half * half**k + (-half) ** k for k in range(n)], mpf(1)))
# log2(1 + u) = u q(u) for 1 + u in [sqrt(1/2), sqrt(2)], absolute error; the value at the right end is that at the left plus 1
lo, hi = 1 / mp.sqrt(2) - 1, mp.sqrt(2) - 1
n = 10
show("log2", *fit(lambda u: log(1 + u, 2) / u, lambda u: u, lo, hi, n, [hi ** (k + 1) - lo ** (k + 1) for k in range(n)], mpf(1)))
