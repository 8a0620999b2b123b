"""Somebody else's numbers: every row of tests/published is one value with its source."""

from __future__ import annotations

import importlib
from pathlib import Path

import numpy as np
import pytest
import yaml

HERE = Path(__file__).parent
ROWS = [
    pytest.param(row, id=f"{path.stem}: {row['check']}")
    for path in sorted((HERE / "published").glob("*.yaml"))
    for row in yaml.safe_load(path.read_text(encoding="utf-8"))
]
REFERENCES = yaml.safe_load((HERE.parent / "rules" / "references.yaml").read_text(encoding="utf-8"))
PROVENANCES = {"published", "common practice", "from memory"}


def call(row: dict[str, object]) -> object:
    module, name = str(row["function"]).split(":")
    function = getattr(importlib.import_module(module), name)
    given = {
        key: np.asarray(value, dtype=float) if isinstance(value, list) else value
        for key, value in dict(row["given"]).items()  # type: ignore[call-overload]
    }
    return function(**given)


@pytest.mark.parametrize("row", ROWS)
def test_value_agrees_with_its_source(row: dict[str, object]) -> None:
    """The function returns what the source prints, to the digits it prints."""
    tolerance = {name: row[key] for name, key in (("atol", "absolute"), ("rtol", "relative")) if key in row}
    assert tolerance, "a row needs `absolute` or `relative`"

    np.testing.assert_allclose(
        np.asarray(call(row), dtype=float),
        np.asarray(row["expect"], dtype=float),
        **({"rtol": 0.0, "atol": 0.0} | tolerance),
    )


@pytest.mark.parametrize("row", ROWS)
def test_row_names_a_source_that_exists(row: dict[str, object]) -> None:
    """Source, place and provenance are named, and the source is in the reference list."""
    assert row["source"] in REFERENCES
    assert row["where"]
    assert row["provenance"] in PROVENANCES
