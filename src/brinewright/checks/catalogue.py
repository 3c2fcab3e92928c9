"""Every criterion there is, by code."""

import re

from brinewright.catalogue import KINDS
from brinewright.checks import (
    audit,
    balance,
    blocked,
    charge,
    chilling,
    cold,
    condensate,
    controls,
    drainage,
    feeding,
    hammer,
    holding,
    hot_rest,
    liquids,
    materials,
    metal,
    pipework,
    place,
    power,
    pressure,
    priority,
    questions,
    sense,
    sensors,
    serial,
    staging,
    steam,
    supply,
    surfaces,
    switching,
    turning,
)
from brinewright.errors import UnknownNameError
from brinewright.model.criterion import Criterion

_ORDER = re.compile(r"BW-F(\d+)([a-z]?)")


def _order(criterion: Criterion) -> tuple[int, str]:
    match = _ORDER.fullmatch(criterion.code)
    assert match, criterion.code
    return int(match[1]), match[2]


_OF_THE_LOOP: tuple[Criterion, ...] = (
    *audit.CRITERIA,
    *balance.CRITERIA,
    *blocked.CRITERIA,
    *charge.CRITERIA,
    *chilling.CRITERIA,
    *cold.CRITERIA,
    *condensate.CRITERIA,
    *controls.CRITERIA,
    *drainage.CRITERIA,
    *feeding.CRITERIA,
    *hammer.CRITERIA,
    *holding.CRITERIA,
    *hot_rest.CRITERIA,
    *liquids.CRITERIA,
    *materials.CRITERIA,
    *metal.CRITERIA,
    *pipework.CRITERIA,
    *place.CRITERIA,
    *power.CRITERIA,
    *pressure.CRITERIA,
    *priority.CRITERIA,
    *questions.CRITERIA,
    *sense.CRITERIA,
    *sensors.CRITERIA,
    *serial.CRITERIA,
    *staging.CRITERIA,
    *steam.CRITERIA,
    *supply.CRITERIA,
    *surfaces.CRITERIA,
    *switching.CRITERIA,
    *turning.CRITERIA,
)

CRITERIA: tuple[Criterion, ...] = tuple(
    sorted((*_OF_THE_LOOP, *(criterion for kind in KINDS for criterion in kind.criteria)), key=_order)
)
"""In order of their codes."""


def criterion_named(code: str) -> Criterion:
    """Return the criterion of this code, or raise `UnknownNameError` with the nearest.

    >>> criterion_named("BW-F84").severity
    'C'
    """
    for criterion in CRITERIA:
        if criterion.code == code:
            return criterion
    raise UnknownNameError(code, [criterion.code for criterion in CRITERIA], "code of a finding")
