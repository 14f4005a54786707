"""Fields that a record and the plan's inputs share under one name."""

from dataclasses import fields
from typing import Any

from django.db.models import Model

from planning.plan.inputs import ForecastInputs, HouseRules, LocationInputs, SetInputs

Inputs = ForecastInputs | HouseRules | LocationInputs | SetInputs


def shared(record: Model, inputs: type[Inputs], *, without: tuple[str, ...] = ()) -> dict[str, Any]:
    """Return the values of every plain field that record and inputs name alike."""
    own = {field.attname for field in record._meta.concrete_fields}
    return {
        field.name: getattr(record, field.name)
        for field in fields(inputs)
        if field.name in own and field.name not in without
    }
