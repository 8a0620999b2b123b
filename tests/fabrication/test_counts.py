"""Yields multiply, and enough chips are started."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from triage.fabrication.counts import chance, chip_yield, chips_to_start, mask_pays_from
from triage.physics.lithography import exposure_time

PARTS = st.floats(min_value=0.05, max_value=1.0)


def test_losses_on_the_way_to_the_cold_finger_count() -> None:
    """Five layers of 0.9, 10 % to discharge and 10 % to bonding (common practice: 0.59 before the losses)."""
    assert chip_yield([0.9] * 5, 0.0, 0.0) == pytest.approx(0.59, abs=0.005)
    assert chip_yield([0.9] * 5, 0.1, 0.1) == pytest.approx(0.59 * 0.81, abs=0.005)


@given(good=st.integers(1, 40), part=PARTS, confidence=st.floats(0.5, 0.99))
def test_the_number_started_is_the_smallest_that_suffices(good: int, part: float, confidence: float) -> None:
    """Against the binomial law of a general library."""
    count = int(chips_to_start(good, part, confidence))

    assert binom.sf(good - 1, count, part) >= confidence - 1e-9
    assert count == good or binom.sf(good - 1, count - 1, part) < confidence + 1e-9


def test_the_tie_is_kept() -> None:
    """51 of 101 at one half, exactly one half: library quantiles say 102."""
    assert chips_to_start(51, 0.5, 0.5) == 101


@given(good=st.integers(1, 30), more=st.integers(0, 30), part=PARTS)
def test_more_good_chips_never_take_fewer_starts(good: int, more: int, part: float) -> None:
    """The number of starts grows with the number wanted."""
    assert chips_to_start(good + more, part, 0.9) >= chips_to_start(good, part, 0.9)
    assert 0.0 <= chance(good, good, part) <= 1.0


def test_pads_at_two_nanoamperes_are_for_light_beyond_about_ten_chips() -> None:
    """0.5 mm2 at 300 uC/cm2 and 2 nA is 12.5 min; a mask of 150 EUR against a beam of 70 EUR/h (common practice)."""
    minutes = float(exposure_time(0.5e-6, 3.0, 2e-9)) / 60

    assert minutes == pytest.approx(12.5)
    assert 8 <= mask_pays_from(150.0, minutes / 60 * 70.0) <= 12
    assert mask_pays_from(150.0, 0.0) == math.inf
