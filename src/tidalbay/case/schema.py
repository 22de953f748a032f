"""The JSON Schema of a case file: what editors check against, and where sentences find their words."""

import copy
from functools import cache
from typing import Any, Final

from tidalbay.case.model import Case
from tidalbay.catalogue.acts import ActKind, Argument, acts
from tidalbay.catalogue.causes import Cause, causes
from tidalbay.catalogue.patients import PatientField, patient_fields

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def case_schema() -> dict[str, Any]:
    """Return the JSON Schema of a case file, draft 2020-12.

    Every field has its description, and every number its range and, under `unit`, its unit.  Numbers
    of a patient, arguments of acts and causes of events come from the catalogue.
    """
    return copy.deepcopy(cached_schema())


@cache
def cached_schema() -> dict[str, Any]:
    """Return the schema without copying it; not to be changed."""
    schema = Case.model_json_schema(by_alias=True)
    parts = schema["$defs"]
    for part in ("PatientSaid", "FormPatient"):
        _flatten(parts[part], "numbers", {name: _of_field(field) for name, field in patient_fields().items()})
    for part in ("ActWanted", "Never"):
        _flatten(parts[part], "values", _asked_arguments())
    for part in ("ScriptedAct", "ActPattern"):
        _flatten(parts[part], "values", {})
        needs_all = part == "ScriptedAct"
        parts[part]["allOf"] = [_of_act(kind, needs_all) for kind in acts().values()]
        del parts[part]["additionalProperties"]
        parts[part]["unevaluatedProperties"] = False
    parts["Event"]["properties"]["sets"] |= {
        "properties": {cause.id: _of_cause(cause) for cause in causes().values()},
        "additionalProperties": False,
    }
    return {"$schema": DIALECT, **schema, "title": "case", "description": str(Case.__doc__)}


def fragment(path: tuple[str | int, ...]) -> dict[str, Any]:
    """Return what the schema says about the value at a path of a case; empty where it says nothing."""
    here: dict[str, Any] = cached_schema()
    for step in path:
        here = _resolved(here)
        if isinstance(step, int):
            first = here.get("prefixItems", [])
            here = first[step] if step < len(first) else here.get("items", {})
        else:
            inside = here.get("properties", {})
            others = [*here.get("patternProperties", {}).values(), here.get("additionalProperties")]
            other = next((part for part in others if isinstance(part, dict)), {})
            here = inside.get(step, other)
    return _resolved(here)


def _resolved(part: dict[str, Any]) -> dict[str, Any]:
    """Follow a reference, and leave out the null of a field that may be empty."""
    if "anyOf" in part:
        real = [option for option in part["anyOf"] if option.get("type") != "null"]
        part = {**{name: value for name, value in part.items() if name != "anyOf"}, **real[0]}
    if "oneOf" in part:
        part = {**part, **part["oneOf"][0]}
    if "$ref" in part:
        target = cached_schema()["$defs"][part["$ref"].rsplit("/", 1)[1]]
        part = {**target, **{name: value for name, value in part.items() if name != "$ref"}}
    return part


def _flatten(part: dict[str, Any], gathered: str, fields: dict[str, Any]) -> None:
    part["properties"].pop(gathered)
    part["properties"] = fields | part["properties"]


def _of_field(field: PatientField) -> dict[str, Any]:
    if field.choices:
        return {"type": "string", "enum": list(field.choices), "description": field.about}
    return {
        "type": "number",
        "minimum": field.low,
        "maximum": field.high,
        "unit": field.unit,
        "description": field.about,
    }


def _of_act(kind: ActKind, needs_all: bool) -> dict[str, Any]:
    properties = {argument.name: _of_argument(argument) for argument in kind.arguments.values()}
    required = [argument.name for argument in kind.arguments.values() if not argument.optional]
    then: dict[str, Any] = {"properties": properties}
    if needs_all and required:
        then["required"] = required
    return {"if": {"properties": {"act": {"const": kind.id}}, "required": ["act"]}, "then": then}


def _asked_arguments() -> dict[str, Any]:
    """Every argument of every act, as a criterion asks for it: a value, or bounds."""
    names = dict.fromkeys(argument for kind in acts().values() for argument in kind.arguments)
    about = "What this argument must be: a value, or bounds."
    return {name: {"description": about, "gathered": True} for name in names}


def _of_argument(argument: Argument) -> dict[str, Any]:
    said: dict[str, Any] = {"description": argument.about} if argument.about else {}
    match argument.type:
        case "number" | "whole":
            whole = "integer" if argument.type == "whole" else "number"
            said |= {"type": whole, "minimum": argument.low, "maximum": argument.high, "unit": argument.unit}
        case "choice":
            said |= {"type": "string", "enum": list(argument.choices)}
        case "yes_no":
            said |= {"type": "boolean"}
        case "finding":
            said |= {"type": ["number", "string"]}
        case "fields":
            said |= {"type": "object"}
        case _:
            said |= {"type": "string"}
    return said


def _of_cause(cause: Cause) -> dict[str, Any]:
    said: dict[str, Any] = {"description": cause.sentence}
    match cause.type:
        case "choice":
            return said | {"type": "string", "enum": list(cause.choices)}
        case "yes_no":
            return said | {"type": "boolean"}
        case "yes":
            return said | {"const": True}
    if cause.numbers:
        said |= {"enum": list(cause.numbers)}
    whole = "integer" if cause.type == "whole" else "number"
    return said | {"type": whole, "minimum": cause.low, "maximum": cause.high, "unit": cause.unit}
