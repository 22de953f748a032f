"""One settled breath as a page: inspired oxygen with its band, and where each millilitre came from."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from tidalbay.catalogue.breath_ranges import (
    BREATH_RANGES,
    GASES,
    SET_FLOW_LPM,
    check_pattern,
    usual_pattern,
)
from tidalbay.catalogue.devices import at_the_patient, device_kinds
from tidalbay.catalogue.patients import patient_numbers, presets
from tidalbay.cli import asked
from tidalbay.cli.paper import CAUTION, called_as, labelled, result, result_json, talk, width, wrapped
from tidalbay.cli.preparing import begin_fetching, wait_for
from tidalbay.cli.refusals import CalledWrongly

if TYPE_CHECKING:
    from tidalbay.attempt import Breath

NONE: Final = "none"
OF_DEVICE: Final = (
    "device", "flow_lpm", "fit", "valves", "setting_pct", "fio2_set", "set_flow_lpm", "gas",
)  # fmt: skip

# A texture for each of the three gases: supplied gas has dots, air strokes, own gas rings.
TEXTURES: Final[Mapping[str, str]] = {"supplied": ":", "room": "/", "expired": "o"}


@dataclass(frozen=True, slots=True)
class Question:
    """A device, a flow and a pattern, checked; `arguments` are those of `tidalbay.breath`."""

    arguments: Mapping[str, Any]

    @property
    def device(self) -> str:
        """The device's id."""
        return str(self.arguments["device"])


def question(said: Mapping[str, str | None]) -> Question:
    """Read the options of `breath`, or refuse the first that cannot be.

    Parameters
    ----------
    said : mapping of str to str or None
        Each option without its dashes, as it was typed.
    """
    device = said["device"]
    if device is None:
        raise CalledWrongly(f"breath needs --device. Allowed: {', '.join(device_names())}.")
    device = asked.word("device", device, device_names())
    arguments: dict[str, Any] = {"device": device, "flow_lpm": _flow(device, said["flow"])}
    for name, argument in _NUMBERS:
        text = said[name]
        if text is not None:
            arguments[argument] = asked.number(name, text, *BREATH_RANGES[argument])
    arguments |= _about_device(device, said)
    if said["patient"] is not None:
        arguments["patient"] = asked.word("patient", said["patient"], presets())
    _check_pattern(arguments)
    return Question(arguments)


_NUMBERS: Final = (
    ("rate", "rate_per_min"),
    ("tidal", "tidal_ml"),
    ("inspiratory-share", "inspiratory_share"),
    ("pause", "pause_s"),
    ("mouth", "mouth_share"),
    ("altitude", "altitude_m"),
)


def device_names() -> list[str]:
    """Return every device, and none."""
    return [*device_kinds(), NONE]


def _flow(device: str, text: str | None) -> float:
    if device == NONE:
        if text is not None and asked.number("flow", text, 0, 100, "L/min") > 0:
            raise CalledWrongly("A flow needs a device. With the device none, leave --flow out.")
        return 0.0
    if text is None:
        raise CalledWrongly("breath needs --flow, in L/min; 0 is a device without gas.")
    most = device_kinds()[device].flowmeter_max_lpm
    if asked.is_above(text, most):
        raise CalledWrongly(
            f"--flow is {float(text):g} L/min, and the flowmeter of {_article(device_kinds()[device].words)} "
            f"ends at {most:g}. Allowed: 0 to {most:g} L/min."
        )
    return asked.number("flow", text, 0, most, "L/min")


def _about_device(device: str, said: Mapping[str, str | None]) -> dict[str, Any]:
    """Read what only some devices have, and refuse it of the others."""
    kind = device_kinds().get(device)
    words = kind.words if kind else "bare face"
    found: dict[str, Any] = {}
    if said["fit"] is not None:
        _refuse_unless(kind is not None and kind.has_edge, "fit", words, "no edge")
        found["fit"] = asked.number("fit", said["fit"], 0, 1, "(0 loose, 0.5 snug, 1 tight)")
    if said["valves"] is not None:
        most = int(kind.value("port_discs")) if kind else 0
        _refuse_unless(most > 0, "valves", words, "no valves over its ports")
        found["valves"] = asked.whole("valves", said["valves"], 0, most, "")
    if said["setting"] is not None:
        settings = kind.entrainment_flow_lpm if kind else {}
        _refuse_unless(bool(settings), "setting", words, "no entrainment valve")
        pct = asked.number("setting", said["setting"].removesuffix("%"), 0, 100, "%")
        if pct not in settings:
            listed = ", ".join(str(setting) for setting in settings)
            raise CalledWrongly(f"--setting is {pct:g}, and there is no such valve. Allowed: {listed} %.")
        found["setting_pct"] = int(pct)
    if said["fio2"] is not None:
        blends = kind is not None and at_the_patient(kind).blends_oxygen
        _refuse_unless(blends, "fio2", words, "no blender")
        if asked.is_above(said["fio2"], 20.0):
            raise CalledWrongly(f"--fio2 is {said['fio2']}. It is a share, so write 0.4 for 40 %.")
        found["fio2_set"] = asked.number("fio2", said["fio2"], 0.21, 1, "")
    if said["set-flow"] is not None:
        _refuse_unless(
            kind is not None and bool(kind.joins), "set-flow", words, "no set that it is fitted into"
        )
        most_lpm = at_the_patient(kind).flowmeter_max_lpm if kind else 0.0
        found["set_flow_lpm"] = asked.number("set-flow", said["set-flow"], 0, most_lpm, "L/min")
    if said["gas"] is not None:
        _refuse_unless(kind is not None, "gas", words, "no tubing")
        found["gas"] = asked.word("gas", said["gas"], GASES)
    return found


def _refuse_unless(has: bool, option: str, words: str, lacks: str) -> None:
    if not has:
        raise CalledWrongly(
            f"{_article(words)[:1].upper()}{_article(words)[1:]} has {lacks}; leave --{option} out."
        )


def _check_pattern(arguments: Mapping[str, Any]) -> None:
    numbers = patient_numbers(arguments.get("patient", "healthy_adult"))
    rate, tidal_ml = usual_pattern(numbers)
    rate, tidal_ml = arguments.get("rate_per_min", rate), arguments.get("tidal_ml", tidal_ml)
    try:
        check_pattern(rate, arguments.get("pause_s", 0.0), tidal_ml, float(numbers["weight_kg"]))
    except ValueError as error:
        raise CalledWrongly(_as_options(str(error))) from None


def _as_options(sentence: str) -> str:
    for name, argument in _NUMBERS:
        sentence = sentence.replace(argument, f"--{name}")
    return sentence


def tell(asked_for: Question, as_json: bool) -> None:
    """Work one breath out and put it on standard output; warnings go to standard error."""
    from tidalbay.ask import breath, breath_warnings
    from tidalbay.engine import is_kept

    of_device = {name: value for name, value in asked_for.arguments.items() if name in OF_DEVICE}
    try:
        warnings = breath_warnings(**of_device)
        if not is_kept():
            talk(f"Working it out with the plain model, some seconds. {called_as()} prepare makes it quick.")
        wait_for(begin_fetching())
        answer = breath(**asked_for.arguments)
    except ValueError as error:
        raise CalledWrongly(str(error)) from None
    for warning in warnings:
        talk(warning)
    if as_json:
        beside = {"asked": dict(asked_for.arguments), "warnings": warnings, "caution": CAUTION}
        result_json({**answer.as_plain(), **beside}, indent=2)
    else:
        result(breath_page(answer, asked_for, CAUTION, width()))


# --- the page -------------------------------------------------------------------------------------


def breath_page(breath: "Breath", asked_for: Question, caution: str, wide: int) -> str:
    """Return the page of one settled breath."""
    from tidalbay.attempt import why

    said = asked_for.arguments
    lines = [*_heading(said, breath), ""]
    lines += labelled("Oxygen", _oxygen(breath, said), wide, 11)
    lines += labelled("Throat", _throat(breath), wide, 11)
    lines += ["", f"Where the {breath.inspired_ml:.0f} mL came from", ""]
    lines += ledger_bars(breath.ledger_ml, wide)
    lines += [
        "",
        wrapped(why(breath, said["device"], said["flow_lpm"] + _set_flow_lpm(said)), wide),
        "",
        *labelled("Caution", caution, wide, 11),
    ]
    return "\n".join(lines)


def _set_flow_lpm(said: Mapping[str, Any]) -> float:
    """Flow of the set that the device is fitted into; 0 for all that touch the patient. [L/min]"""
    kind = device_kinds().get(said["device"])
    return float(said.get("set_flow_lpm", SET_FLOW_LPM)) if kind and kind.joins else 0.0


def _heading(said: Mapping[str, Any], breath: "Breath") -> list[str]:
    device = said["device"]
    kind = device_kinds().get(device)
    first = "One settled breath with nothing on the face"
    if kind:
        setting = f", valve for {said['setting_pct']} %" if "setting_pct" in said else ""
        setting += f", {100 * said['fio2_set']:.0f} % oxygen set" if "fio2_set" in said else ""
        of_air = " of air" if said.get("gas") == "air" else ""
        if kind.joins:
            setting = f", in a set at {_set_flow_lpm(said):g} L/min{setting}"
        flow = f"{said['flow_lpm']:g} L/min{of_air}"
        first = f"One settled breath through {_article(kind.words)} at {flow}{setting}"
    rate, tidal = breath.rate_per_min, breath.tidal_ml
    mouth = said.get("mouth_share", 0.0)
    how = "mouth shut" if mouth == 0 else f"mouth {100 * mouth:.0f} % open"
    where = f", {said['altitude_m']:g} m above the sea" if said.get("altitude_m") else ""
    preset = presets()[said.get("patient", "healthy_adult")].words
    return [
        first,
        f"{preset[:1].upper()}{preset[1:]}; {rate:.3g} breaths a minute of {tidal:.4g} mL, {how}{where}",
    ]


def _oxygen(breath: "Breath", said: Mapping[str, Any]) -> str:
    return (
        f"{100 * breath.fio2_frac:.0f} % of the breath in; {100 * breath.fio2_low_frac:.0f} to "
        f"{100 * breath.fio2_high_frac:.0f} % when the same person breathes slower or faster, shallower or "
        f"deeper{_band_beside(said)}. Counted at the windpipe, own breath included: room air gives "
        f"{100 * breath.fio2_if_room_air_frac:.0f} %."
    )


def _band_beside(said: Mapping[str, Any]) -> str:
    """What else the band spans, where nobody said it."""
    kind = device_kinds().get(said["device"])
    if kind is not None and kind.has_edge and "fit" not in said:
        return ", the mask loose or tight"
    if kind is not None and at_the_patient(kind).gas_to == "prongs" and "mouth_share" not in said:
        return ", the mouth shut or open"
    return ""


def _throat(breath: "Breath") -> str:
    return (
        f"A sampling tube behind the nose would read {100 * breath.throat_mean_o2_frac:.0f} % on average "
        f"while breathing in, {100 * breath.throat_peak_o2_frac:.0f} % at the most. Many studies measured "
        "that, so their figures differ from the first one."
    )


def ledger_bars(ledger_ml: Mapping[str, float], wide: int) -> list[str]:
    """Draw where a breath came from: each bar begins where the one above it ends, and the numbers add up."""
    from tidalbay.attempt import ORIGINS, whole_ml

    amounts = whole_ml(list(ledger_ml.values()))
    total = sum(amounts)
    room = min(wide, 78) - 25 - 9
    lines, reached = [], 0
    for (source, _), ml in zip(ledger_ml.items(), amounts, strict=True):
        if ml == 0:
            continue
        words, gas = ORIGINS[source]
        start, end = round(room * reached / total), round(room * (reached + ml) / total)
        bar = " " * start + TEXTURES[gas] * max(1, end - start)
        lines.append(f"{words:<25}{bar:<{room}}{ml:>6} mL")
        reached += ml
    return [*lines, f"{'together':<25}{'':<{room}}{total:>6} mL"]


def _article(words: str) -> str:
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
