"""Size: outlines by hand, and that a smaller board never fits worse."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from estimates.one_platform import case, lab
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.estimates.case import Case
from triage.estimates.drawing_data import board_over_bore

BORE = {"bore": "30 mm", "height": "120 mm", "clearance": "1 mm"}
MM = 1e-3


def on(space: dict[str, Any], board: dict[str, Any], **entries: Any) -> Case:
    return case(lab("insert", space=space), board=board, **entries)


def test_diagonal_and_clearance_by_hand() -> None:
    """A 3-4-5 section of 12 by 16 mm needs 20 mm and twice the clearance."""
    found = on(BORE, {"length": "60 mm", "width": "16 mm", "height": "12 mm"})

    assert found.got("bore_needed") == pytest.approx(22 * MM)
    assert found.facts["size_margin"] == pytest.approx(30 / 22)


def test_the_diagonal_across_is_at_most_the_bore_less_two_millimetres() -> None:
    """Common practice for boards across a bore: 19.79 mm square in 30 mm."""
    across = {"mounting": "across", "height": "5 mm"}

    assert on(BORE, {"length": "19.79 mm", "width": "19.79 mm", **across}).facts["size_margin"] >= 1
    assert on(BORE, {"length": "19.81 mm", "width": "19.81 mm", **across}).facts["size_margin"] < 1


def test_connectors_and_bends_are_added_where_they_stick_out() -> None:
    """At the end they lengthen the board, on top they make it higher."""
    board = {"length": "96 mm", "width": "16 mm", "height": "8 mm"}
    connectors = {"overhang": "12 mm", "bend_radius": "18 mm"}
    end = on(BORE, {**board, "connectors": {**connectors, "side": "end"}})
    top = on(BORE, {**board, "connectors": {"overhang": "4 mm", "side": "top"}})

    assert end.facts["size_margin"] == pytest.approx(120 / 126)
    assert top.got("bore_needed") == pytest.approx(22 * MM)
    assert on(BORE, board).facts["size_margin"] > 1


def test_puck_limits_where_it_is_narrower_than_the_bore() -> None:
    """A puck of 20 mm in a bore of 30 mm."""
    board = {"length": "60 mm", "width": "16 mm", "height": "12 mm"}

    assert on({**BORE, "puck": "20 mm"}, board).facts["size_margin"] == pytest.approx(20 / 22)


def test_chip_at_the_end_reaches_a_shallow_centre() -> None:
    """20 mm below the centre: a chip in the middle of 60 mm sits too high, one 15 mm from the end does not."""
    space, board = {**BORE, "below_centre": "20 mm"}, {"length": "60 mm", "width": "10 mm", "height": "5 mm"}
    wanted = {"magnitude": "1 T"}

    assert on(space, board, field=wanted).facts["centre_margin"] == pytest.approx(20 / 30)
    assert on(space, {**board, "chip_from_end": "15 mm"}, field=wanted).facts["centre_margin"] == pytest.approx(20 / 15)
    assert "centre_margin" not in on(space, board).facts


def test_turning_end_over_end_sweeps_the_diagonal() -> None:
    """A 3-4-5 profile."""
    board, wanted = {"length": "16 mm", "width": "9 mm", "height": "12 mm"}, {"magnitude": "1 T", "rotation": True}

    assert on({**BORE, "rotator": "30 mm"}, board, field=wanted).facts["rotator_margin"] == pytest.approx(1.5)
    assert on(BORE, board, field=wanted).facts["rotator_margin"] == 0


@pytest.mark.parametrize(
    ("carrier", "shared"),
    [({"name": "c20", "pinout": "a"}, "yes"), ({"name": "c20", "pinout": "b"}, "other pin-out"),
     ({"name": "c20", "connectors": "round"}, "other connectors"), ({"name": "c30"}, "no")],
)  # fmt: skip
def test_one_carrier_for_several_platforms(carrier: dict[str, str], shared: str) -> None:
    """Name, connectors and pin-out in that order."""
    space = {**BORE, "carriers": [{"name": "c20", "pinout": "a", "connectors": "flat"}]}
    board = {"length": "20 mm", "width": "10 mm", "carrier": carrier}

    assert on(space, board).facts["carrier_shared"] == shared
    assert on(BORE, board).facts["carrier_shared"] == "not known"


def test_boards_per_load_by_hand() -> None:
    """Four layers of 28 mm and 2 mm between in 120 mm, and two of 9 mm beside each other in a chord of 22 mm."""
    board = {"length": "28 mm", "width": "17 mm", "height": "9 mm"}
    found = on(BORE, {**board, "per_load": 10})

    assert np.sqrt(28**2 - 17**2) == pytest.approx(22.2, abs=0.1)
    assert found.got("boards_per_load") == 8
    assert found.facts["boards_margin"] == pytest.approx(0.8)
    assert on(BORE, {**board, "height": "4 mm", "width": "18 mm", "length": "18 mm", "mounting": "across"}).got(
        "boards_per_load"
    ) == int((120 + 2) / 6)


SIDE = st.floats(2.0, 150.0)


@settings(max_examples=40, deadline=None)
@given(SIDE, SIDE, st.floats(1.0, 30.0), st.floats(0.1, 1.0), st.sampled_from(["across", "along"]),
       st.sampled_from(["length", "width", "height"]))  # fmt: skip
def test_a_smaller_board_never_fits_worse(
    length: float, width: float, height: float, share: float, mounting: str, side: str
) -> None:
    """Any one side shrunk, on the chain itself."""
    board = {"length": f"{length} mm", "width": f"{width} mm", "height": f"{height} mm", "mounting": mounting}
    now = {"length": length, "width": width, "height": height}[side] * MM
    space = {**BORE, "board_length": "60 mm", "board_width": "40 mm"}
    found = case(lab("insert", space=space), {f"board.{side}": np.array([now, share * now])}, board=board)
    for name in ("size_margin",):
        first, second = np.broadcast_to(found.facts[name], 2)
        assert second >= first * (1 - 1e-12)
    first, second = np.broadcast_to(found.got("boards_per_load"), 2)
    assert second >= first


def test_the_drawing_is_to_scale_and_agrees_with_the_gate() -> None:
    """Lengths in metres; the board's diagonal lies inside the usable circle exactly where the gate passes."""
    for width in ("16 mm", "26 mm", "29 mm"):
        found = on(BORE, {"length": "60 mm", "width": width, "height": "12 mm"})
        drawing = board_over_bore(found)
        section = drawing["views"][0]
        diagonal = np.hypot(section["board"]["width"], section["board"]["height"])

        assert section["space"]["diameter"] == pytest.approx(30 * MM)
        assert (diagonal <= section["usable"]["diameter"]) == drawing["fits"] == (found.facts["size_margin"] >= 1)
        assert drawing["views"][1]["board"]["height"] == pytest.approx(60 * MM)
    assert board_over_bore(case(lab("insert")))["views"] == []
