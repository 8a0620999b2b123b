"""Hold, bath and time per point: outside checks, and what more load or more data can never do."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from estimates.cases import case, lab

HOUR, DAY, LITRE = 3600.0, 86400.0, 1e-3


def test_one_watt_boils_what_the_latent_heat_says() -> None:
    """1 W on the stick: latent heat and density of saturated helium at 101.325 kPa from CoolProp; 1.4 L/h."""
    latent = PropsSI("H", "P", 101325, "Q", 1, "Helium") - PropsSI("H", "P", 101325, "Q", 0, "Helium")
    density = PropsSI("D", "P", 101325, "Q", 0, "Helium")
    found = case(lab("stick"), heat={"device": "1 W"}).got("boiled_by_load")

    assert found == pytest.approx(1.0 / (latent * density), rel=0.005)
    assert found * HOUR / LITRE == pytest.approx(1.40, abs=0.01)


def test_autonomy_and_refills_by_hand() -> None:
    """36 L at 9 L/day last 4 days; with a reserve of 1.3 a filling is due after 3; ten days of data take three."""
    found = case(lab("wet"), time={"per_device": "10 days", "tuning": "0 h"})

    assert found.got("bath_autonomy") == pytest.approx(4 * DAY)
    assert found.got("refill_interval") == pytest.approx(3 * DAY)
    assert found.got("transfers") == 3
    assert found.got("interruption_time") == pytest.approx(3 * 1.5 * HOUR)
    assert found.facts["bath_margin"] == pytest.approx(0.4)


def test_segments_recycles_and_tuning_again_by_hand() -> None:
    """Of 40 h of hold 34 h can be planned with: 100 h are three pieces, between them 20 min and 30 min of tuning."""
    found = case(lab("insert"), time={"per_device": "99 h", "tuning": "1 h"})

    assert found.got("usable_hold") == pytest.approx(34 * HOUR)
    assert found.got("segments") == 3
    assert found.got("recycles") == 2
    assert found.got("interruption_time") == pytest.approx(2 * 50 * 60)
    assert case(lab("insert"), time={"per_device": "99 h", "retune": "1 h"}).got("interruption_time") == pytest.approx(
        2 * 80 * 60
    )


def test_no_tuning_means_no_tuning_again() -> None:
    """A kind or proposal without tuning pays for the recycle alone."""
    assert case(lab("insert"), time={"tuning": "0 h"}).got("recycle_pause") == pytest.approx(20 * 60)


def test_an_unbroken_run_is_never_paused() -> None:
    """No recycle and no transfer is planned into it; the margins say that it does not fit."""
    found = case(lab("wet"), time={"per_device": "10 days", "unbroken": True})

    assert found.got("interruption_time") == 0
    assert found.facts["bath_margin"] < 1
    assert found.gates["hold"].margin == pytest.approx(found.facts["bath_margin"])


def test_nitrogen_by_hand() -> None:
    """30 L at 6 L/day last five days."""
    found = case(lab("wet", running={"nitrogen_volume": "30 L", "nitrogen_boil_off": "6 L/day"}))

    assert found.got("nitrogen_autonomy") == pytest.approx(5 * DAY)


@pytest.mark.parametrize(("signal", "seconds"), [("100 fA", 10.58), ("1 pA", 0.1058)])
def test_averaging_by_hand(signal: str, seconds: float) -> None:
    """t = (10 × 46 fA / signal)² / 2, from sigma = S / sqrt(2 t)."""
    given = {"smallest": signal, "noise": "46 fA/rtHz", "ratio": 10}
    found = case(lab("insert"), signal=given, time={"points": 40000, "settle": "0 s", "per_device": "1 h"})

    assert found.got("averaging") == pytest.approx(seconds, rel=1e-6)
    assert found.got("per_device") == HOUR


def test_map_of_200_by_200_points_takes_118_hours() -> None:
    """40 000 points of 10.58 s; with the usual settling an hour more."""
    given = {"smallest": "100 fA", "noise": "46 fA/rtHz", "ratio": 10}
    entries = {"invented": "Invented.", "title": "Map", "measurement": "coulomb-diamonds", "tier": "see"}
    found = case(lab("insert"), signal=given, **entries)
    assert found.got("time_per_point") == pytest.approx(10.58 + 0.1)

    request = {"points": 40000, "settle": "0 s", "per_device": None}
    assert case(lab("insert"), signal=given, time=request).got("per_device") == pytest.approx(117.6 * HOUR, rel=0.001)


def test_excitation_limited_by_temperature_costs_the_square() -> None:
    """From 0.3 K to 20 mK the excitation k_B T / e falls 15-fold and the averaging grows 225-fold."""
    given = {"smallest": "1 pA", "noise": "46 fA/rtHz", "ratio": 10, "excitation_limited": True, "excited_at": "0.3 K"}
    where = lab("wet", cooling={"base_temperature": "10 mK"})
    warm, cold = (
        case(where, {"platform.electrons.measured": kelvin}, signal=given).got("averaging") for kelvin in (0.3, 0.02)
    )
    free = case(where, signal={**given, "excitation_limited": False}).got("averaging")

    assert warm == pytest.approx(free)
    assert cold / warm == pytest.approx(225)


def test_more_load_never_holds_longer() -> None:
    """Neither a charge nor a bath."""
    loads = np.geomspace(1e-9, 0.3, 60)
    for platform, name in (("insert", "hold_time"), ("stick", "bath_autonomy"), ("wet", "bath_autonomy")):
        where = lab(platform, running={"bath_volume": "36 L"})
        lasting = case(where, {"heat.device": loads}, heat={"device": "1 uW"}).got(name)
        assert np.all(np.diff(lasting) <= 0), platform
