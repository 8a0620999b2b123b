"""New rule files in a facility's own folder: a skeleton, a copy to change, or a retirement; never overwriting."""

from __future__ import annotations

import datetime
import os
import tempfile
from pathlib import Path

from triage.errors import BadInput, Problem
from triage.reasoning.entries import did_you_mean
from triage.reasoning.limits import LONGEST_ID, shortened, usable_id
from triage.reasoning.rule import Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import GATES, Fact
from triage.services.workspace import shipped

_ALL_GATES = {gate: about for about, gates in GATES.items() for gate in gates}
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}

SKELETON = """\
# A rule of this facility. Lines that begin with # are hints; delete them when you are done.
id: {id}   # equals the file's name and never changes
title: Say in a few words what is the matter
about: {about}
gate: {gate}
status: draft   # draft: not used yet; trial: used and watched; stable: used, with examples at each threshold
# All conditions must hold. Relations: below, at most, above, at least, equal, not equal, one of.
# Facts of this gate{facts_note}:
{facts}
when:
  - {{fact: {fact}, is: {relation}, value: {value}}}
# veto: refuses the platform (physics and safety only). caution: makes it tight. credit, note: change nothing.
then: {{effect: {effect}}}
# Names in braces are filled in: facts, {{platform}}, {{given_temperature}} ... as listed in rules/facts.yaml.
because: "{because}"
trade_off: "What it costs to do otherwise."
wrong_when:   # required for a veto
  - "The case in which this rule would be mistaken."
basis: common practice   # published (give references), common practice, or from memory
since: {today}
examples:
  fires:
    - {{{fact}: {fires}}}
  silent:
    - {{{fact}: {silent}}}
"""


def write_new(rulebase: Rulebase, facility: Path, name: str, gate: str = "", effect: str = "caution",
              retire: bool = False) -> Path:  # fmt: skip
    """Write a rule file into the facility's ``rules`` folder and return its path.

    The id of a shipped rule gives a copy that overrides it, or with `retire` a file that takes it out; any
    other id gives a commented skeleton as a draft. Raises `BadInput`; a file that is there is left alone.
    """
    if not usable_id(name) or name.split(".")[0] in _RESERVED:
        raise BadInput([Problem(shortened(name), 0, "id", "is not a usable id",
                                f"use a-z, 0-9, _, - and dots, at most {LONGEST_ID} characters")])  # fmt: skip
    standing = rulebase.by_id.get(name)
    departed = next((each.shipped for each in rulebase.departures if each.rule == name), None)
    rule = departed or (standing if standing and standing.origin == "shipped" else None)
    if retire and rule is None:
        hint = did_you_mean(name, rulebase.by_id, "see `cold-triage rules list`")
        raise BadInput([Problem(name, 0, "id", "is not a shipped rule", hint)])
    text = _retired(rule) if retire and rule else _override(rule) if rule else _skeleton(rulebase, name, gate, effect)
    path = facility / "rules" / f"{name}.yaml"
    try:
        path.parent.mkdir(exist_ok=True)
        write_once(path, text)
    except FileExistsError:
        raise BadInput([Problem(str(path), 0, "", "exists already", "edit it, or choose another id")]) from None
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        raise BadInput([Problem(str(path), 0, "", reason, "use a folder that may be written")]) from None
    return path


def write_once(path: Path, text: str) -> None:
    """Write a file whole, or not at all where there is one already (`FileExistsError`)."""
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem[:40]}-", suffix=".tmp")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o644)
        try:
            os.link(temporary, path)  # fails where the name is taken, in one step
        except FileExistsError:
            raise
        except OSError:  # a file system without links
            with path.open("x", encoding="utf-8") as file:
                file.write(text)
    finally:
        Path(temporary).unlink(missing_ok=True)


def _override(rule: Rule) -> str:
    """The shipped file with the lines that a departure needs, to be filled in."""
    text = (shipped("rules").parent / rule.source.file).read_text(encoding="utf-8")
    first, _, rest = text.partition("\n")
    return (
        f"{first}\noverride:   # who changes the shipped rule, and why; shown wherever the rule speaks\n"
        f"  who: \n  why: \n{rest}"
    )


def _retired(rule: Rule) -> str:
    return (
        f"# Takes the shipped rule out of force here: {rule.title}.\nid: {rule.id}\n"
        "retire:   # who retires it, and why\n  who: \n  why: \n"
    )


def _skeleton(rulebase: Rulebase, name: str, gate: str, effect: str) -> str:
    gate = gate or name.split(".")[0]
    if gate not in _ALL_GATES:
        raise BadInput([Problem(name, 0, "gate", f"'{shortened(gate)[1:-1]}' is not a gate",
                                "begin the id with one of, or give --gate: " + ", ".join(_ALL_GATES))])  # fmt: skip
    facts = [fact for fact in rulebase.vocabulary.facts.values() if fact.gate == gate]
    first = next(fact for fact in sorted(facts, key=lambda fact: (fact.kind != "number", not _margin(fact))))
    relation, value, fires, silent = _example(first)
    about = _ALL_GATES[gate]
    subject = {"platform": "{platform}", "layer": "{layer}", "proposal": "The proposal"}[about]
    return SKELETON.format(
        id=name, about=about, gate=gate, effect=effect, fact=first.name, relation=relation, value=value,
        fires=fires, silent=silent, today=datetime.date.today().isoformat(),
        facts_note="; facts of other gates may be used too" if about == "platform" else "",
        facts="\n".join(f"#   {fact.name} ({_can_be(fact)}): {fact.meaning}" for fact in facts),
        because=f"{subject} is in the way: {first.name} is {{{first.name}}}.",
    )  # fmt: skip


def _margin(fact: Fact) -> bool:
    return fact.name.endswith("_margin")


def _example(fact: Fact) -> tuple[str, str, str, str]:
    """Relation, value, a value that fires and one that does not."""
    if fact.kind == "word":
        return "equal", *(f'"{word}"' for word in (fact.words[0], fact.words[0], fact.words[-1]))  # type: ignore[return-value]
    if fact.unit:
        return "at least", f"1 {fact.unit}", f"1 {fact.unit}", f"0 {fact.unit}"
    return "below", "1", "0.5", "1"


def _can_be(fact: Fact) -> str:
    if fact.kind == "word":
        return ", ".join(fact.words)
    return f"a number with a unit such as {fact.unit}" if fact.unit else "a number"
