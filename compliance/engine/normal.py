"""The quantiles of the normal distribution for whole arrays."""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

# Numerators and denominators of the rational functions of PPND16, highest power first.
_MIDDLE = (
    (2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457,
     13731.693765509461125, 1971.5909503065514427, 133.14166789178437745, 3.3871328727963666080),
    (5226.4952788528545610, 28729.085735721942674, 39307.895800092710610, 21213.794301586595867,
     5394.1960214247511077, 687.18700749205790830, 42.313330701600911252, 1.0),
)  # fmt: skip
_NEAR = (
    (7.74545014278341407640e-4, 0.0227238449892691845833, 0.241780725177450611770,
     1.27045825245236838258, 3.64784832476320460504, 5.76949722146069140550,
     4.63033784615654529590, 1.42343711074968357734),
    (1.05075007164441684324e-9, 5.47593808499534494600e-4, 0.0151986665636164571966,
     0.148103976427480074590, 0.689767334985100004550, 1.67638483018380384940,
     2.05319162663775882187, 1.0),
)  # fmt: skip
_FAR = (
    (2.01033439929228813265e-7, 2.71155556874348757815e-5, 0.00124266094738807843860,
     0.0265321895265761230930, 0.296560571828504891230, 1.78482653991729133580,
     5.46378491116411436990, 6.65790464350110377720),
    (2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
     7.86869131145613259100e-4, 0.0148753612908506148525, 0.136929880922735805310,
     0.599832206555887937690, 1.0),
)  # fmt: skip


def find_quantiles(chances: Floats) -> Floats:
    """Find the standard normal quantile of each chance.

    Shape: -inf for 0, inf for 1.

    Source: M. J. Wichura, Algorithm AS 241, PPND16, Applied Statistics 37 (1988) 477; about 16
    digits. The coefficients are those of Python's `statistics.NormalDist.inv_cdf`.
    """
    away = chances - 0.5
    found = np.empty_like(away)
    middle = np.abs(away) <= 0.425  # noqa: PLR2004 - the bounds are the algorithm's
    inside = away[middle]
    found[middle] = inside * _divide(_MIDDLE, 0.180625 - inside * inside)
    outside = away[~middle]
    tail = np.minimum(chances[~middle], 1 - chances[~middle])
    with np.errstate(divide="ignore"):
        root = np.sqrt(-np.log(tail))
    kept = np.minimum(root, 30.0)
    near = _divide(_NEAR, kept - 1.6)
    far = _divide(_FAR, kept - 5.0)
    size = np.where(kept <= 5.0, near, far)  # noqa: PLR2004
    size[np.isinf(root)] = np.inf
    found[~middle] = np.copysign(size, outside)
    return found


def _divide(pair: tuple[tuple[float, ...], tuple[float, ...]], r: Floats) -> Floats:
    found: Floats = np.polyval(pair[0], r) / np.polyval(pair[1], r)
    return found
