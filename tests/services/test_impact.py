"""What an edit of the rules does to the demonstration library, and what the library exercises."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
import yaml

from triage.errors import BadInput
from triage.services.assess import assess
from triage.services.coverage import Coverage, coverage
from triage.services.impact import impact
from triage.services.library import assess_all
from triage.services.rule_files import write_new
from triage.services.workshop import open_rules
from triage.services.workspace import Facility, demonstration, open_facility, read_request

SMALL = ("cold-multiplexer", "electrometer-large-island", "gate-recipe", "large-board", "tip-map")


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Facility:
    """The demonstration facility with a few of its proposals, for tests that do not need them all."""
    folder = tmp_path_factory.mktemp("small")
    (folder / "proposals").mkdir()
    for name in ("lab", *(f"proposals/{each}" for each in SMALL)):
        (folder / f"{name}.yaml").write_bytes((demonstration() / f"{name}.yaml").read_bytes())
    return open_facility(folder)


@lru_cache(maxsize=1)
def library() -> Facility:
    return open_facility()


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    folder = tmp_path / "lab"
    folder.mkdir()
    return folder


def own(lab: Path, name: str, **changes: object) -> Path:
    """A copy of a shipped rule in a facility's folder, changed and signed."""
    path = write_new(open_rules(), lab, name)
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    data |= {"override": {"who": "a person", "why": "a reason"}, "since": str(data["since"]), **changes}
    path.write_text(yaml.safe_dump(data, allow_unicode=True), encoding="utf-8")
    return path


@lru_cache(maxsize=1)
def decided() -> dict[str, tuple[str | None, str | None]]:
    assessed, _ = assess_all(library(), making=False)
    return {each.name: (each.answer.recommended, each.answer.verdict) for each in assessed}


def test_an_edit_flips_just_the_decisions_that_hang_on_it(lab: Path) -> None:
    """A board needs half again the room: worked out from the margins, and then by assessing.

    With the veto at 1.5 in place of 1, a platform that serves falls out just where its size margin lies between.
    """
    narrower = [{"fact": "size_margin", "is": "below", "value": "1.5"}]
    path = own(lab, "size.does-not-enter", when=narrower, status="trial", examples=None)
    expected = set()
    for each in assess_all(library(), making=False)[0]:
        best = each.answer.platform(each.answer.recommended)
        if best is not None and 1 <= float(best.facts.get("size_margin", 9.0)) < 1.5:
            expected.add(each.name)
    assert 0 < len(expected) < len(library().proposals())

    found = impact(library(), path, lab)

    lost = {each.proposal for each in found.flips if each.before.platform != each.after.platform}
    assert lost == expected
    assert found.edited == ("size.does-not-enter",)
    for each in found.changes:
        assert any("now veto size.does-not-enter" in because for because in each.because)
        before = decided()[each.proposal]
        assert (each.before.platform, each.before.verdict) == before


def test_what_impact_says_is_what_the_facility_would_answer(small: Facility, lab: Path) -> None:
    """Each decision after the edit is that of a facility with the edited rule in its folder."""
    path = own(lab, "turnaround.nearly-there-now", status="trial", examples=None, when=[
        {"fact": "thermal_margin", "is": "at least", "value": "0.7"},
        {"fact": "thermal_margin", "is": "below", "value": "1"},
        {"fact": "weeks_sooner", "is": "at least", "value": "40"},
    ])  # fmt: skip
    (lab / "lab.yaml").write_bytes((demonstration() / "lab.yaml").read_bytes())
    edited = open_facility(lab)
    decided = {each.name: (each.answer.recommended, each.answer.verdict) for each in assess_all(small)[0]}

    found = impact(small, path, lab)

    assert found.flips
    after = {each.proposal: each.after for each in found.flips}
    for proposal in small.proposals():
        answer = assess(edited, read_request(proposal), thorough=False)
        expected = after.get(proposal.stem)
        now = (expected.platform, expected.verdict) if expected else decided[proposal.stem]
        assert (answer.recommended, answer.verdict) == now


def test_an_edit_that_changes_no_outcome_flips_nothing(small: Facility, lab: Path) -> None:
    """Other words, the same decisions; and a rule whose edit is no edit is none."""
    words = own(lab, "size.does-not-enter", trade_off="Another sentence.")

    found = impact(small, words, lab)

    assert found.flips == ()
    assert found.edited == ("size.does-not-enter",)


def test_a_draft_is_tried_as_if_it_were_in_force(small: Facility, lab: Path) -> None:
    """Its author sees what it would do; a new rule by its id within the facility's folder."""
    path = write_new(open_rules(), lab, "size.tight-for-us")
    text = path.read_text(encoding="utf-8").replace("fact: boards_margin", "fact: size_margin")
    text = text.replace("value: 1}", "value: 1.4}").replace("{boards_margin: 1}", "{size_margin: 1.4}")
    path.write_text(text.replace("{boards_margin: 0.5}", "{size_margin: 1.3}"), encoding="utf-8")

    found = impact(small, Path("size.tight-for-us"), lab)

    assert found.edited == ("size.tight-for-us",)
    assert found.changes
    assert all("now caution size.tight-for-us" in " ".join(each.because) for each in found.changes)


def test_a_file_beside_the_facility_is_tried_over_its_rules(small: Facility, lab: Path, tmp_path: Path) -> None:
    """The facility's own rules stand on both sides; nothing is written into its folder."""
    own(lab, "size.does-not-enter", when=[{"fact": "size_margin", "is": "below", "value": "1.5"}], status="trial",
        examples=None)  # fmt: skip
    edit = tmp_path / "edit"
    edit.mkdir()
    own(edit, "size.does-not-enter", when=[{"fact": "size_margin", "is": "below", "value": "1"}])
    before = sorted(path.name for path in lab.rglob("*"))

    found = impact(small, edit / "rules" / "size.does-not-enter.yaml", lab)
    folder = impact(small, edit, lab)

    assert found.flips
    assert any("no longer veto size.does-not-enter" in each for each in found.flips[0].because)
    assert found == folder
    assert sorted(path.name for path in lab.rglob("*")) == before


def test_a_rule_about_layers_tells_of_the_routes(small: Facility, lab: Path) -> None:
    """Refusing the electron beam where its time is asked changes how some device is made."""
    path = own(lab, "route.feature-too-small", when=[{"fact": "feature_margin", "is": "below", "value": "2"}],
               status="trial", examples=None)  # fmt: skip

    found = impact(small, path, lab)

    assert any(each.before.making != each.after.making for each in found.flips)


@pytest.mark.parametrize("content", ["", "id: x", "id: size.does-not-enter\nwhen: []", "- a"])
def test_an_edit_that_cannot_be_read_is_refused(small: Facility, lab: Path, tmp_path: Path, content: str) -> None:
    """Nothing is assessed on half of an edit."""
    path = tmp_path / "size.does-not-enter.yaml"
    path.write_text(content, encoding="utf-8")

    with pytest.raises(BadInput) as error:
        impact(small, path, lab)

    assert all(each.file.endswith("size.does-not-enter.yaml") for each in error.value.problems)


def test_no_edit_there(small: Facility, lab: Path, tmp_path: Path) -> None:
    """A name that is nothing, an empty folder, a link to elsewhere."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "links").mkdir()
    (tmp_path / "links" / "x.yaml").symlink_to(demonstration() / "lab.yaml")
    for edit, message in (("nothing", "is no file"), ("empty", "holds no rule"), ("links", "is a link")):
        with pytest.raises(BadInput, match=message):
            impact(small, tmp_path / edit, lab)


@pytest.fixture(scope="module")
def covered(small: Facility) -> Coverage:
    return coverage(small)


def test_coverage_counts_the_findings_of_the_library(small: Facility, covered: Coverage) -> None:
    """Each count is that of the answers; a rule that never fires is named."""
    assessed, _ = assess_all(small)
    fired: dict[str, int] = {}
    for each in assessed:
        routes = [layer.findings for plan in (each.route.plans if each.route else ()) for layer in plan.layers]
        for findings in (*(one.findings for one in each.answer.platforms), *routes, each.answer.remarks):
            for finding in findings:
                fired[finding.rule] = fired.get(finding.rule, 0) + 1

    assert {each.rule.id: each.firings for each in covered.rules if each.firings} == fired
    assert {rule.id for rule in covered.never} == {rule.id for rule in small.rulebase.rules} - fired.keys()
    assert covered.proposals == len(small.proposals())


def test_thresholds_say_how_near_the_library_comes(small: Facility, covered: Coverage) -> None:
    """The nearest fact is the nearest: for the thermal veto looked up by hand in every answer."""
    margins = [float(each.facts["thermal_margin"]) for one in assess_all(small, making=False)[0]
               for each in one.answer.platforms if "thermal_margin" in each.facts]  # fmt: skip
    nearest = min(margins, key=lambda margin: abs(margin - 0.7))

    found = next(each for each in covered.thresholds if each.rule.id == "temperature.electrons-too-warm")

    assert found.nearest == nearest
    assert found.near == (abs(nearest - 0.7) <= 0.25 * 0.7)
    assert any(each.nearest is None and not each.near for each in covered.thresholds)
