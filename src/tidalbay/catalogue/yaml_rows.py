"""Reads a data file of the catalogue once, as plain lists and mappings."""

from functools import cache
from importlib.resources import files
from typing import Any

from ruamel.yaml import YAML


@cache
def _content(name: str) -> Any:
    text = files("tidalbay.catalogue").joinpath(name).read_text(encoding="utf-8")
    return YAML(typ="safe", pure=True).load(text)


def rows(name: str) -> list[dict[str, Any]]:
    """The rows of a file that is one list."""
    content: list[dict[str, Any]] = _content(name)
    return content


def mapping(name: str) -> dict[str, Any]:
    """The sections of a file that is one mapping."""
    content: dict[str, Any] = _content(name)
    return content
