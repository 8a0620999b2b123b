"""The three qualities of an answer: a feature seen, a quantity measured, a number fit to publish."""

from __future__ import annotations

from typing import Literal

Tier = Literal["see", "measure", "publish"]
TIERS: tuple[Tier, ...] = ("see", "measure", "publish")
