"""The page of fields in the documentation, printed from the schema and the catalogue."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from tidalbay.case.schema import cached_schema
from tidalbay.catalogue.acts import Argument, acts
from tidalbay.catalogue.causes import Cause, causes, condition_readings
from tidalbay.catalogue.fault import said
from tidalbay.catalogue.patients import patient_fields, presets

_PARTS = (
    "PatientSaid",
    "Order",
    "Setup",
    "Supply",
    "FlowmeterSet",
    "DeviceSet",
    "FaceSet",
    "ScriptedAct",
    "Event",
    "Condition",
    "ActPattern",
    "After",
    "CheckOff",
    "Decision",
    "Criterion",
    "ActWanted",
    "ReadingSaid",
    "While",
    "Window",
    "Never",
    "Charted",
    "SaidAloud",
    "Agreement",
    "AtLeast",
    "Debrief",
    "Caption",
    "ParallelForm",
    "FormPatient",
    "Believed",
)

# Their numbers have a section of their own.
_WITH_NUMBERS = ("patient", "form's patient")

_HEAD = """\
# Cases

A case is one text file (YAML): a patient, an order, what stands in the room, what happens, and runs to play.
This page is printed from the schema and the catalogue; a test fails when it is stale.

For teaching and assessment with simulated patients only; not for the care of any person. The order, local
policy, the device's own instructions and licensed practice come first.

A time is written `2:30` (minutes and seconds), `90 s` or `2 min`. Names are small letters, digits, `_`
and `-`. Yes and no are written `true` and `false`. A case says everything where it stands: no references, no
tags.

```yaml
schema: 1
id: first-day
title: The first day after an operation
teaches: Sitting up and enough pain relief mend what oxygen only covers.
patient: {name: Mr T. Oakley, preset: post_operative, shunt_frac: 0.26}
order:
  text: Oxygen by nasal cannula, 2 L/min. Saturation 94 to 98 %.
  target_spo2_pct: [94, 98]
setup:
  supplies:
    - {id: wall_oxygen, kind: wall_oxygen, flowmeter: {id: wall_flowmeter, max_lpm: 15}}
  devices:
    - {id: cannula, kind: nasal_cannula, connected_to: wall_flowmeter, worn: false}
minutes: 20
paths:
  good:
    - {at: 1:30, act: flow_set, on: wall_flowmeter, flow_lpm: 2}
    - {at: 1:50, act: device_placed, on: cannula}
events:
  - {id: lunch, at: 14 min, on: cannula, sets: {device_off: true}}
forms:
  - id: b
    patient: {name: Mr H. Selwick, age_years: 63, shunt_frac: 0.25}
believed:
  - {path: good, at: 1 min, reading: spo2_shown_pct, between: [88, 92]}
```

## Parallel forms

The learner who comes out tells the next one who lies there and what the oximeter read. `forms` writes
down other patients in the same trouble: another name (and so another wristband), and a few numbers that
differ a little. Everything that a form does not write is as in the case: order, set-up, events, criteria,
questions. Today gives the next learner the form that was not used last at that station, and says which;
the record, the debrief and the report name it. The case as it is written is form A.

`believed` says what a clinician would believe of a path at a moment. `tidalbay check` plays every form on
those paths and on the path `good`, and finds a form that leaves a believed range, or in which a criterion
that the good path meets can no longer be met: with the form's line, and with the numbers to bring nearer
to the case's own. What a script reads out or charts is taken, in each form, as that form showed it.

Keep the sex of the case, since its words say he or she, and change little at a time: age by some years,
the size of the shunt by one or two hundredths, a temperature by tenths. `tidalbay run my-case.yaml --form
b` shows what becomes of it.
"""


def case_page() -> str:
    """Return the page, Markdown, ending in a newline."""
    schema = cached_schema()
    parts = schema["$defs"]
    sections = [_HEAD, _part_section("The case", schema, schema)]
    for name in _PARTS:
        title = f"{parts[name]['title'][:1].upper()}{parts[name]['title'][1:]}"
        sections.append(_part_section(title, parts[name], schema))
    sections += [_preset_section(), _number_section(), _act_section(), _cause_section(), _reading_section()]
    return "\n".join(sections)


def _part_section(title: str, part: Mapping[str, Any], schema: Mapping[str, Any]) -> str:
    needed = part.get("required", ())
    rows = [
        (f"`{name}`", _kind(field, schema), _default(name, field, needed), field.get("description", ""))
        for name, field in part["properties"].items()
        if not (name in patient_fields() and part.get("title") in _WITH_NUMBERS) and not field.get("gathered")
    ]
    about = part.get("description", "")
    return f"## {title}\n\n{about}\n\n" + _table(("field", "holds", "if not said", "meaning"), rows)


def _kind(field: Mapping[str, Any], schema: Mapping[str, Any]) -> str:
    options = [option for option in field.get("anyOf", ()) if option.get("type") != "null"]
    field = {**field, **options[0]} if options else field
    if "$ref" in field:
        return str(schema["$defs"][field["$ref"].rsplit("/", 1)[1]]["title"])
    if "const" in field:
        return said(field["const"])
    if "oneOf" in field:
        first, other = field["oneOf"]
        is_one_or_more = other.get("items") == first
        return _kind(first, schema) + (", or a list" if is_one_or_more else f" or {_kind(other, schema)}")
    if "enum" in field:
        return ", ".join(f"`{word}`" for word in field["enum"]) if len(field["enum"]) <= 30 else "a word"
    match field.get("type"):
        case "array":
            inside = field.get("prefixItems")
            if inside:
                return " and ".join(_kind(item, schema) for item in inside)
            return f"a list: {_kind(field['items'], schema)}"
        case "number" | "integer":
            return _range(field)
        case "boolean":
            return "true, false"
        case "object":
            return "names and values"
        case "string" if "examples" in field:
            return "a share of time, as 70 %" if "%" in field["examples"][0] else "a time"
    return "text"


def _range(field: Mapping[str, Any]) -> str:
    if "minimum" not in field:
        return "a number"
    unit = field.get("unit", "")
    if unit == "its reading's":
        return "a number"
    whole = ", whole" if field["type"] == "integer" else ""
    return _span(field["minimum"], field["maximum"], unit) + whole


def _default(name: str, field: Mapping[str, Any], needed: Iterable[str]) -> str:
    if name in needed:
        return "must be said"
    default = field.get("default")
    if default is None or default in ({}, [], 0) or isinstance(default, dict):
        return "0" if default == 0 and not isinstance(default, bool) and "unit" in field else _no(default)
    return f"`{said(default)}`"


def _no(default: object) -> str:
    return "`false`" if default is False else ""


def _preset_section() -> str:
    rows = [(f"`{preset.id}`", preset.words) for preset in presets().values()]
    return "## Presets\n\nKinds of patient to start from.\n\n" + _table(("preset", "who"), rows)


def _number_section() -> str:
    rows = [
        (
            f"`{field.name}`",
            ", ".join(field.choices) or _span(field.low, field.high, field.unit),
            "by formula" if field.usual is None else said(field.usual),
            field.about,
            field.basis,
        )
        for field in patient_fields().values()
    ]
    about = (
        "Written under `patient`, in place of the preset's. The ranges refuse the impossible, not the ill."
    )
    return f"## Numbers of a patient\n\n{about}\n\n" + _table(
        ("number", "range", "if nobody says", "meaning", "basis"), rows
    )


def _act_section() -> str:
    rows = [
        (
            f"`{kind.id}`",
            "; ".join(_argument(argument) for argument in kind.arguments.values()),
            ", ".join(kind.on),
            ", ".join(kind.by),
            kind.changes,
        )
        for kind in acts().values()
    ]
    about = "An argument in brackets may be left out."
    return f"## Acts\n\n{about}\n\n" + _table(("act", "arguments", "on", "logged by", "changes"), rows)


def _argument(argument: Argument) -> str:
    match argument.type:
        case "number" | "whole":
            holds = _span(argument.low, argument.high, argument.unit)
        case "choice":
            holds = ", ".join(argument.choices)
        case "yes_no":
            holds = "true, false"
        case "cylinder_size":
            holds = "a cylinder size"
        case "fields":
            holds = "names and values"
        case "finding":
            holds = "a number or text"
        case _:
            holds = "text"
    name = f"[`{argument.name}`]" if argument.optional else f"`{argument.name}`"
    return f"{name} {holds}"


def _cause_section() -> str:
    rows = [
        (f"`{cause.id}`", cause.strikes, _cause_holds(cause), f"{cause.time_constant_s:g} s", cause.sentence)
        for cause in causes().values()
    ]
    about = (
        "What an event may set. A case changes causes, never readings: whether the saturation falls, and\n"
        "when, is the model's to say."
    )
    return f"## Causes\n\n{about}\n\n" + _table(
        ("cause", "strikes", "holds", "followed within", "meaning"), rows
    )


def _cause_holds(cause: Cause) -> str:
    match cause.type:
        case "choice":
            return ", ".join(cause.choices)
        case "yes_no":
            return "true, false"
        case "yes":
            return "true"
        case "whole" if cause.numbers:
            return ", ".join(map(str, cause.numbers))
    return _span(cause.low, cause.high, cause.unit)


def _reading_section() -> str:
    rows = [
        (f"`{reading.id}`", reading.of, _span(reading.low, reading.high, ""), reading.about)
        for reading in condition_readings().values()
    ]
    about = "What a condition may look at."
    return f"## Readings\n\n{about}\n\n" + _table(("reading", "of", "bounds", "meaning"), rows)


def _span(low: float, high: float, unit: str) -> str:
    return f"{said(low)} to {said(high)}{f' {unit}' if unit not in ('', '1') else ''}"


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    return "\n".join(_lines(head, rows)) + "\n"


def _lines(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield f"|{'|'.join(' --- ' for _ in head)}|"
    for row in rows:
        yield f"| {' | '.join(cell.replace('|', '/').replace(chr(10), ' ') for cell in row)} |"
