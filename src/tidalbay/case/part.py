"""What every part of a case has in common: frozen, strict, no field but its own; and its kinds of text."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from tidalbay.case.fields import ID_PATTERN, TimeText, Unit

Id: TypeAlias = Annotated[str, Field(pattern=ID_PATTERN, max_length=60)]
Line: TypeAlias = Annotated[str, Field(min_length=1, max_length=200)]
Text: TypeAlias = Annotated[str, Field(min_length=1, max_length=4000)]
Ms: TypeAlias = Annotated[int, TimeText()]
Flow: TypeAlias = Annotated[float, Field(ge=0, le=100), Unit("L/min")]
Said: TypeAlias = Annotated[Mapping[str, Any], AfterValidator(MappingProxyType)]


class Part(BaseModel):
    """What every part of a case has in common: frozen, strict, and no field but its own."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", use_attribute_docstrings=True)

    noun: ClassVar[str]

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Call the part in the schema what sentences call it."""
        said = handler(schema)
        handler.resolve_ref_schema(said)["title"] = cls.noun
        return said


def gathered(said: Any, under: str, belongs: Callable[[str], bool]) -> Any:
    """Gather names that are written beside a part's own fields into one mapping of their own.

    A file that writes that mapping itself is refused as for any field it does not have.
    """
    if not isinstance(said, dict):
        return said
    apart = {name: value for name, value in said.items() if name != under and belongs(name)}
    rest = {name: value for name, value in said.items() if name not in apart}
    return rest | ({f"{under} ": said[under]} if under in said else {}) | {under: apart}
