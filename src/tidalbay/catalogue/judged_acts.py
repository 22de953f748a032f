"""Acts in words without their arguments, as verdicts say what they looked for."""

from collections.abc import Mapping
from functools import cache

from tidalbay.catalogue.acts import ActKind
from tidalbay.catalogue.yaml_rows import mapping


def bare_words(act: ActKind) -> str:
    """An act in the past tense without its arguments: put the drug into the cup."""
    own = _bare().get(act.id)
    return own if own is not None else act.sentence.split("{")[0].rstrip(" :").removesuffix(" to")


@cache
def _bare() -> Mapping[str, str]:
    return dict(mapping("judged_acts.yaml")["bare"])
