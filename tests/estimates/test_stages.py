"""The heat ladder against published loads of real wiring, textbook leads and windows, and its own order."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from estimates.described import lab_with, worked
from hypothesis import given
from hypothesis import strategies as st

from triage.estimates.case import Case

# Stages and spans of the wiring paper, 2.2 mm stainless lines (Krinner2019, figure 1 and section 2).
STAGES = [
    {"id": "shield", "base_temperature": "35 K", "cooling_power": "30 W", "power_at": "45 K"},
    {"id": "four", "base_temperature": "2.85 K", "cooling_power": "1 W", "power_at": "4.2 K"},
    {"id": "still", "base_temperature": "882 mK", "cooling_power": "30 mW", "power_at": "1.2 K"},
    {"id": "plate", "base_temperature": "82 mK", "cooling_power": "200 uW", "power_at": "140 mK"},
]
SPANS = {"shield": "200 mm", "four": "290 mm", "still": "250 mm", "plate": "170 mm", "sample": "140 mm"}
DRIVE = {"id": "drive", "count": 1, "coax": "2.2 mm", "material": "stainless_steel", "length": SPANS,
         "attenuation": {"four": 20, "plate": 20, "sample": 20}}  # fmt: skip
COLD = {"base_temperature": "6 mK", "cooling_power": "20 uW", "power_at": "20 mK"}
# Heat of one line as the paper's table is remembered [W]; from memory, one or two digits.
PAPER = {"still": 2.75e-6, "plate": 1e-7, "sample": 4e-9}


def unit(loom: dict[str, Any], proposal: dict[str, Any] | None = None, **entries: Any) -> Case:
    platform = {"kind": "dry dilution unit", "cooling": COLD, "loom": {"stages": STAGES, **loom}, **entries}
    return worked(platform, proposal)


SCATTER = 3.0  # of conductivity data for stainless steel below 4 K, a factor of 2 to 3


@pytest.mark.parametrize("stage", ["still", "plate", "sample"])
def test_cold_spans_carry_what_the_paper_found(stage: str) -> None:
    """Within the scatter of conductivity data below 4 K (Krinner2019, from memory)."""
    found = float(unit({"lines": [DRIVE]}).got(f"stage_load.{stage}.conduction"))

    assert PAPER[stage] / SCATTER <= found <= PAPER[stage] * SCATTER


def test_four_kelvin_span_is_about_a_milliwatt_with_the_shield_at_fifty() -> None:
    """A line brings about 1 mW to the 4 K stage of such a unit (Krinner2019); one digit printed, shield at 50 K."""
    warm = [{**STAGES[0], "base_temperature": "50 K", "power_at": "50 K"}, *STAGES[1:]]
    found = unit({"lines": [DRIVE], "stages": warm}).got("stage_load.four.conduction")

    assert found == pytest.approx(1.0e-3, abs=0.15e-3)


def test_stainless_tube_carries_the_tabulated_integral() -> None:
    """Integral of k from 4 to 300 K of stainless steel: 3060 W/m in handbooks (Ekin2006), 2 % for the fit."""
    loom = {"stages": [{"id": "bath", "base_temperature": "4 K"}],
            "lines": [{"id": "tube", "count": 1, "area": "10 mm2", "material": "stainless_steel",
                       "length": {"bath": "1 m"}}]}  # fmt: skip

    assert unit(loom).got("stage_load.bath.conduction") == pytest.approx(3060 * 1e-5, rel=0.02)


def test_optimum_lead_brings_47_milliwatts_per_ampere() -> None:
    """A conduction-cooled lead from 300 to 4.2 K (McFee1959): 47 mW/A; 1.0 to 1.2 mW/A with the vapour (Wilson1983)."""
    bath = [{"id": "bath", "base_temperature": "4.2 K"}]
    bare = unit({"stages": bath, "leads": [{"onto": "bath", "count": 2, "current": "50 A"}]})
    gas = unit({"stages": bath, "leads": [{"onto": "bath", "count": 2, "current": "50 A", "cooled_by": "vapour"}]})

    assert bare.got("stage_load.bath") == pytest.approx(100 * 47e-3, rel=0.01)
    assert 0.1 <= gas.got("stage_load.bath") <= 0.12


def test_open_window_lets_in_the_black_body() -> None:
    """1 cm2 at 300 K: 46 mW (Ekin2006)."""
    found = unit({"windows": [{"onto": "four", "area": "1 cm2"}]}).got("stage_load.four.window")

    assert found == pytest.approx(46e-3, abs=0.5e-3)


def test_attenuators_share_out_what_goes_in() -> None:
    """Four lines of 1 mW for half the time: 99 % at 4 K, 99 % of the rest on the cold plate, nothing is lost."""
    case = unit({"lines": [DRIVE]}, {"lines": {"coax": 4, "rf_power": "1 mW", "duty": "50 %"}})
    shares = [case.got(f"stage_load.{stage}.attenuators") for stage in ("four", "plate", "sample")]

    np.testing.assert_allclose(shares, [1.98e-3, 1.98e-5, 2e-7], rtol=1e-9)
    assert case.got("heat_load") == pytest.approx(2e-7)


def test_stage_settles_between_base_and_quoted_power() -> None:
    """Half the quoted power: half way at the shield, half way in T2 below 1.5 K."""
    area = 15.0 / 459.3  # m2 of black surface for 15 W from 300 K (Stefan and Boltzmann), shield at 35 K
    loom = {"radiation": [{"onto": "shield", "seen": "room", "area": f"{area} m2", "emissivity": 1}]}
    drive = {"lines": {"coax": 1, "rf_power": "1.0101 W", "duty": "1 %"}}
    case = unit({**loom, "lines": [DRIVE]}, drive)
    plate = np.sqrt(0.082**2 + (0.14**2 - 0.082**2) * case.got("stage_load.plate") / 200e-6)

    assert unit(loom).got("stage_temperature.shield") == pytest.approx(40.0, abs=0.05)
    assert case.got("stage_temperature.plate") == pytest.approx(plate)


def test_overloaded_stage_fails_the_gate_and_is_named() -> None:
    """30 mW of drive per line, four lines: 1.2 mW on a cold plate that takes 200 uW."""
    case = unit({"lines": [DRIVE]}, {"lines": {"coax": 4, "rf_power": "30 mW"}})

    assert case.facts["stage_margin"] == pytest.approx(200e-6 / 1.19e-3, rel=0.01)
    assert (case.got("tightest_stage"), case.got("dominant_load")) == ("plate", "attenuators")
    assert case.gates["heat"].limit == "stage plate"
    assert not case.estimates["stage_temperature.plate"].valid


def test_amplifier_sits_where_it_is_said_to() -> None:
    """At 4 K it heats the coldest stage not below 2 K; at the sample it is part of the load."""
    warm = unit({}, {"heat": {"amplifier": "5 mW", "amplifier_at": "4 K"}})
    cold = unit({}, {"heat": {"amplifier": "5 uW", "duty": "10 %"}})

    assert warm.got("stage_load.four.amplifier") == pytest.approx(5e-3)
    assert warm.got("heat_load") == 0.0
    assert cold.got("heat_load") == pytest.approx(0.5e-6)


def test_ramp_heat_goes_with_the_square_of_the_rate() -> None:
    """A copper plate of 30 by 20 by 1 mm at 0.1 T/min; a disc of equal area is the textbook bound (Pobell2007)."""
    loom = {"plate": {"length": "30 mm", "width": "20 mm", "thickness": "1 mm", "resistivity": "1.6e-10 ohm*m"}}
    heats = [unit(loom, {"field": {"magnitude": "1 T", "ramp_rate": rate}}).got("heat_load")
             for rate in ("0.1 T/min", "0.2 T/min")]  # fmt: skip
    disc = np.pi * 1e-3 * (600e-6 / np.pi) ** 2 * (0.1 / 60) ** 2 / (8 * 1.6e-10)

    assert heats[1] == pytest.approx(4 * heats[0])
    assert 0.7 * disc < heats[0] < disc


@given(lines=st.lists(st.integers(0, 200), min_size=2, max_size=2))
def test_more_lines_are_never_less_heat(lines: list[int]) -> None:
    """At every stage, for a platform's own lines."""
    few, many = (unit({"lines": [{**DRIVE, "count": count}]}) for count in sorted(lines))
    for stage in SPANS:
        assert many.got(f"stage_load.{stage}") >= few.got(f"stage_load.{stage}") * (1 - 1e-12)


def test_lines_that_are_brought_add_heat_to_every_stage_and_to_the_load() -> None:
    """Ten lines brought bring ten times what one of the platform's own brings, and open the gate of lines."""
    case = unit({"lines": [DRIVE]}, {"lines": {"extra_coax": 10, "coax": 20}})
    for stage in ("shield", "sample"):
        assert case.got(f"stage_load.{stage}.more-lines") == pytest.approx(
            10 * case.got(f"stage_load.{stage}.conduction")
        )

    assert case.got("heat_load") == pytest.approx(case.got("stage_load.sample.more-lines"))
    assert case.facts["coax_margin"] == pytest.approx(22 / 20)


def test_without_a_loom_the_stated_load_stands() -> None:
    """No ladder is written, and drive power comes down behind the usual 40 dB."""
    case = worked({"kind": "wet dilution unit"}, {"lines": {"coax": 2, "rf_power": "1 mW"}})

    assert not any(name.startswith("stage_load") for name in case.estimates)
    assert case.got("heat_load") == pytest.approx(2e-7)


def test_superconductor_above_its_range_is_said_to_be_unknown() -> None:
    """Niobium-titanium is not described up to 300 K: the estimate is marked, the gate has no number."""
    wrong = {**DRIVE, "material": "niobium_titanium"}
    case = unit({"lines": [wrong]})

    assert not case.estimates["stage_load.shield.conduction"].valid
    assert np.isnan(case.gates["heat"].margin)


@pytest.mark.parametrize(
    ("loom", "words"),
    [
        ({"lines": [{**DRIVE, "gauge": 36}]}, "cross-sections"),
        ({"lines": [{**DRIVE, "length": {"fourth": "1 m"}}]}, "no stage 'fourth'"),
        ({"stages": STAGES[::-1]}, "not in order"),
        ({"radiation": [{"onto": "shield", "seen": "four", "area": "1 m2"}]}, "no warmer stage"),
        ({"lines": [DRIVE, DRIVE]}, "given twice"),
        ({"stages": [{"id": "shield", "base_temperature": "40 K", "cooling_power": "1 W"}]}, "only one of"),
    ],
)
def test_a_loom_that_cannot_be_is_refused(loom: dict[str, Any], words: str) -> None:
    """Each mistake is named."""
    with pytest.raises(ValueError, match=words):
        lab_with({"kind": "dry dilution unit", "loom": {"stages": STAGES, **loom}})
