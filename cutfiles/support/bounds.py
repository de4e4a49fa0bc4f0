"""Bounds for the next piece of a kind from tests of others, normal in the logarithm."""

import math

COVERAGE = 0.95
"""So many of all pieces carry more than the bound."""
CONFIDENCE = 0.95
"""In so many studios the bound keeps that promise."""
SPREAD = 0.15
"""σ₀, the least spread of the logarithm of a factor that is believed: gauge ±5 % makes 0.09, the
modulus 0.05, leg, creases and level 0.08."""
_STEPS = 400


def tolerance_factor(count: int) -> float:
    """Return the one-sided tolerance factor k of a normal sample of unknown spread.

        P(ȳ − k s ≤ the 5 % point) = 0.95,      k = t′(0.95; n − 1, z √n) / √n

    t′ the noncentral t. It is found from P = E[Φ(√n (k s − z))], s the sample's spread.

    Valid for n of 3 and more.

    Source: one-sided tolerance factors of the normal distribution (ISO 16269-6).

    >>> [round(tolerance_factor(n), 3) for n in (3, 5, 10)]
    [7.656, 4.203, 2.911]

    """
    if count < 3:
        raise ValueError(f"{count} tests say too little of their spread; 3 or more are needed")
    spreads = _spreads(count - 1)
    root, z = math.sqrt(count / 2), _quantile(COVERAGE)
    low, high = 0.0, 20.0
    for _ in range(40):
        k = (low + high) / 2
        missed = sum(share * math.erfc(root * (k * s - z)) for s, share in spreads) / 2
        if missed > 1 - CONFIDENCE:
            low = k
        else:
            high = k
    return (low + high) / 2


def _spreads(freedom: int) -> list[tuple[float, float]]:
    """Return spreads s of samples and how often each comes, for integrals by Simpson's rule.

    With ν = n − 1 and a true spread of 1, s has the density
    2 (ν/2)^(ν/2) / Γ(ν/2) s^(ν−1) exp(−ν s²/2).
    """
    scale = math.log(2) + freedom / 2 * math.log(freedom / 2) - math.lgamma(freedom / 2)
    step = (1 + 9 / math.sqrt(freedom)) / _STEPS
    found = []
    for i in range(1, _STEPS + 1):
        s = i * step
        weight = 1 if i == _STEPS else 4 if i % 2 else 2
        density = math.exp(scale + (freedom - 1) * math.log(s) - freedom * s * s / 2)
        found.append((s, weight * step / 3 * density))
    return found


def survival_divisor(count: int) -> float:
    """Return by what the least load is divided that every one of so many pieces stood.

        exp(σ₀ (z + Φ⁻¹(1 − 0.05^(1/n))))

    All standing at λ would happen in less than 1 of 20 studios if the 5 % point lay under λ over
    this. The spread σ₀ is assumed, not measured: where it is larger, the promise is not kept.

    Source: success run.

    >>> [round(survival_divisor(n), 3) for n in (3, 4, 5, 6, 8, 10)]
    [1.346, 1.293, 1.256, 1.229, 1.189, 1.161]

    """
    least = _quantile(1 - (1 - CONFIDENCE) ** (1 / count))
    return math.exp(SPREAD * (_quantile(COVERAGE) + least))


def _quantile(probability: float) -> float:
    """Return Φ⁻¹ of the normal distribution; what knows it is loaded where there are tests."""
    from statistics import NormalDist

    return NormalDist().inv_cdf(probability)
