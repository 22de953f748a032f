"""Criteria as a teacher writes them: sentences over acts and readings that a record meets or does not.

One criterion takes one form. Their meaning is that of metric temporal logic over one finite record, past and
future, with the usual quantitative semantics (Koymans 1990; Maler and Nickovic 2004; Fainekos and Pappas
2009; Donze and Maler 2010); the room `judge` says which formula each form stands for.
"""

import re
from collections.abc import Iterator
from typing import Annotated, Any, ClassVar, Final, Literal, TypeAlias

from pydantic import (
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from tidalbay.case.fields import OneOf, Unit
from tidalbay.case.part import Id, Line, Ms, Part, Said, Text, gathered
from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.chart_forms import chart_forms
from tidalbay.catalogue.devices import device_kinds
from tidalbay.catalogue.judged_readings import judged_readings

ORDERED_RANGE: Final = "ordered_range"
FORMS: Final = (
    "happened", "needs", "after_each", "always", "never", "for_at_least", "charted", "said", "truth",
    "judged_by", "all_of", "any_of", "at_least",
)  # fmt: skip
LARGEST: Final = 100_000.0  # that a bound may be, in whatever unit its reading has
_SHARE: Final = r"^[0-9]{1,3}(\.[0-9]+)? ?%$"


class _OneOrMore:
    """A list, for which one word alone may stand."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(
            lambda said: (said,) if isinstance(said, str) else said, handler(source)
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        several = handler(schema)
        return {"oneOf": [several["items"], several]}


class _Share:
    """A share of time written as 70 %, kept as a fraction."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self._frac, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"type": "string", "pattern": _SHARE, "examples": ["70 %"]}

    def _frac(self, said: object) -> float:
        if isinstance(said, float):  # from a record, where it is kept as a fraction
            return said
        if not isinstance(said, str) or not re.fullmatch(_SHARE, said):
            raise PydanticCustomError("share", "not a share")
        return float(said.rstrip(" %")) / 100.0


class _Range:
    """A range from two numbers, or the range that was ordered, by name."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._checked)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        end = {"type": "number", "minimum": -LARGEST, "maximum": LARGEST, "unit": "its reading's"}
        pair = {"type": "array", "items": end, "minItems": 2, "maxItems": 2}
        return {"oneOf": [pair, {"const": ORDERED_RANGE}]}

    def _checked(self, said: object) -> Any:
        if said == ORDERED_RANGE:
            return said
        match said:
            case [int() | float() as low, int() | float() as high]:
                return (float(low), float(high))
        raise PydanticCustomError("range", "not a range")


Acts: TypeAlias = Annotated[tuple[Annotated[str, OneOf(lambda: acts())], ...], _OneOrMore()]
Kinds: TypeAlias = Annotated[tuple[Annotated[str, OneOf(lambda: device_kinds())], ...], _OneOrMore()]
Bound: TypeAlias = Annotated[float, Field(ge=-LARGEST, le=LARGEST), Unit("its reading's")]
Share: TypeAlias = Annotated[float, _Share(), Field(ge=0, le=1)]
Range: TypeAlias = Annotated[Any, _Range()]


class ActWanted(Part):
    """An act that a criterion looks for; arguments that stand beside it must be so.

    An argument is given as a value, or as `at_least`, `at_most`, `above`, `below`, `within` or `one_of`.
    """

    noun: ClassVar[str] = "act looked for"

    act: Acts
    """Which act of the catalogue, or any of several."""
    on: Id | None = None
    """On which object; on any if not said."""
    device: Kinds = ()
    """On a device of this kind, or of one of these kinds."""
    which: Literal["every", "first", "last"] = "every"
    """Every such act, or only the first or the last."""
    values: Said = Field(default_factory=dict)
    """What its arguments must be."""

    @model_validator(mode="before")
    @classmethod
    def _gather_values(cls, said: Any) -> Any:
        return gathered(said, "values", lambda name: name not in {"act", "on", "device", "which"})


class ReadingSaid(Part):
    """A reading and its bounds."""

    noun: ClassVar[str] = "reading"

    name: Annotated[str, OneOf(lambda: judged_readings())]
    """Which reading."""
    on: Id | None = None
    """Of which object."""
    above: Bound | None = None
    """More than this."""
    below: Bound | None = None
    """Less than this."""
    at_least: Bound | None = None
    """This or more."""
    at_most: Bound | None = None
    """This or less."""
    within: Range | None = None
    """From one number to another, both included, or ordered_range."""


class While(Part):
    """The time that a criterion looks at."""

    noun: ClassVar[str] = "while"

    wearing: Kinds = ()
    """While a device of this kind, or of one of these kinds, is on."""
    reading: ReadingSaid | None = None
    """While a reading is so."""
    after: ActWanted | None = None
    """From this act on."""
    until: ActWanted | None = None
    """Up to this act."""


class Window(Part):
    """A stretch of the attempt."""

    noun: ClassVar[str] = "during"

    last_ms: Ms | None = Field(default=None, alias="last")
    """Its last minutes."""
    first_ms: Ms | None = Field(default=None, alias="first")
    """Its first minutes."""
    after: ActWanted | None = None
    """No earlier than the first of these acts."""
    until: ActWanted | None = None
    """No later than the first of these acts after it."""


class Never(Part):
    """What must not happen."""

    noun: ClassVar[str] = "never"

    act: Acts = ()
    """An act that must not be done."""
    wearing: Kinds = ()
    """While a device of this kind is on."""
    reading: Annotated[str, OneOf(lambda: judged_readings())] | None = None
    """A reading that must not be beyond its bound."""
    on: Id | None = None
    """On or of which object."""
    above: Bound | None = None
    """It must not be above this."""
    below: Bound | None = None
    """It must not be below this."""
    longer_than_ms: Ms = Field(default=0, alias="for_longer_than")
    """Unless for no longer than this."""
    values: Said = Field(default_factory=dict)
    """What the act's arguments are."""

    @model_validator(mode="before")
    @classmethod
    def _gather_values(cls, said: Any) -> Any:
        own = {"act", "wearing", "reading", "on", "above", "below", "for_longer_than"}
        is_act = isinstance(said, dict) and "act" in said
        return gathered(said, "values", lambda name: is_act and name not in own)


class Charted(Part):
    """What was written down."""

    noun: ClassVar[str] = "charted"

    form: Line
    """On which form."""
    field: Id | None = None
    """One field of it."""
    has: tuple[Id, ...] = ()
    """Fields that must be filled in."""
    within: Range | None = None
    """What the field must hold, from and to."""


class SaidAloud(Part):
    """What was read out, pointed at or written while looking."""

    noun: ClassVar[str] = "said"

    what: Id
    """What was looked at: spo2, rate, pulse, flow, gauge and so on."""


class Agreement(Part):
    """What a number that was written or said must agree with."""

    noun: ClassVar[str] = "agrees with"

    reading: Annotated[str, OneOf(lambda: judged_readings())]
    """The reading that was shown."""
    on: Id | None = None
    """Of which object."""
    within_points: Annotated[float, Field(ge=0, le=1000), Unit("its unit")] = 2.0
    """How far off it may be."""
    lately_ms: Ms = Field(default=30_000, alias="lately")
    """How long before it was written the reading may have been so."""


class Truth(Part):
    """What was written on a form, or told in a handoff: all of it that the record can know."""

    noun: ClassVar[str] = "truth"

    of: Annotated[str, OneOf(lambda: chart_forms())]
    """Which form; for handoff also what was told."""
    fields: tuple[Id, ...] = ()
    """Only these fields of it; all if not said."""
    lately_ms: Ms = Field(default=30_000, alias="lately")
    """How long before it was said a reading may have been so."""


class AtLeast(Part):
    """A number of criteria out of several."""

    noun: ClassVar[str] = "at least"

    n: Annotated[int, Field(ge=1, le=50), Unit("1")]
    """How many."""
    of: tuple["Form", ...]
    """Out of which."""


class Form(Part):
    """What is asked: one form, with what belongs to it."""

    noun: ClassVar[str] = "criterion"

    happened: ActWanted | None = None
    """This was done at least once."""
    by_ms: Ms | None = Field(default=None, alias="by")
    """With happened: no later than this."""
    needs: tuple[ActWanted, ...] | None = None
    """All of these were done, each of them before the act named under before."""
    before: ActWanted | None = None
    """With needs: the act they must come before; with happened: the act it comes before."""
    after_each: ActWanted | None = None
    """After each of these acts, what stands under expect was done within the time given."""
    not_before_ms: Ms = Field(default=0, alias="not_before")
    """With after_each: not sooner than this."""
    within_ms: Ms | None = Field(default=None, alias="within")
    """With after_each: not later than this."""
    expect: ActWanted | None = None
    """With after_each: what is expected."""
    while_: While | None = Field(default=None, alias="while")
    """With always: the time looked at; all of it if not said."""
    always: ReadingSaid | None = None
    """At every moment looked at the reading is so."""
    grace_ms: Ms = Field(default=0, alias="grace")
    """With always: how long after the time begins nothing is asked yet."""
    longer_than_ms: Ms = Field(default=0, alias="for_longer_than")
    """With always: a break of no longer than this is forgiven."""
    never: Never | None = None
    """This did not happen."""
    during: Window | None = None
    """With for_at_least: the stretch looked at; all of the attempt if not said."""
    reading: ReadingSaid | None = None
    """With for_at_least: which reading, and where it should be."""
    for_at_least: Share | None = None
    """For this share of the time the reading was so; time without a reading does not count as so."""
    charted: Charted | None = None
    """This was written down."""
    said: SaidAloud | None = None
    """This was read out."""
    agrees_with: Agreement | None = None
    """With charted or said: the number agrees with what was shown then."""
    truth: Truth | None = None
    """Everything on this form, or told in a handoff, agrees with what was so then: numbers, device, score."""
    judged_by: Literal["checker"] | None = None
    """Only a person can judge this."""
    all_of: tuple["Form", ...] | None = None
    """All of these."""
    any_of: tuple["Form", ...] | None = None
    """One of these at least."""
    at_least: AtLeast | None = None
    """A number of these at least."""

    @property
    def form(self) -> str:
        """Which form it takes; the first one written, where a file wrongly writes several."""
        return next((name for name in FORMS if getattr(self, name) is not None), "")

    @property
    def parts(self) -> tuple["Form", ...]:
        """The criteria that this one combines."""
        return self.all_of or self.any_of or (self.at_least.of if self.at_least else ())

    def acts_wanted(self) -> Iterator[ActWanted]:
        """Every act that it looks for, those of its parts included."""
        for wanted in (self.happened, self.before, self.after_each, self.expect, *(self.needs or ())):
            if wanted is not None:
                yield wanted
        for span in (self.while_, self.during):
            if span is not None:
                yield from (wanted for wanted in (span.after, span.until) if wanted is not None)
        for part in self.parts:
            yield from part.acts_wanted()


class Criterion(Form):
    """One sentence that a record meets, does not meet, or cannot decide."""

    noun: ClassVar[str] = "criterion"

    id: Id
    """What it is called."""
    say: Line
    """The sentence that a learner reads."""
    must: bool = False
    """Whether missing it alone means not yet competent."""
    weight: Annotated[float, Field(ge=0, le=10), Unit("points")] = 1.0
    """What it counts in the score."""
    if_never: Literal["missed", "cannot_be_judged"] | None = None
    """What it means that the occasion never came, or that nobody tapped an act that only eyes can see."""
    source: Text | None = None
    """Where it comes from; common practice, no source where nothing published stands behind it."""
    typical_error: Text | None = None
    """What people do instead."""
