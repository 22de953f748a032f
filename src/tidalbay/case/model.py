"""A case as frozen typed objects: what a teacher may write, and nothing else.

The descriptions are the documentation: the schema for editors and the page of fields are printed from them.
"""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, Field, PrivateAttr, model_validator

from tidalbay.case.check_off import CheckOff, Debrief
from tidalbay.case.fields import OneOf, Unit
from tidalbay.case.forms import FIRST_FORM, Believed, ParallelForm
from tidalbay.case.part import Flow, Id, Line, Ms, Part, Said, Text, gathered
from tidalbay.catalogue.acts import LOGGERS, acts
from tidalbay.catalogue.causes import causes, condition_readings
from tidalbay.catalogue.cylinders import cylinder_sizes
from tidalbay.catalogue.devices import SNUGNESS, device_kinds, probe_delays_s, prong_placements
from tidalbay.catalogue.patients import patient_fields, presets
from tidalbay.catalogue.supplies import concentrator_kinds, outlet_kinds


def _sizes() -> tuple[str, ...]:
    return tuple(name for size in cylinder_sizes() for name in (size.id, *size.also))


class PatientSaid(Part):
    """Who lies in the bed: a preset, and numbers this patient has instead of the preset's."""

    noun: ClassVar[str] = "patient"

    name: Line
    """An invented name."""
    born: Line | None = None
    """Date of birth on the wristband, invented; made to fit name and age if not said."""
    identity_number: Line | None = None
    """Identity number on the wristband, invented; made from the name if not said."""
    bed: Line | None = None
    """Where the patient lies."""
    preset: Annotated[str, OneOf(lambda: presets())]
    """The kind of patient to start from; the catalogue's presets."""
    says: Line | None = None
    """What the patient says when asked."""
    numbers: Said = Field(default_factory=lambda: MappingProxyType({}))
    """Numbers written beside the fields above, by the catalogue's names."""

    @model_validator(mode="before")
    @classmethod
    def _gather_numbers(cls, said: Any) -> Any:
        return gathered(said, "numbers", lambda name: name in patient_fields())


class Order(Part):
    """What was ordered, as the chart has it."""

    noun: ClassVar[str] = "order"

    text: Text
    """The order as it is written."""
    device: Annotated[str, OneOf(lambda: device_kinds())] | None = None
    """The device ordered."""
    flow_lpm: Flow | None = None
    """The flow ordered."""
    entrainment_pct: Annotated[int, Field(ge=24, le=60), Unit("%")] | None = None
    """The entrainment valve ordered."""
    target_spo2_pct: tuple[
        Annotated[float, Field(ge=50, le=100), Unit("%")], Annotated[float, Field(ge=50, le=100), Unit("%")]
    ]
    """The target saturation range, its lower and its upper end."""
    review: Line | None = None
    """When it is to be looked at again."""


class FlowmeterSet(Part):
    """A flowmeter on an outlet or a regulator."""

    noun: ClassVar[str] = "flowmeter"

    id: Id | None = None
    """What acts call it; without it the supply's id with _flowmeter behind it."""
    max_lpm: Annotated[float, Field(ge=0.1, le=100), Unit("L/min")] = 15.0
    """Where its scale ends; hands cannot set more. A concentrator's is built in, and this is left out."""
    flow_lpm: Flow = 0.0
    """What it is set to when the case begins."""
    flush: bool = False
    """Whether it stands opened past its scale."""
    style: Literal["float", "dial"] | None = None
    """A float shows what flows, a dial what was dialled; as usual for its supply if not said."""
    humidified: bool = False
    """Whether a bubble humidifier hangs on it."""
    scale_error_frac: Annotated[float, Field(ge=-0.5, le=0.5), Unit("1")] = 0.0
    """True flow above the flow shown, as a share of it."""


class Supply(Part):
    """Where gas comes from: an outlet in the wall, a cylinder, or a concentrator."""

    noun: ClassVar[str] = "supply"

    id: Id
    """What acts call it."""
    kind: Annotated[str, OneOf(lambda: (*outlet_kinds(), "cylinder", *concentrator_kinds()))]
    """An outlet of oxygen or of medical air, a cylinder, or a concentrator (the large one to 10 L/min)."""
    flowmeter: FlowmeterSet | None = None
    """The flowmeter on it; a cylinder's comes with its regulator, a concentrator's is built in."""
    pressurised: bool | None = None
    """For an outlet: whether the pipeline has pressure; true if not said."""
    size: Annotated[str, OneOf(_sizes)] | None = None
    """For a cylinder: its size, by the letters of the catalogue; E if not said."""
    gauge_psi: Annotated[float, Field(ge=0, le=6000), Unit("psi")] | None = None
    """For a cylinder: what its gauge shows; full if not said."""
    gauge_bar: Annotated[float, Field(ge=0, le=400), Unit("bar")] | None = None
    """The same in bar."""
    valve_open: bool | None = None
    """For a cylinder: false if not said."""
    secured: bool | None = None
    """For a cylinder: true if not said."""
    regulator: bool | None = None
    """For a cylinder: whether a regulator is on; true where a flowmeter is named, or where it is built in."""
    running: bool | None = None
    """For a concentrator: whether it runs, and is warm, when the case begins; false if not said."""


class DeviceSet(Part):
    """A device at hand or on the patient when the case begins."""

    noun: ClassVar[str] = "device"

    id: Id | None = None
    """What acts call it; without it the name of its kind."""
    kind: Annotated[str, OneOf(lambda: device_kinds())]
    """What it is."""
    connected_to: Id | None = None
    """The flowmeter its tubing ends at."""
    worn: bool = True
    """Whether the patient has it on; of an in-line nebuliser, whether it is fitted into the tubing."""
    joined_to: Id | None = None
    """The device into whose wide tubing an in-line nebuliser is fitted; the only one, if not said."""
    fit: Annotated[str, OneOf(lambda: SNUGNESS)] = "snug"
    """How the strap sits."""
    nose_clip_pinched: bool | None = None
    """Whether the metal strip is moulded to the nose; true if not said."""
    prongs: Annotated[str, OneOf(lambda: prong_placements())] | None = None
    """Where prongs are; down, following the floor of the nose, if not said."""
    port_discs: Annotated[int, Field(ge=0, le=2)] | None = None
    """How many discs a reservoir mask has over its side ports; all if not said."""
    bag_valve: bool | None = None
    """Whether the valve between bag and mask is there; true if not said."""
    bag_filled: bool | None = None
    """Whether the bag was filled before the mask went on; true if worn."""
    entrainment_pct: Annotated[int, Field(ge=24, le=60), Unit("%")] | None = None
    """The entrainment valve that is fitted."""
    entrainment_open_frac: Annotated[float, Field(ge=0, le=1), Unit("1")] | None = None
    """How much of the entrainment ports is free; 1 if not said."""
    oxygen_share_pct: Annotated[float, Field(ge=21, le=100), Unit("%")] | None = None
    """The share of oxygen that a blending device is set to."""
    kinked: bool | None = None
    """Whether its tubing is kinked."""
    leak_frac: Annotated[float, Field(ge=0, le=1), Unit("1")] | None = None
    """Share of the gas that its tubing loses."""


class FaceSet(Part):
    """What is special about the way in."""

    noun: ClassVar[str] = "set-up's patient"

    tracheostomy: bool = False
    """Whether the patient breathes through a tracheostomy."""
    one_nostril_blocked: bool = False
    """Whether one side of the nose is shut."""


class Setup(Part):
    """What stands in the room, and what is worn, when the case begins."""

    noun: ClassVar[str] = "set-up"

    supplies: tuple[Supply, ...] = ()
    """Outlets and cylinders."""
    devices: tuple[DeviceSet, ...] = ()
    """Devices at hand or on the patient."""
    probe: Annotated[str, OneOf(lambda: (*probe_delays_s(), "off"))] = "finger"
    """Where the oximeter's probe is."""
    patient: FaceSet | None = None
    """What is special about the way in."""
    altitude_m: Annotated[float, Field(ge=-500, le=6000), Unit("m")] | None = None
    """Height of the place above the sea; 0 if not said."""


class ScriptedAct(Part):
    """One act of a scripted run; the act's own arguments stand beside these."""

    noun: ClassVar[str] = "act"

    at_ms: Ms = Field(alias="at")
    """When."""
    act: Annotated[str, OneOf(lambda: acts())]
    """Which act of the catalogue."""
    on: Id | None = None
    """Which flowmeter, cylinder, concentrator, tube or device; where only one is there it may stay unsaid."""
    manner: Literal["done", "said", "prompted"] = "done"
    """Done, only said (moves nothing), or done after a prompt."""
    by: Annotated[str, OneOf(lambda: LOGGERS)] = "learner"
    """Who did it."""
    values: Said = Field(default_factory=lambda: MappingProxyType({}))
    """The act's arguments."""

    @model_validator(mode="before")
    @classmethod
    def _gather_values(cls, said: Any) -> Any:
        own = {"at", "act", "on", "manner", "by"}
        return gathered(said, "values", lambda name: name not in own)


class ActPattern(Part):
    """An act to wait for, with the arguments it must have; others do not matter."""

    noun: ClassVar[str] = "act to wait for"

    act: Annotated[str, OneOf(lambda: acts())]
    """Which act of the catalogue."""
    on: Id | None = None
    """On which object; on any if not said."""
    values: Said = Field(default_factory=lambda: MappingProxyType({}))
    """Arguments it must have."""

    @model_validator(mode="before")
    @classmethod
    def _gather_values(cls, said: Any) -> Any:
        return gathered(said, "values", lambda name: name not in {"act", "on"})


class Condition(Part):
    """What an event waits for: a reading beyond a bound for a while, or acts that were done."""

    noun: ClassVar[str] = "condition"

    reading: Annotated[str, OneOf(lambda: condition_readings())] | None = None
    """A reading of the patient or of an object."""
    on: Id | None = None
    """The object, for a reading of one."""
    below: float | None = None
    """It must be below this."""
    above: float | None = None
    """It must be above this."""
    for_ms: Ms = Field(default=0, alias="for")
    """For how long without a break."""
    acts: tuple[ActPattern, ...] = ()
    """All of these must have been done (not only said), in any order."""
    wait_ms: Ms = Field(default=0, alias="wait")
    """How long after the last of them."""


class After(Part):
    """An event that this one follows."""

    noun: ClassVar[str] = "after"

    event: Id
    """Which event."""
    wait_ms: Ms = Field(default=0, alias="wait")
    """How long after it."""


class Event(Part):
    """What the case makes happen, once: at a time, when something is so, after another event, or by hand."""

    noun: ClassVar[str] = "event"

    id: Id
    """What it is called."""
    at_ms: Ms | None = Field(default=None, alias="at")
    """At this time."""
    when: Condition | None = None
    """When this becomes so."""
    after: After | None = None
    """After this event."""
    by_hand: bool = False
    """Only when the instructor throws it."""
    on: Id | None = None
    """The object that a cause of the equipment strikes."""
    sets: Said = Field(min_length=1)
    """Causes and what they become; never a reading."""
    tells: Line | None = None
    """What the instructor is told when it happens."""


class Case(Part):
    """A patient, an order, what stands in the room, what happens, and runs to play."""

    noun: ClassVar[str] = "case"

    schema_version: Literal[1] = Field(alias="schema")
    """Version of this format: 1."""
    id: Id
    """What the case is called by programs."""
    title: Line
    """What the case is called by people."""
    teaches: Text
    """What a learner should take away."""
    setting: Text | None = None
    """Where it plays; an invented place."""
    patient: PatientSaid
    """Who lies in the bed."""
    order: Order
    """What was ordered."""
    posture: Annotated[str, OneOf(lambda: causes()["posture"].choices)] = "propped"
    """How the patient lies when the case begins."""
    setup: Setup = Field(default_factory=Setup)
    """What stands in the room, and what is worn."""
    minutes: Annotated[float, Field(ge=0.5, le=720), Unit("min")]
    """How long the case lasts."""
    paths: Annotated[Mapping[Id, tuple[ScriptedAct, ...]], AfterValidator(MappingProxyType)] = Field(
        default_factory=lambda: MappingProxyType({})
    )
    """Scripted runs by name, such as good and tempting: acts in the order of their times."""
    events: tuple[Event, ...] = ()
    """What the case makes happen."""
    check_off: CheckOff | None = None
    """What the record and the checker look for."""
    debrief: Debrief | None = None
    """What is asked and shown afterwards."""
    forms: tuple[ParallelForm, ...] = ()
    """Parallel forms, for the next in line: another patient in the same trouble."""
    believed: tuple[Believed, ...] = ()
    """What a clinician would believe, for `tidalbay check` to hold every form against."""

    _form: str = PrivateAttr(default=FIRST_FORM)
    _text_sha256: str = PrivateAttr(default="")

    @property
    def text_sha256(self) -> str:
        """SHA-256 of the text the case was read from, 64 hexadecimal digits; empty if from none."""
        return self._text_sha256

    @property
    def form(self) -> str:
        """Which form this is: a as it is written, or the letter of a parallel one."""
        return self._form

    @property
    def form_ids(self) -> tuple[str, ...]:
        """Letters of every form, a first."""
        return (FIRST_FORM, *(form.id for form in self.forms))

    def as_form(self, id: str, patient: PatientSaid, setup: Setup) -> "Case":
        """Return the case as one of its forms, whose patient and set-up these are."""
        changed = self.model_copy(update={"patient": patient, "setup": setup})
        changed._form, changed._text_sha256 = id, self._text_sha256
        return changed

    def of_school(self, folder: Path | None) -> "Case":
        """Return the case, checked off by the procedures of a school's own folder."""
        if folder is None or self.check_off is None:
            return self
        known = self.model_copy(update={"check_off": self.check_off.of_school(folder)})
        known._form, known._text_sha256 = self._form, self._text_sha256
        return known

    def with_text(self, text: str) -> "Case":
        """Return the case, knowing the text it was read from by its hash."""
        known = self.model_copy()
        known._text_sha256 = hashlib.sha256(text.encode("utf-8")).hexdigest()
        return known
