"""Refusals as people read them: the thing on the bench by what it is, not by what a case file calls it."""

import re
from collections.abc import Mapping
from typing import Any

from tidalbay.catalogue import device_kinds

_SUPPLIES = {"wall_oxygen": "oxygen outlet", "wall_air": "air outlet", "cylinder": "cylinder"}


def in_words(sentence: str, things: Mapping[str, Any]) -> str:
    """Return a sentence with every part that it names by its id in quotes named in words.

    Parameters
    ----------
    sentence : str
    things : mapping
        What eyes see of the equipment, as messages carry it.
    """
    for id, words in part_words(things).items():
        # Where the sentence goes on to say what the thing is, it is said once.
        of_itself = re.compile(
            rf"'{re.escape(id)}' is an? {re.escape(_bare(words))}(?: and|;? it|, which)? ?"
        )
        if found := of_itself.search(sentence):
            rest = sentence[found.end() :]
            verb = " is " if rest.startswith((",", "not ")) else " "
            sentence = sentence[: found.start()] + f"'{id}'{verb}{rest.lstrip(', ')}"
        the = _the(words)
        begun = rf"(^|[.!?] )'{re.escape(id)}'"
        sentence = re.sub(begun, rf"\g<1>{the[:1].upper()}{the[1:]}", sentence)
        sentence = sentence.replace(f"'{id}'", the)
    return sentence


def part_words(things: Mapping[str, Any]) -> dict[str, str]:
    """Return what each part of the equipment is, by id; what is there twice is numbered."""
    words = {part["id"]: _SUPPLIES.get(part["kind"], "concentrator") for part in things["supplies"]}
    words |= {part["id"]: device_kinds()[part["kind"]].words for part in things["devices"]}
    words = _numbered(words)
    meters = {
        part["id"]: f"flowmeter of {_the(words[part['supply']])}"
        if part.get("supply") in words
        else "flowmeter"
        for part in things["flowmeters"]
    }
    tubes = {}
    for part in things["tubes"]:
        end = next((words[part[name]] for name in ("to", "from") if part.get(name) in words), None)
        tubes[part["id"]] = "tubing" if end is None else f"tubing of {_the(end)}"
    return {**words, **_numbered(meters), **_numbered(tubes)}


def _numbered(words: Mapping[str, str]) -> dict[str, str]:
    alike = list(words.values())
    counted: dict[str, int] = {}
    numbered = {}
    for id, each in words.items():
        counted[each] = counted.get(each, 0) + 1
        numbered[id] = f"{each} {counted[each]}" if alike.count(each) > 1 else each
    return numbered


def _the(words: str) -> str:
    return words if words[-1].isdigit() else f"the {words}"


def _bare(words: str) -> str:
    return re.sub(r" \d+$", "", words)
