"""The rules run by durable-rules: the only module that imports it, and the only one that knows its ways.

The library's compiled engine is driven directly, within the part of it that is known to be sound:
conditions on one fact at a time, asserted singly, in a session that is always deleted. Its Python layer
is left out: it starts threads that race, swallows exceptions and drops rules after ten seconds.
Conclusions reach later rules as part of the next fact, stratum by stratum.
"""

from __future__ import annotations

import itertools
import json
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib.metadata import version
from typing import Any

from triage.errors import RuleEngineError
from triage.reasoning import plain
from triage.reasoning.firing import FactSet, Firing, checked, firing
from triage.reasoning.rule import CONCLUDED, MOST_CONDITIONS, Condition, Rule
from triage.reasoning.rulebase import Rulebase
from triage.reasoning.vocabulary import GATES, Value

_library: Any = None
_missing = ""
try:
    import durable_rules_engine as _library  # type: ignore[import-not-found,no-redef]
except Exception as error:  # a broken build of the extension can fail in any way
    _missing = f"{type(error).__name__}: {error}"

_MOST_IN_GROUP = 56  # conditions under one kind; a fact that satisfies more than 64 is refused
_SESSION = "session"
_TRUE = "1.0"
_OPERATORS = {"below": "$lt", "at most": "$lte", "above": "$gt", "at least": "$gte", "not equal": "$neq"}


def name() -> str:
    """Which evaluator `fire` uses, and why not the other one."""
    if _missing:
        return f"plain evaluator (durable-rules is not importable: {_missing})"
    return f"durable-rules {_version()}"


def fire(rulebase: Rulebase, facts: Sequence[FactSet]) -> list[Firing]:
    """Every rule that fires, in the order of the fact sets given and then by rule id.

    Raises `RuleEngineError` for facts that no rule may see (not finite, of the wrong kind) and when the
    library fails; the findings are then not to be trusted.
    """
    if _missing:
        return plain.fire(rulebase, facts)
    values = [checked(given, rulebase.vocabulary) for given in facts]
    fired = _built(rulebase).fire([given.about for given in facts], values)
    return [
        firing(given, rulebase.by_id[rule], known)
        for given, known, rules in zip(facts, values, fired, strict=True)
        for rule in sorted(rules)
    ]


@lru_cache(maxsize=1)
def _version() -> str:
    return version("durable-rules")


_Variant = tuple[Rule, tuple[Condition, ...]]


@dataclass(frozen=True)
class _Group:
    """Rules about one subject in one stratum, few enough for one fact."""

    kind: str
    about: str
    stratum: int
    variants: tuple[_Variant, ...]

    @cached_property
    def properties(self) -> tuple[str, ...]:
        """What its rules look at; the fact carries nothing else."""
        conditions = itertools.chain.from_iterable(conditions for _, conditions in self.variants)
        return tuple(dict.fromkeys(map(_property, conditions)))


def _groups(rulebase: Rulebase) -> Iterator[_Group]:
    for depth, stratum in enumerate(rulebase.strata):
        for about in GATES:
            chunks = _chunks(variant for rule in stratum if rule.about == about for variant in _variants(rule))
            for number, chunk in enumerate(chunks):
                yield _Group(f"{about}/{depth}/{number}", about, depth, chunk)


def _variants(rule: Rule) -> Iterator[_Variant]:
    """The rule once for every way to satisfy its `one of` conditions, since `$or` fires once per branch."""
    if len(rule.when) > MOST_CONDITIONS:
        raise RuleEngineError(f"{rule.id} has more than {MOST_CONDITIONS} conditions")
    choices = [
        [Condition(condition.fact, "equal", (value,)) for value in condition.values]
        if condition.relation == "one of"
        else [condition]
        for condition in rule.when
    ]
    for chosen in itertools.product(*choices):
        yield rule, chosen


def _chunks(variants: Iterable[_Variant]) -> Iterator[tuple[_Variant, ...]]:
    chunk: list[_Variant] = []
    used = 0
    for variant in variants:
        if chunk and used + len(variant[1]) > _MOST_IN_GROUP:
            yield tuple(chunk)
            chunk, used = [], 0
        chunk.append(variant)
        used += len(variant[1])
    if chunk:
        yield tuple(chunk)


def _text(value: Value) -> str:
    """A value as the library's JSON reader takes it: an exponent is read only after a decimal point."""
    if isinstance(value, str):
        return json.dumps(value)
    text = repr(value)
    return text if "." in text else text.replace("e", ".0e")


def _property(condition: Condition) -> str:
    return _concluded(condition.fact) if condition.relation == CONCLUDED else condition.fact


def _concluded(name: str) -> str:
    return f"concluded:{name}"


def _condition(condition: Condition) -> str:
    value = _TRUE if condition.relation == CONCLUDED else _text(condition.values[0])
    test = f'{{"{_property(condition)}":{value}}}'
    operator = _OPERATORS.get(condition.relation)
    return f'{{"{operator}":{test}}}' if operator else test


def _definition(kind: str, conditions: Iterable[Condition], last: bool = False) -> str:
    """One rule for the library; a higher `pri` comes later."""
    tests = ",".join([f'{{"kind":"{kind}"}}', *map(_condition, conditions)])
    return f'{{"all":[{{"m":{{"$and":[{tests}]}}}}],"pri":{int(last)}}}'


class _Engine:
    """One rule base built for the library; never freed by it, so built once per process."""

    def __init__(self, rulebase: Rulebase) -> None:
        self._lock = threading.Lock()
        self._sessions = itertools.count(1)
        self._groups = tuple(_groups(rulebase))
        self._rules: dict[str, dict[str, Rule]] = {_SESSION: {}}
        definitions = {_SESSION: _definition(_SESSION, ())}
        for group in self._groups:
            rules = self._rules[group.kind] = {}
            for rule, conditions in group.variants:
                key = f"r{len(definitions)}"
                rules[key] = rule
                definitions[key] = _definition(group.kind, conditions)
            # Matches every fact of the kind, after all other rules: no fact is ever left unmatched,
            # and its absence shows that the library dropped rules.
            definitions[group.kind] = _definition(group.kind, (), last=True)
        text = ",".join(f'"{key}":{definition}' for key, definition in definitions.items())
        try:
            self._handle = _library.create_ruleset("rules", f"{{{text}}}")
        except Exception as error:
            raise RuleEngineError(f"durable-rules does not accept the rules: {error}") from error

    def fire(self, abouts: Sequence[str], values: Sequence[Mapping[str, Value]]) -> list[set[str]]:
        """The ids of the rules that fire, for each set of values."""
        with self._lock:
            session = f"s{next(self._sessions)}"
            # Deleting a session in which no fact ever matched crashes the process, so one always does.
            self._assert(session, "0", _SESSION, "")
            try:
                return [
                    self._fire_one(session, str(number), about, known)
                    for number, (about, known) in enumerate(zip(abouts, values, strict=True), start=1)
                ]
            finally:
                _library.delete_state(self._handle, session)

    def _fire_one(self, session: str, number: str, about: str, values: Mapping[str, Value]) -> set[str]:
        found: set[str] = set()
        known = {key: _text(value) for key, value in values.items()}
        own = [group for group in self._groups if group.about == about]
        for _, stratum in itertools.groupby(own, key=lambda group: group.stratum):
            fired: list[Rule] = []
            for group in stratum:
                fields = ",".join(f'"{key}":{known[key]}' for key in group.properties if key in known)
                fact = f"{number}:{group.kind}"
                fired += self._assert(session, fact, group.kind, fields)
            found.update(rule.id for rule in fired)
            known |= {_concluded(rule.conclude): _TRUE for rule in fired if rule.conclude}
        return found

    def _assert(self, session: str, fact: str, kind: str, fields: str) -> list[Rule]:
        """Assert one fact; returns the rules that fire on it, once for each variant that matches."""
        text = f'{{"sid":"{session}","id":"{fact}","kind":"{kind}"{"," if fields else ""}{fields}}}'
        rules = self._rules[kind]
        try:
            keys = list(itertools.islice(self._agenda(text), len(rules) + 2))
            *fired, end = keys
            found = [rules[key] for key in fired]
        except Exception as error:
            raise RuleEngineError(f"durable-rules failed on fact {fact}: {error!r}") from error
        if end != kind:
            raise RuleEngineError(f"durable-rules did not end with the last rule on fact {fact}")
        return found

    def _agenda(self, text: str) -> Iterator[str]:
        status, state = _library.assert_fact(self._handle, text)
        if status != 0:
            raise RuleEngineError(f"not accepted, status {status}")
        started = _library.start_action_for_state(self._handle, state)
        due = started[1] if started else None
        while due:
            yield due[2 : due.index('"', 2)]  # the text begins {"key":
            due = _library.complete_and_start_action(self._handle, state)


_engines: dict[str, _Engine] = {}
_building = threading.Lock()


def _built(rulebase: Rulebase) -> _Engine:
    with _building:
        engine = _engines.get(rulebase.content)
        if engine is None:
            engine = _engines[rulebase.content] = _Engine(rulebase)
        return engine
