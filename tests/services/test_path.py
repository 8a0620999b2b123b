"""The path of a proposal, from its file to the ladders."""

from __future__ import annotations

import pytest

from triage.errors import BadInput
from triage.services.assess import assess, path_of
from triage.services.workspace import demonstration, open_facility, read_request, read_request_text

FILE = demonstration() / "proposals" / "many-islands.yaml"
TEXT = FILE.read_text(encoding="utf-8")


def test_screens_come_before_the_cold_run_and_pay() -> None:
    """Both screens lead, and going without them takes more than twice as long and twice the money."""
    found = path_of(open_facility(), read_request(FILE))
    best = found.best
    assert best is not None
    plain = next(each for each in found.ladders if len(each.stages) == 1)

    assert best.stages == ("bath-stick", "helium-3-insert", "wet-dilution")
    assert best.chance >= 0.9
    assert plain.minutes > 2 * best.minutes
    assert plain.cost > 2 * best.cost
    assert found.quantiles["50%"] < found.quantiles["90%"]  # type: ignore[operator]


def test_the_recommendation_names_the_same_path() -> None:
    """`assess` and `path` do not disagree."""
    assert assess(open_facility(), read_request(FILE)).path == path_of(open_facility(), read_request(FILE)).best.stages  # type: ignore[union-attr]


def test_the_cleanroom_makes_as_many_chips_as_the_path_starts() -> None:
    """One device a chip: the route's good chips are the devices that start on the path."""
    answer = assess(open_facility(), read_request(FILE))
    assert answer.route is not None
    assert answer.route.recommended is not None

    assert answer.devices_to_start == path_of(open_facility(), read_request(FILE)).best.devices  # type: ignore[union-attr]
    assert f"{answer.devices_to_start} good" in answer.route.sentence


def test_more_devices_lost_per_cycle_never_need_fewer_devices() -> None:
    """Attrition asks for more devices on every ladder."""
    rough = read_request_text(TEXT.replace("lost_per_cycle: 1 %", "lost_per_cycle: 8 %"))
    before = {each.stages: each.devices for each in path_of(open_facility(), read_request(FILE)).ladders}
    after = {each.stages: each.devices for each in path_of(open_facility(), rough).ladders}

    assert all(after[stages] >= devices for stages, devices in before.items())


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("working: 20 %", "screened: helium", "devices.working: is missing"),
        ("platform: bath-stick", "platform: bath-stik", "there is no platform 'bath-stik'"),
        ("good: 3", "good: 0", "campaign.good"),
        ("keeps_good: 95 %", "keeps_good: 195 %", "is above 1"),
    ],
)
def test_mistakes_are_named(old: str, new: str, says: str) -> None:
    """Each with its line."""
    with pytest.raises(BadInput) as caught:
        path_of(open_facility(), read_request_text(TEXT.replace(old, new)))

    assert any(says in str(each) for each in caught.value.problems)


def test_a_proposal_without_a_campaign_is_told_what_to_add() -> None:
    """Not every proposal has a path."""
    with pytest.raises(BadInput, match="campaign"):
        path_of(open_facility(), read_request(demonstration() / "proposals" / "electrometer.yaml"))


def test_too_few_devices_make_no_path() -> None:
    """With five devices three good ones of a yield of 0.2 cannot be promised."""
    found = path_of(open_facility(), read_request_text(TEXT.replace("good: 3\n", "good: 3\n  candidates: 5\n")))

    assert found.best is None
    assert all("are there" in each.reason for each in found.ladders)
