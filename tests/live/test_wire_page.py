"""The page about the wire shows messages as they are: every field of its examples is one that travels."""

import json
import re
from pathlib import Path

import pytest
from tests.live.bench import CASES

from tidalbay.live.sample import main, messages

PAGE = (Path(__file__).parents[2] / "docs/wire.md").read_text(encoding="utf-8")
EXAMPLES = [json.loads(block) for block in re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL)]


def real(kind):
    return [
        message
        for message in messages(CASES["post-operative"], 185, "learner", "formative", "good")
        if message["kind"] == kind
    ][-1]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["kind"])
def test_an_example_has_the_fields_that_travel(example):
    message = real(example["kind"])

    assert set(example) == set(message)
    for name in ("clock", "breath", "look", "things"):
        if name in example:
            assert set(example[name]) == set(message[name])
    for name in ("findings", "entries"):
        if name in example:
            assert set(example[name][0]) == set(message[name][0])
    if "readings" in example:
        assert set(example["readings"]) <= set(message["readings"]) | {"flowmeter_shown_lpm"}


def test_every_field_of_hello_is_told_of():
    (hello,) = [m for m in messages(CASES["post-operative"], 0) if m["kind"] == "hello"]

    for name in set(hello) - {"kind", "seq"}:
        assert f"`{name}`" in PAGE
    for name in set(hello["station"]) | set(hello["case"]) | set(hello["clock"]):
        assert f"`{name}`" in PAGE


def test_the_command_on_the_page_prints_one_message_a_line(capsys):
    main(["post-operative", "10", "learner", "formative", "good"])
    printed = [json.loads(line) for line in capsys.readouterr().out.splitlines()]

    assert [message["kind"] for message in printed[:2]] == ["hello", "breath"]
    assert [message["seq"] for message in printed] == list(range(1, len(printed) + 1))
    with pytest.raises(SystemExit):
        main(["post-operative"])
