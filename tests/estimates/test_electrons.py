"""From stage to electrons: joint, loom, island, and how far each is known."""

from __future__ import annotations

import numpy as np
import pytest
from estimates.described import worked
from hypothesis import given
from hypothesis import strategies as st

from triage.estimates.case import Case

UNIT = {"kind": "dry dilution unit", "cooling": {"base_temperature": "20 mK", "cooling_power": "400 uW"}}
COLD_LOOM = {**UNIT, "electrons": {"measured": "20 mK", "date": "2026-05-02"}}
CURVE = {"date": "2026-05-02", "points": [["10 mK", "40 mK"], ["50 mK", "60 mK"], ["200 mK", "202 mK"]]}


def on(platform: dict[str, object], **heat: str) -> Case:
    return worked(platform, {"heat": heat} if heat else None)


def test_island_heats_to_138_millikelvin() -> None:
    """1 fW in 0.01 um3 of copper at 20 mK: 138 mK, by P = Sigma V (T5 - T5) with 2e9 (Giazotto2006), by hand."""
    case = on(COLD_LOOM, island_volume="0.01 um3", island_power="1 fW")

    assert case.got("electron_temperature") == pytest.approx((1e-15 / (2e9 * 1e-20) + 0.02**5) ** 0.2, rel=1e-3)
    assert case.got("electron_temperature") == pytest.approx(0.138, abs=0.0005)
    assert case.facts["self_heating"] == pytest.approx(6.9, abs=0.05)


def test_chip_sits_above_its_stage() -> None:
    """1 uW through 25 mm2 of glue with r = 1e-3 K4 m2/W: (T4 + 4 r Q/A)^(1/4); commonly 20 to 100 mK up."""
    case = on(COLD_LOOM, device="1 uW", chip_area="25 mm2")
    stage = case.got("stage_temperature")
    found = case.got("sample_temperature")

    assert found == pytest.approx((stage**4 + 4e-3 * 1e-6 / 25e-6) ** 0.25)
    assert 0.02 <= found - stage <= 0.1
    assert case.got("electron_temperature") >= found


def test_working_temperature_undoes_the_whole_chain() -> None:
    """Put on the stage it names, the chip and its island are just as warm as the tier allows."""
    proposal = {"heat": {"device": "3 uW", "chip_area": "25 mm2", "island_volume": "0.1 um3", "island_power": "1 pW"},
                "device": {"addition_energy": "1 meV"}}  # fmt: skip
    loom = {"electrons": {"measured": "100 mK"}}
    case = worked({**UNIT, **loom}, proposal)
    stage = float(case.got("working_temperature"))
    lattice = (stage**4 + 4e-3 * 3e-6 / 25e-6) ** 0.25
    bare = np.sqrt(lattice**2 + case.got("electron_saturation") ** 2)

    assert stage > case.got("base_temperature")
    assert (bare**5 + 1e-12 / (2e9 * 1e-19)) ** 0.2 == pytest.approx(case.got("needed_temperature"))


@pytest.mark.parametrize(
    ("filtering", "low", "high"), [("pi", 0.1, 0.25), ("metal powder", 0.02, 0.05), ("none", 0.05, 0.4)]
)
def test_looms_nobody_measured_have_the_range_of_the_trade(filtering: str, low: float, high: float) -> None:
    """100 to 250 mK behind pi filters, 20 to 50 mK behind powder, 50 to 400 mK without; common practice."""
    case = on({"kind": "dry dilution unit", "wiring": {"filtering": filtering}})
    stage = case.got("stage_temperature")

    assert low <= case.got("electron_saturation") <= high
    assert np.hypot(low, stage) * 0.999 <= case.got("electron_temperature_low")
    assert case.got("electron_temperature_high") <= np.hypot(high, stage) * 1.001
    assert case.facts["electron_temperature_basis"] == "default"


def test_range_of_the_measurement_comes_through() -> None:
    """On the stage where it was measured, 60 +/- 6 mK is 54 to 66 mK."""
    case = on({**UNIT, "electrons": {"measured": "60 mK +/- 6 mK", "date": "2026-05-02"}})

    assert case.got("electron_temperature") == pytest.approx(0.060)
    assert case.got("electron_temperature_low") == pytest.approx(0.054)
    assert case.got("electron_temperature_high") == pytest.approx(0.066)


def test_changed_loom_widens_the_range() -> None:
    """Measured before the last change: the saturation may be half as high again, and the basis says stale."""
    old = {"measured": "60 mK", "date": "2026-02-01", "loom_changed": "2026-03-01"}
    case = on({**UNIT, "electrons": old})
    high = np.sqrt(0.02**2 + 1.5**2 * (0.06**2 - 0.02**2))

    assert case.facts["electron_temperature_basis"] == "stale"
    assert case.got("electron_temperature_high") == pytest.approx(high)
    assert case.facts["thermal_margin_at_worst"] < case.facts["thermal_margin"]


def test_electron_curve_is_read_and_goes_on() -> None:
    """Half way between points half way in temperature; beyond the last one by the saturation that point implies."""
    curve = {"measured": {"electron_curve": CURVE}}
    warm = {"cooling": {"base_temperature": "30 mK", "cooling_power": "400 uW"}}
    hot = {"cooling": {"base_temperature": "250 mK", "cooling_power": "4 mW"}}

    assert on({**UNIT, **warm, **curve}).got("electron_temperature") == pytest.approx(0.05)
    assert on({**UNIT, **hot, **curve}).got("electron_temperature") == pytest.approx(
        np.sqrt(0.25**2 + 0.202**2 - 0.2**2)
    )
    assert "2026-05-02" in on({**UNIT, **warm, **curve}).estimates["electron_temperature"].formula


@given(saturations=st.lists(st.floats(1e-3, 0.5), min_size=2, max_size=2))
def test_colder_electrons_never_lower_the_margin(saturations: list[float]) -> None:
    """Over the loom's saturation, on the chain itself."""
    path = "platform.electrons.saturation"
    cold, warm = (worked(UNIT, overrides={path: value}).facts["thermal_margin"] for value in sorted(saturations))

    assert cold >= warm * (1 - 1e-12)


@given(powers=st.lists(st.floats(1e-9, 1e-4), min_size=2, max_size=2))
def test_more_heat_on_the_chip_is_never_colder(powers: list[float]) -> None:
    """Chip and electrons, and the stage that would still do."""
    heat = {"heat": {"device": "1 uW", "chip_area": "10 mm2", "island_volume": "1 um3"}}
    small, large = (worked(UNIT, heat, {"heat.device": power}) for power in sorted(powers))

    assert large.got("sample_temperature") >= small.got("sample_temperature") * (1 - 1e-12)
    assert large.got("electron_temperature") >= small.got("electron_temperature") * (1 - 1e-12)
    assert large.got("working_temperature") <= small.got("working_temperature") * (1 + 1e-12)


def test_arrays_give_what_numbers_give() -> None:
    """Chip, island and range on an array of powers."""
    heat = {"heat": {"device": "1 uW", "chip_area": "10 mm2", "island_volume": "1 um3"}}
    powers = np.array([1e-8, 1e-6, 2e-5])
    together = worked(UNIT, heat, {"heat.device": powers})
    for name in ("sample_temperature", "electron_temperature", "electron_temperature_high", "working_temperature"):
        alone = [float(worked(UNIT, heat, {"heat.device": float(power)}).got(name)) for power in powers]
        np.testing.assert_allclose(np.broadcast_to(together.got(name), 3), alone, rtol=1e-9)
