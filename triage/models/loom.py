"""The lines to the sample, and what is known of the electrons at their end."""

from __future__ import annotations

import datetime
from typing import Any, Literal

from pydantic import model_validator

from triage.models.quantity import Count, Entry, Frequency, Number, Temperature


class Electrons(Entry):
    """What is known of the electron temperature on the platform's loom."""

    measured: Temperature | None = None
    at_stage: Temperature | None = None
    method: str | None = None
    date: datetime.date | None = None
    loom_changed: datetime.date | None = None
    saturation: Temperature
    exponent: Number

    @model_validator(mode="before")
    @classmethod
    def _measured_says_so(cls, raw: Any) -> Any:
        """A measured temperature rests on its method and date, unless the entry says otherwise."""
        if isinstance(raw, dict) and isinstance(raw.get("measured"), str):
            source = ", ".join(str(raw[name]) for name in ("method", "date") if raw.get(name))
            return raw | {"measured": {"value": raw["measured"], "basis": "measured", "source": source}}
        return raw


class Wiring(Entry):
    """Lines that reach the sample."""

    dc_lines: Count
    coax_lines: Count
    coax_bandwidth: Frequency | None = None
    fibres: Count
    filtering: Literal["none", "pi", "rc", "metal powder"]
