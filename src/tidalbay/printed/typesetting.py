"""A tagged PDF from a folder that holds a form, its words and its drawings."""

from pathlib import Path
from typing import Final, Literal

from tidalbay.printed.look import font_folder

STANDARD: Final[Literal["ua-1"]] = "ua-1"  # PDF/UA: tagged, and no picture without words
FORM: Final = "paper.typ"


def typeset(folder: Path) -> bytes:
    """Set the form `paper.typ` of a folder; the same bytes from the same files."""
    import typst

    return typst.compile(
        folder / FORM,
        root=folder,
        font_paths=[font_folder()],
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards=[STANDARD],
    )
