"""Words that several models share."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field as Option

Identifier = Annotated[str, Option(pattern=r"^[a-z0-9][a-z0-9-]{0,59}$")]
Title = Annotated[str, Option(min_length=1, max_length=200)]
Experience = Literal["new", "trained", "expert"]
