"""Prints the values that poisson-interval.test.ts checks against: Garwood's bounds as quantiles of the gamma distribution.

    python3 tests/engine/session/poisson_interval_values.py

from = the mean at which P(X >= k) is the tail, the quantile of Gamma(k) at the tail;
to = the mean at which P(X <= k) is the tail, the quantile of Gamma(k + 1) at one less the tail.
"""

from scipy.special import gammainccinv, gammaincinv, ndtr

COUNTS = [0, 1, 2, 3, 5, 10, 19, 20, 21, 100, 1000, 100000, 10000000]

for name, tail in [("one-sigma", float(ndtr(-1))), ("ninety-five-percent", 0.025)]:
    print(name, repr(tail))
    for k in COUNTS:
        low = 0.0 if k == 0 else float(gammaincinv(k, tail))
        print(f"    [{k}, {low!r}, {float(gammainccinv(k + 1, tail))!r}],")
