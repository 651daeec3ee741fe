"""From records to groups: spread, hits and what they come from, each with its standard error."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from vireton.kernel.arrays import FloatArray
from vireton.scatter.case import Case
from vireton.scatter.record import Record

#: m: below this a spread is the integrator's rounding, and has no shares.
_NO_SPREAD = 1e-5


@dataclass(frozen=True, eq=False)
class Estimate:
    """A number and its standard error, arrays of one shape. The error is of the sampling only."""

    value: FloatArray
    error: FloatArray


@dataclass(frozen=True, eq=False)
class Group:
    """One kind of arrow at n distances. m, right and up.

    ``center`` (n, 2) from the middle of the target; ``sd`` (n, 2); ``covariance`` (n, 2, 2) m²;
    ``radius`` (n,): mean distance from where the arrow without scatter lands; ``hits`` (n,): the
    probability that the point lands within the target; ``reached`` (n,) the share that gets there.

    ``shares`` by axis (``right``, ``up`` and ``both``) hold (n, s + 1) shares of the variance: what
    each source makes by itself, then the interplay of several. They add up to 1; nan where nothing
    varies by more than 0.01 mm.
    """

    sources: tuple[str, ...]
    distance: FloatArray
    center: Estimate
    sd: Estimate
    covariance: FloatArray
    radius: Estimate
    hits: Estimate
    reached: FloatArray
    shares: dict[str, Estimate]


def groups_of(case: Case, replicates: Sequence[Record]) -> dict[str, Group]:
    """Groups by kind of arrow, from one record a replicate, two or more.

    The standard errors are of the jackknife that leaves out one replicate at a time (Efron and
    Tibshirani 1993, *An Introduction to the Bootstrap*, equation 11.5, from memory). Replicates are
    scrambled independently, so it holds although the points within one are not independent.
    """
    sums = {f.name: np.stack([getattr(r, f.name) for r in replicates]) for f in fields(Record)}
    sums["count"] = np.ones(len(replicates))
    sums["effect"] = _effects(sums)
    sums["effect_squared"] = sums["effect"] ** 2
    total = {name: values.sum(axis=0, keepdims=True) for name, values in sums.items()}
    whole = _measures(total)
    without = _measures({name: total[name] - values for name, values in sums.items()})
    estimates = {name: _jackknife(whole[name][0], without[name]) for name in whole}
    shot = float(total["shot"][0])
    offset = case.landing - case.middle
    found = {}
    for i, kind in enumerate(case.kinds):
        hits = _of(estimates["hits"], i)
        center = _of(estimates["center"], i)
        found[kind] = Group(
            sources=case.scatter.active,
            distance=case.distances,
            center=Estimate(center.value + offset[i], center.error),
            sd=_of(estimates["sd"], i),
            covariance=estimates["covariance"].value[i],
            radius=_of(estimates["radius"], i),
            # where all hit, or none, the replicates agree; one more arrow could still do otherwise
            hits=Estimate(hits.value, np.maximum(hits.error, 1.0 / shot)),
            reached=total["reached"][0, i] / shot,
            shares={name: _of(estimates[name], i) for name in ("right", "up", "both")},
        )
    return found


def _of(estimate: Estimate, kind: int) -> Estimate:
    return Estimate(estimate.value[kind], estimate.error[kind])


def _effects(sums: dict[str, Any]) -> FloatArray:
    """Coefficients (R, k, n, 2, s, d) of the deviations on the polynomials, one set a replicate."""
    reached = np.maximum(sums["reached"], 1.0)[..., None, None, None]
    mean = sums["deviation"][..., None, None] / reached
    return np.asarray((sums["by_wave"] - mean * sums["waves"][..., None, :, :]) / reached)


def _measures(sums: dict[str, Any]) -> dict[str, FloatArray]:
    """All estimates from sums with a leading axis of any length."""
    reached = np.maximum(sums["reached"], 2.0)
    center = sums["deviation"] / reached[..., None]
    spread = sums["products"] - center[..., None] * sums["deviation"][..., None, :]
    covariance = spread / (reached - 1.0)[..., None, None]
    variance = np.maximum(np.diagonal(covariance, axis1=-2, axis2=-1), 0.0)
    alone = _alone(sums)
    found = {
        "center": center,
        "covariance": covariance,
        "sd": np.sqrt(variance),
        "radius": sums["radius"] / reached,
        "hits": sums["hits"] / sums["shot"][..., None, None],
        "both": _shares(alone.sum(axis=-2), variance.sum(axis=-1)),
    }
    for axis, name in enumerate(("right", "up")):
        found[name] = _shares(alone[..., axis, :], variance[..., axis])
    return found


def _alone(sums: dict[str, Any]) -> FloatArray:
    """Variance (…, k, n, 2, s) that each source makes by itself.

    In an expansion in orthonormal polynomials a first-order Sobol' share is the sum of the squared
    coefficients of one source's polynomials over the variance (Sudret 2008, "Global sensitivity
    analysis using polynomial chaos expansions", Reliability Engineering and System Safety
    93:964–979, equation 38, from memory). It takes no shots of its own, where pick-freeze sampling
    (Saltelli et al. 2010) would take one more set a source. Squares of uncertain coefficients are
    too large by their variance, so products of *different* replicates are averaged instead.
    """
    count = sums["count"].reshape(-1, *[1] * (sums["effect"].ndim - 1))
    pairs = (sums["effect"] ** 2 - sums["effect_squared"]) / (count * (count - 1.0))
    return np.asarray(pairs.sum(axis=-1))


def _shares(alone: FloatArray, variance: FloatArray) -> FloatArray:
    shares = alone / np.where(variance > _NO_SPREAD**2, variance, np.nan)[..., None]
    return np.concatenate([shares, 1.0 - shares.sum(axis=-1, keepdims=True)], axis=-1)


def _jackknife(whole: FloatArray, without: FloatArray) -> Estimate:
    count = len(without)
    apart = without - without.mean(axis=0)
    return Estimate(whole, np.sqrt((count - 1.0) / count * (apart**2).sum(axis=0)))


def ellipse(covariance: FloatArray, share: float = 0.95) -> tuple[float, float, float]:
    """Half axes (m, the longer first) and lean (rad) of the ellipse that holds ``share`` of shots.

    Of a normal distribution with this covariance (2, 2): half axes √(−2 ln(1 − share)·λ), with λ
    the eigenvalues (Rayleigh's distribution; any text). The lean is that of the long axis from the
    right upwards, over −π/2 to π/2.
    """
    sizes, directions = np.linalg.eigh(covariance)
    reach = math.sqrt(-2.0 * math.log1p(-share))
    short, long = (reach * math.sqrt(max(float(size), 0.0)) for size in sizes)
    right, up = directions[:, 1]
    lean = math.atan2(float(up), float(right))
    return long, short, (lean + math.pi / 2.0) % math.pi - math.pi / 2.0
