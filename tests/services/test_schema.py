"""The schemas that editors use: valid JSON Schema, and of one mind with the program about what ships."""

from __future__ import annotations

from pathlib import Path

import jsonschema
import pytest
import yaml

from triage.services.schema import schema_of
from triage.services.workspace import demonstration

PROPOSALS = sorted((demonstration() / "proposals").glob("*.yaml"))


def as_editors_see_it(path: Path) -> dict:
    """YAML as an editor's language server reads it, dates as text."""

    def plain(data: object) -> object:
        if isinstance(data, dict):
            return {key: plain(value) for key, value in data.items()}
        if isinstance(data, list):
            return [plain(value) for value in data]
        return data.isoformat() if hasattr(data, "isoformat") else data

    return plain(yaml.safe_load(path.read_text(encoding="utf-8")))  # type: ignore[return-value]


@pytest.mark.parametrize("what", ["lab", "proposal"])
def test_schema_is_a_schema(what: str) -> None:
    """The 2020-12 metaschema accepts it."""
    jsonschema.Draft202012Validator.check_schema(schema_of(what))


@pytest.mark.parametrize("path", PROPOSALS, ids=[path.stem for path in PROPOSALS])
def test_shipped_proposals_pass(path: Path) -> None:
    """What the program accepts, the schema accepts."""
    jsonschema.validate(as_editors_see_it(path), schema_of("proposal"))


def test_shipped_lab_passes() -> None:
    """The demonstration facility, without what archetypes fill in."""
    jsonschema.validate(as_editors_see_it(demonstration() / "lab.yaml"), schema_of("lab"))


@pytest.mark.parametrize(
    ("what", "data"),
    [
        ("proposal", {"measurement": "coulomb-diamonds"}),
        ("proposal", {"title": "t", "measurement": "coulomb-dimonds"}),
        ("proposal", {"title": "t", "measurement": "coulomb-diamonds", "teir": "see"}),
        ("lab", {"name": "x", "platforms": [{"id": "a", "name": "a"}]}),
        ("lab", {"name": "x", "platforms": [{"id": "a", "name": "a", "kind": "helium bath stik"}]}),
    ],
)
def test_schema_refuses_what_the_program_refuses(what: str, data: dict) -> None:
    """Missing titles, unknown kinds, unknown entries."""
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, schema_of(what))
