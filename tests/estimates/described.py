"""One proposal on one platform, both written as plain entries, worked out by the program."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from triage.estimates.case import Case
from triage.estimates.chain import evaluate
from triage.measurements.catalogue import CATALOGUE
from triage.measurements.inputs import read_inputs
from triage.models.lab import Lab
from triage.models.proposal import Proposal
from triage.physics.kind import Numbers
from triage.source import read_text

BARE = {"title": "a device", "measurement": "charge-sensing", "device": {"addition_energy": "4 meV"}}


def lab_with(platform: Mapping[str, Any], **site: Any) -> Lab:
    """A facility with one platform."""
    return Lab.model_validate({"name": "one room", "platforms": [{"id": "it", "name": "it", **platform}], **site})


def worked(platform: Mapping[str, Any], proposal: Mapping[str, Any] | None = None,
           overrides: Mapping[str, Numbers] | None = None, **site: Any) -> Case:  # fmt: skip
    """The chain on a platform described by its entries."""
    lab = lab_with(platform, **site)
    found = Proposal.model_validate(BARE | dict(proposal or {}))
    kind = CATALOGUE[found.measurement]
    source, _ = read_text("title: a device\n", "proposal.yaml")
    assert source is not None
    inputs, problems = read_inputs(kind, found.device, source)
    assert not problems
    return evaluate(lab, lab.platforms[0], found, kind, inputs, overrides)
