"""Kinds of field that a case has, for annotations of the model: words of the catalogue, times, units."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from tidalbay.case.moments import PATTERN, ms_from_text

ID_PATTERN = r"^[a-z][a-z0-9_-]*$"


@dataclass(frozen=True)
class OneOf:
    """Text that is one of the catalogue's words, looked up when it is needed and not before."""

    words: Callable[[], Iterable[str]]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Check the word after it was found to be text."""
        return core_schema.no_info_after_validator_function(self._checked, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """List the words in the schema."""
        return handler(schema) | {"enum": list(self.words())}

    def _checked(self, word: str) -> str:
        if word not in tuple(self.words()):
            raise PydanticCustomError("one_of", "not one of the words")
        return word


@dataclass(frozen=True)
class Unit:
    """The unit of a number, for the schema and the page of fields."""

    unit: str

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Name the unit in the schema."""
        return handler(schema) | {"unit": self.unit}


@dataclass(frozen=True)
class TimeText:
    """A time written as 2:30, 90 s or 2 min, kept as whole milliseconds."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read the text; what is not a time is refused."""
        return core_schema.no_info_before_validator_function(self._ms, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Say in the schema what a file holds, which is text."""
        return {"type": "string", "pattern": PATTERN, "examples": ["2:30", "90 s", "2 min"]}

    def _ms(self, text: object) -> int:
        ms = ms_from_text(text)
        if ms is None:
            raise PydanticCustomError("moment", "not a time")
        return ms
