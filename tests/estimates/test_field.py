"""Field: ramps, stray field, evenness and rest, by hand and by what more can never do."""

from __future__ import annotations

import numpy as np
import pytest
from estimates.one_platform import case, lab

FULL = {"magnitude": "8 T", "axes": 1}


def test_ramp_time_by_hand() -> None:
    """6 T at 0.2 T/min take half an hour; up and down an hour."""
    found = case(lab("wet", field={**FULL, "ramp_rate": "0.2 T/min"}), field={"magnitude": "6 T"})

    assert found.got("field_ramp_time") == pytest.approx(3600)
    assert found.facts["ramp_hours"] == pytest.approx(1)


def test_usual_ramp_rate_is_within_the_customary_span() -> None:
    """0.1 to 0.2 T/min at low temperature (common practice)."""
    found = case(lab("wet", field=FULL), field={"magnitude": "6 T", "ramps": 10})

    assert 10 * 6 / 0.2 <= found.got("field_ramp_time") / 60 <= 10 * 6 / 0.1
    assert found.settled()["field_ramp_time"].basis == "common practice"


def test_stray_field_falls_as_a_dipole() -> None:
    """Twice the distance has an eighth of the field; at half the field the 0.5 mT line is closer by 2^(1/3)."""
    neighbours = [{"name": "the optics table", "distance": "8 m", "tolerates": "1 mT"},
                  {"name": "the unit next door", "distance": "8 m", "tolerates": "10 uT"}]  # fmt: skip
    where = lab("wet", field={**FULL, "stray_line": "4 m", "neighbours": neighbours})
    full, half = (case(where, field={"magnitude": wanted}) for wanted in ("8 T", "4 T"))

    assert full.got("stray_at_neighbour") == pytest.approx(0.5e-3 / 8)
    assert full.got("neighbour") == "the unit next door"
    assert full.facts["stray_margin"] == pytest.approx(10e-6 / (0.5e-3 / 8))
    assert full.got("stray_line") == pytest.approx(4)
    assert half.got("stray_line") == pytest.approx(4 / 2 ** (1 / 3))
    assert half.facts["stray_margin"] == pytest.approx(2 * full.facts["stray_margin"])


def test_what_is_even_over_a_little_says_nothing_of_more() -> None:
    """Ten times better than asked, but over half the length asked: the margin is a half."""
    where = lab("wet", field={**FULL, "homogeneity": "10 ppm", "homogeneous_over": "5 mm"})
    found = case(where, field={"magnitude": "2 T", "homogeneity": "100 ppm", "over": "10 mm"})
    unknown = case(lab("wet", field=FULL), field={"magnitude": "2 T", "homogeneity": "100 ppm"})

    assert found.facts["homogeneity_margin"] == pytest.approx(0.5)
    assert unknown.facts["homogeneity_known"] == "no"
    assert "homogeneity_margin" not in unknown.facts


def test_persistent_mode_residual_field_and_weaker_axis() -> None:
    """Each only where it is asked for."""
    where = lab("wet", field={**FULL, "axes": 3, "across": "1 T", "residual": "2 mT"})
    found = case(where, field={"magnitude": "2 T", "persistent": True, "residual": "1 mT", "across": "2 T"})
    plain = case(where, field={"magnitude": "2 T"})

    assert found.facts["persistent"] == "no"
    assert found.facts["residual_margin"] == found.facts["field_across_margin"] == pytest.approx(0.5)
    assert not {"persistent", "residual_margin", "field_across_margin"} & plain.facts.keys()


def test_more_field_never_fits_better_nor_ramps_faster() -> None:
    """On the chain itself, with an array of fields."""
    fields = np.geomspace(0.1, 20, 60)
    where = lab("wet", field={**FULL, "stray_line": "4 m",
                              "neighbours": [{"name": "n", "distance": "9 m", "tolerates": "0.1 mT"}]})  # fmt: skip
    found = case(where, {"field.magnitude": fields}, field={"magnitude": "2 T"})

    assert np.all(np.diff(found.facts["field_margin"]) < 0)
    assert np.all(np.diff(found.got("field_ramp_time")) > 0)
    assert np.all(np.diff(found.facts["stray_margin"]) <= 0)
