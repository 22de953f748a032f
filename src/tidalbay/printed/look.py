"""The printed look: paper, ink, one colour for attention that never stands alone, one typeface."""

from base64 import b64encode
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Final

PAPER: Final = "#FBF8F2"
INK: Final = "#1D2730"
QUIET: Final = "#55606B"
HAIRLINE: Final = "#8C8473"
WASH: Final = "#EFE9DA"
ATTENTION: Final = "#9B2F22"
TYPEFACE: Final = "Atkinson Hyperlegible Next"
FALLBACK: Final = "Libertinus Serif"  # for the few letters that the typeface lacks; carried by the typesetter

WEIGHTS: Final = {400: "atkinson-hyperlegible-next-400.ttf", 700: "atkinson-hyperlegible-next-700.ttf"}


@cache
def font_faces() -> str:
    """The typeface as style rules that carry it within."""
    rules = []
    for weight, name in WEIGHTS.items():
        letters = b64encode(files("tidalbay.printed").joinpath("fonts", name).read_bytes()).decode("ascii")
        rules.append(
            f'@font-face{{font-family:"{TYPEFACE}";font-weight:{weight};'
            f'src:url("data:font/ttf;base64,{letters}") format("truetype")}}'
        )
    return "\n".join(rules)


def font_folder() -> Path:
    """Where the typeface lies as files."""
    with as_file(files("tidalbay.printed").joinpath("fonts")) as folder:
        return Path(folder)


def number(value: float, digits: int) -> str:
    """A number to so many digits after the point, with a true minus sign."""
    text = f"{value:.{max(0, digits)}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return text.replace("-", "−")
