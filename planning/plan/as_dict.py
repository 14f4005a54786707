"""SetPlan -> plain data, as ``manage.py set_plan SET_ID --json`` prints it."""

import dataclasses
import math
from datetime import datetime

from planning.plan.result import SetPlan
from planning.plan.words import Words


def as_dict(plan: SetPlan) -> dict:
    """The plan as plain data for JSON: instants in ISO 8601 with offset, no NaN or Infinity."""
    return _plain(plan)


def _plain(value):
    if isinstance(value, Words):
        return str(value)
    if dataclasses.is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
