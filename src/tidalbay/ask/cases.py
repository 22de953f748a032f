"""Cases by their name: files, and the packaged demonstrations."""

from importlib import resources
from pathlib import Path

from tidalbay.ask.said import expect
from tidalbay.case import FIRST_FORM, Case, in_form
from tidalbay.case import load_case as load_case_file


def demonstrations() -> dict[str, Path]:
    """The packaged demonstration cases, by id."""
    folder = Path(str(resources.files("tidalbay"))) / "cases"
    return {path.stem: path for path in sorted(folder.glob("*.yaml"))}


def load_case(name: str | Path, form: str = FIRST_FORM, procedures: str | Path | None = None) -> Case:
    """A case from a file, or a packaged demonstration by its id.

    Parameters
    ----------
    name : str or Path
    form : str
        The letter of one of its parallel forms; a is the case as it is written.
    procedures : str, Path or None
        The folder of a school's own procedures, which stand in the place of the packaged ones.

    Raises
    ------
    CaseErrors
        With every error of the file at once; its text is the page to show.
    ValueError
        With a sentence, where it has no such form.
    """
    expect(form, str, "A form is the letter of one, such as b")
    expect(name, (str, Path), f"A case is a file, or one of {', '.join(demonstrations())}")
    school = None if procedures is None else Path(procedures)
    return in_form(load_case_file(demonstrations().get(str(name), Path(name)), school), form)
