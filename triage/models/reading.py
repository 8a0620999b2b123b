"""Files to models: every problem at once, each with its line and a remedy."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from triage.errors import Problem
from triage.models.lab import Lab
from triage.models.proposal import Proposal
from triage.source import Source, read, read_text

Model = TypeVar("Model", bound=BaseModel)


def read_lab(path: Path, shown_as: str | None = None) -> tuple[Lab | None, Source | None, list[Problem]]:
    """Read and validate a `lab.yaml`."""
    return _validated(Lab, *read(path, shown_as))


def read_proposal(path: Path, shown_as: str | None = None) -> tuple[Proposal | None, Source | None, list[Problem]]:
    """Read and validate a proposal."""
    return _validated(Proposal, *read(path, shown_as))


def read_proposal_text(text: str | bytes, name: str) -> tuple[Proposal | None, Source | None, list[Problem]]:
    """Validate a proposal given as text."""
    return _validated(Proposal, *read_text(text, name))


def _validated(
    model: type[Model], source: Source | None, problems: list[Problem]
) -> tuple[Model | None, Source | None, list[Problem]]:
    if source is None:
        return None, None, problems
    if not isinstance(source.data, dict):
        return (
            None,
            source,
            [*problems, source.problem((), "the file holds no set of entries", "see the schema")],
        )
    try:
        return model.model_validate(source.data), source, problems
    except ValidationError as error:
        found = [_problem(model, source, each) for each in error.errors(include_url=False, include_input=True)]
        # A list that lost its invalid items also counts as too short; only the items themselves matter.
        kept = [each for each in found if each is not None]
        return None, source, [*problems, *kept]


_MESSAGES = {
    "missing": ("is missing", "add it"),
    "string_type": ("is not text", "write it as text"),
    "bool_parsing": ("is neither yes nor no", "write yes or no"),
    "bool_type": ("is neither yes nor no", "write yes or no"),
    "int_parsing": ("is not a whole number", "write a whole number"),
    "dict_type": ("holds no set of entries", "write entries under it"),
    "model_type": ("holds no set of entries", "write entries under it"),
    "tuple_type": ("is not a list", "write a list, each item after a dash"),
    "date_from_datetime_parsing": ("is not a date", "write it as 2026-11-25"),
    "date_parsing": ("is not a date", "write it as 2026-11-25"),
    "date_type": ("is not a date", "write it as 2026-11-25"),
}


def _problem(model: type[BaseModel], source: Source, error: Any) -> Problem | None:
    path, owner = _path(model, error["loc"])
    kind, context = error["type"], error.get("ctx", {})
    if kind == "triage":
        return source.problem(path, context["message"], context["remedy"])
    if kind == "too_short" and _lines_below(source, path):
        return None
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        choices = context.get("expected_tags") or "see the schema"
        return source.problem(path, "is of no known kind", f"use one of {choices}")
    if kind == "extra_forbidden":
        close = get_close_matches(str(path[-1]), owner, n=1)
        hint = f"did you mean '{close[0]}'?" if close else "known here: " + ", ".join(owner)
        return source.problem(path, "is not known here", hint)
    if kind == "literal_error":
        return source.problem(
            path, f"'{_short(error['input'])}' is not one of the choices", f"use {context['expected']}"
        )
    if kind == "string_pattern_mismatch":
        remedy = "use lower-case letters, digits and hyphens, at most 60"
        return source.problem(path, f"'{_short(error['input'])}' is not an id", remedy)
    message, remedy = _MESSAGES.get(kind, (str(error["msg"]).lower(), "see `cold-triage schema`"))
    return source.problem(path, message, remedy)


def _lines_below(source: Source, path: tuple[str | int, ...]) -> bool:
    return (*path, 0) in source.lines


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _path(model: type[BaseModel], loc: Iterable[str | int]) -> tuple[tuple[str | int, ...], list[str]]:
    """The path in the file: pydantic also names the branch of a union, which nobody wrote."""
    path: list[str | int] = []
    owners: list[type[BaseModel]] = [model]
    for part in loc:
        if isinstance(part, str):
            branch = [each for each in owners if _mechanism(each) == part]
            if branch and not any(part in each.model_fields for each in owners):
                owners = branch
                continue
            path.append(part)
            owners = [child for owner in owners for child in _models_in(owner, part)]
        else:
            path.append(part)
    parents = _owners(model, path[:-1])
    return tuple(path), sorted({name for each in parents for name in each.model_fields if name != "mechanism"})


def _owners(model: type[BaseModel], path: list[str | int]) -> list[type[BaseModel]]:
    owners = [model]
    for part in path:
        if isinstance(part, str):
            owners = [child for owner in owners for child in _models_in(owner, part)]
    return owners


@lru_cache(maxsize=512)
def _models_in(model: type[BaseModel], name: str) -> tuple[type[BaseModel], ...]:
    field = model.model_fields.get(name)
    return () if field is None else tuple(_flatten(field.annotation))


def _flatten(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [found for each in get_args(annotation) for found in _flatten(each)]


def _mechanism(model: type[BaseModel]) -> str | None:
    """The word that picks a model out of a union: its mechanism, or its kind."""
    for name in ("mechanism", "kind"):
        field = model.model_fields.get(name)
        choices = get_args(field.annotation) if field is not None else ()
        if choices:
            return str(choices[0])
    return None
