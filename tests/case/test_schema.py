"""Contract of the schema for editors and of the page of fields: nothing in them is stale or unexplained."""

import json
from pathlib import Path

import pytest

from tidalbay.case import case_page, case_schema
from tidalbay.catalogue import acts, causes, patient_fields

PAGE = Path(__file__).parents[2] / "docs" / "cases.md"


def parts():
    schema = case_schema()
    return {"Case": schema, **schema["$defs"]}


def numbers_in(part, path=""):
    """Every number that a part of the schema allows, with its place."""
    if isinstance(part, dict):
        if part.get("type") in ("number", "integer") and "const" not in part:
            yield path, part
        for name, inside in part.items():
            yield from numbers_in(inside, f"{path}.{name}")
    elif isinstance(part, list):
        for i, inside in enumerate(part):
            yield from numbers_in(inside, f"{path}[{i}]")


def test_the_page_of_fields_is_the_one_that_the_code_prints():
    assert PAGE.read_text(encoding="utf-8") == case_page(), (
        "docs/cases.md is stale; write into it what tidalbay.case.case_page() returns"
    )


def test_the_schema_is_plain_json_of_a_named_dialect():
    schema = json.loads(json.dumps(case_schema(), allow_nan=False))

    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert set(schema["required"]) == {"schema", "id", "title", "teaches", "patient", "order", "minutes"}


def test_a_caller_that_changes_its_schema_changes_nobody_elses():
    case_schema()["properties"].clear()

    assert case_schema()["properties"]


@pytest.mark.parametrize("name", parts())
def test_every_part_and_every_field_says_what_it_means_and_allows_no_other(name):
    part = parts()[name]

    assert part["description"]
    assert part.get("additionalProperties", part.get("unevaluatedProperties")) is False
    for field, said in part["properties"].items():
        assert said.get("description"), f"{name}.{field}"


def test_every_number_has_a_range_and_a_unit():
    # The bounds of a condition are in the unit of whatever reading it names; counts have none.
    without = [path for path, number in numbers_in(case_schema()) if "unit" not in number]
    unbounded = [path for path, number in numbers_in(case_schema()) if "minimum" not in number]

    bounds = {".$defs.Condition.properties.below.anyOf[0]", ".$defs.Condition.properties.above.anyOf[0]"}
    assert set(unbounded) == bounds
    assert set(without) == bounds | {".$defs.DeviceSet.properties.port_discs.anyOf[0]"}


def test_the_schema_knows_every_number_of_a_patient_every_act_and_every_cause():
    all_parts = parts()

    assert set(patient_fields()) <= set(all_parts["PatientSaid"]["properties"])
    named = {rule["if"]["properties"]["act"]["const"] for rule in all_parts["ScriptedAct"]["allOf"]}
    assert named == set(acts())
    assert set(all_parts["Event"]["properties"]["sets"]["properties"]) == set(causes())


def test_a_scripted_act_must_say_its_arguments_and_an_act_to_wait_for_need_not():
    def required(part, act):
        rules = parts()[part]["allOf"]
        return next(r["then"].get("required") for r in rules if r["if"]["properties"]["act"]["const"] == act)

    assert required("ScriptedAct", "strap_set") == ["snugness"]
    assert required("ActPattern", "strap_set") is None
