"""How many devices, and what a count says."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom, binomtest, nbinom, norm

from triage.physics import statistics

counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@settings(max_examples=40, deadline=None)
@given(count=counts, confidence=st.sampled_from([0.68, 0.9, 0.95, 0.99]))
def test_intervals_agree_with_scipy(count: tuple[int, int], confidence: float) -> None:
    """Both intervals equal those of scipy's binomial test."""
    good, devices = count
    result = binomtest(good, devices)

    for interval, method in (
        (statistics.wilson_interval, "wilson"),
        (statistics.clopper_pearson_interval, "exact"),
    ):
        expected = result.proportion_ci(confidence, method=method)
        np.testing.assert_allclose(interval(good, devices, confidence), (expected.low, expected.high), atol=1e-9)


@pytest.mark.parametrize("interval", ["wilson", "clopper-pearson"])
@pytest.mark.parametrize(("half_width", "share"), [(0.2, None), (0.1, None), (0.1, 0.3), (0.15, 0.9)])
def test_devices_for_yield_is_the_first_of_six_that_are_narrow_enough(
    interval: statistics.Interval, half_width: float, share: float | None
) -> None:
    """By trying every size from one on with scipy's intervals."""
    method = "wilson" if interval == "wilson" else "exact"

    def width(n: int) -> float:
        limits = [binomtest(k, n).proportion_ci(0.95, method=method) for k in range(n + 1)]
        half = np.array([(x.high - x.low) / 2 for x in limits])
        return float(half.max() if share is None else half @ binom.pmf(np.arange(n + 1), n, share))

    found = statistics.devices_for_yield(half_width, share, interval=interval)
    assert all(width(found + k) <= half_width + 1e-9 for k in range(6))
    assert width(found - 1) > half_width


@pytest.mark.parametrize(
    ("half_width", "normal", "wilson", "exact"),
    [(0.20, 25, 21, 27), (0.15, 43, 39, 47), (0.10, 97, 93, 104), (0.05, 385, 381, 402)],
)
def test_sizes_for_the_worst_yield(half_width: float, normal: int, wilson: int, exact: int) -> None:
    """Sizes worked out separately for 95 % with the same rule."""
    assert statistics.devices_for_yield_normal(half_width) == normal
    assert statistics.devices_for_yield(half_width) == wilson
    assert statistics.devices_for_yield(half_width, interval="clopper-pearson") == exact


def test_a_half_width_without_meaning_is_refused() -> None:
    """Half-widths lie between 0 and 0.5."""
    with pytest.raises(ValueError, match="half-width"):
        statistics.devices_for_yield(0.0)


@settings(max_examples=40, deadline=None)
@given(rate=st.floats(0.001, 0.9), confidence=st.floats(0.5, 0.999))
def test_devices_to_see_is_the_first_number_that_reaches_the_confidence(rate: float, confidence: float) -> None:
    """1 - (1-q)^n reaches c at n and not at n - 1."""
    n = int(statistics.devices_to_see(rate, confidence))

    assert 1 - (1 - rate) ** n >= confidence - 1e-9
    assert n == 1 or 1 - (1 - rate) ** (n - 1) < confidence


def test_devices_to_see_at_its_ends() -> None:
    """A fault that never comes is never seen; one that always comes is seen at once; a tie is kept."""
    assert statistics.devices_to_see(0.0) == inf
    assert statistics.devices_to_see(1.0) == 1
    assert statistics.devices_to_see(0.5, 0.75) == 2


@settings(max_examples=30, deadline=None)
@given(devices=st.integers(1, 5000))
def test_zero_failures_have_the_chance_left_over(devices: int) -> None:
    """At the bound the chance of no fault is 5 %, and the bound is below 3/n."""
    bound = statistics.zero_failure_bound(devices)

    assert (1 - bound) ** devices == pytest.approx(0.05)
    assert bound < 3.0 / devices


@pytest.mark.parametrize(("difference", "deviation"), [(1.0, 1.0), (0.5, 1.0), (0.3, 1.0), (2.0, 3.0)])
def test_means_are_told_apart_with_the_power_asked_for(difference: float, deviation: float) -> None:
    """Power of the normal two-sided test at n reaches 80 % and at n - 1 does not."""

    def power(n: float) -> float:
        return float(norm.sf(norm.isf(0.025) - difference / deviation * (n / 2) ** 0.5))

    n = statistics.devices_per_recipe_mean(difference, deviation)
    assert power(n) >= 0.80 > power(n - 1)


@pytest.mark.parametrize(("first", "second"), [(0.5, 0.8), (0.25, 0.40), (0.7, 0.9)])
def test_yields_are_told_apart_with_about_the_power_asked_for(first: float, second: float) -> None:
    """Exact power of the pooled test over both binomial laws, 80 % within the 4 % of its steps."""
    n = int(statistics.devices_per_recipe_yield(first, second))
    k = np.arange(n + 1)
    a, b = np.meshgrid(k, k, indexing="ij")
    pooled = (a + b) / (2 * n)
    with np.errstate(divide="ignore", invalid="ignore"):
        z = np.abs(a - b) / n / np.sqrt(2 * pooled * (1 - pooled) / n)
    weight = binom.pmf(k, n, first)[:, None] * binom.pmf(k, n, second)

    assert weight[np.nan_to_num(z) > norm.isf(0.025)].sum() == pytest.approx(0.80, abs=0.04)


def test_nothing_to_tell_apart_takes_for_ever() -> None:
    """Equal means or equal yields need infinitely many devices."""
    assert statistics.devices_per_recipe_mean(0.0, 1.0) == inf
    assert statistics.devices_per_recipe_yield(0.5, 0.5) == inf


@settings(max_examples=60, deadline=None)
@given(good=st.integers(1, 30), share=st.floats(0.05, 0.99), confidence=st.floats(0.3, 0.99))
def test_devices_to_start_is_the_least_that_reaches_the_confidence(good: int, share: float, confidence: float) -> None:
    """The chance by scipy's binomial law reaches c at N and not at N - 1."""
    n = int(statistics.devices_to_start(good, share, confidence))

    assert binom.sf(good - 1, n, share) >= confidence - 1e-9
    assert n == good or binom.sf(good - 1, n - 1, share) < confidence


@pytest.mark.parametrize("half", [1, 3, 10, 26, 51])
def test_exact_ties_are_not_one_too_many(half: int) -> None:
    """Of 2k - 1 fair devices at least k are good with exactly 1/2."""
    assert statistics.devices_to_start(half, 0.5, 0.5) == 2 * half - 1
    assert half + nbinom.ppf(0.5, half, 0.5) >= 2 * half - 1  # the library's may be one higher


def test_devices_to_start_at_its_ends() -> None:
    """None wanted, none started; no yield, never enough; certain yield, just as many."""
    assert statistics.devices_to_start(0, 0.5) == 0
    assert statistics.devices_to_start(3, 0.0) == inf
    assert statistics.devices_to_start(3, 1.0) == 3
    assert statistics.chance_of_good(2, 3, 0.9) == 0.0
    assert statistics.chance_of_good(2, 0, 0.0) == 1.0


@settings(max_examples=30, deadline=None)
@given(yields=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=6))
def test_series_yield_is_at_most_its_weakest_step(yields: list[float]) -> None:
    """No step can add yield."""
    assert statistics.series_yield(yields) <= min(yields)


@settings(max_examples=30, deadline=None)
@given(defects=st.floats(0.0, 5.0), clustering=st.floats(0.5, 10.0))
def test_clustered_defects_leave_more_good_devices(defects: float, clustering: float) -> None:
    """The negative binomial law lies above the Poisson law and tends to it."""
    poisson = statistics.defect_yield(1.0, defects)

    assert statistics.defect_yield(1.0, defects, clustering) >= poisson * (1 - 1e-12)
    assert statistics.defect_yield(1.0, defects, 1e7) == pytest.approx(poisson, rel=1e-5)
