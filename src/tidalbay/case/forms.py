"""Parallel forms of a case: another patient in the same trouble, whom nobody has heard of in the corridor."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Final

from pydantic import AfterValidator, Field, model_validator

from tidalbay.case.criteria import Bound
from tidalbay.case.fields import OneOf
from tidalbay.case.part import Flow, Id, Line, Ms, Part, Said, gathered
from tidalbay.catalogue.causes import condition_readings
from tidalbay.catalogue.patients import patient_fields

# The case as it is written; its other forms are b, c and so on.
FIRST_FORM: Final = "a"
OTHER_FORMS: Final = tuple("bcdefgh")


class FormPatient(Part):
    """Who lies in the bed in this form; what is left out is as in the case, birth and number excepted."""

    noun: ClassVar[str] = "form's patient"

    name: Line
    """An invented name, another one in each form."""
    born: Line | None = None
    """Date of birth on the wristband; made to fit name and age if not said."""
    identity_number: Line | None = None
    """Identity number on the wristband; made from the name if not said."""
    bed: Line | None = None
    """Where the patient lies."""
    says: Line | None = None
    """What the patient says when asked."""
    numbers: Said = Field(default_factory=lambda: MappingProxyType({}))
    """Numbers that differ in this form, by the catalogue's names."""

    @model_validator(mode="before")
    @classmethod
    def _gather_numbers(cls, said: Any) -> Any:
        return gathered(said, "numbers", lambda name: name in patient_fields())


class ParallelForm(Part):
    """The same case with another patient: everything that is not written here is as in the case."""

    noun: ClassVar[str] = "form"

    id: Annotated[str, OneOf(lambda: OTHER_FORMS)]
    """A letter; the case as it is written is form a."""
    patient: FormPatient
    """Who lies there instead."""
    flows_lpm: Annotated[Mapping[Id, Flow], AfterValidator(MappingProxyType)] = Field(
        default_factory=lambda: MappingProxyType({})
    )
    """Flowmeters that stand at another flow when this form begins."""


class Believed(Part):
    """What a clinician would believe of a path at a moment; each form of the case must stay within."""

    noun: ClassVar[str] = "believed range"

    path: Id
    """On which path."""
    at_ms: Ms = Field(alias="at")
    """When."""
    reading: Annotated[str, OneOf(lambda: _of_patient())]
    """A reading of the patient; a rate is counted over the minute before."""
    between: tuple[Bound, Bound]
    """Its lower and its upper end."""


def _of_patient() -> list[str]:
    return [reading.id for reading in condition_readings().values() if reading.of == "patient"]


def form_words(form: str) -> str:
    """Return what people call a form, as in "form B"."""
    return f"form {form.upper()}"
