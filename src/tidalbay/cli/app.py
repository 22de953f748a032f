"""The commands: each one parses, calls one function of another module, and prints.

Nothing heavy is imported up here, so that help and refusals come at once.
"""

from typing import Annotated, Final

import typer

from tidalbay import __version__
from tidalbay.cli import asked
from tidalbay.cli.guide import Overview, Page
from tidalbay.cli.paper import CAUTION, called_as, result, result_json, talk, width
from tidalbay.cli.refusals import CalledWrongly

# The parser's own refusals, whatever copy of the parser the library carries.
CALLED_WRONGLY: Final[type[Exception]] = typer.BadParameter.__bases__[0]
STOPPED_BY_HAND: Final = typer.Abort

MOST_MINUTES: Final = 720.0
PACES: Final = {"fast": None, "real": 1.0}
FASTEST: Final = 100000.0
FORM: Final = "A parallel form of the case, such as b; else the case as it is written."
PROCEDURES: Final = "Your school's own procedures, which stand in the place of those that come with it."

app = typer.Typer(
    cls=Overview,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"]},
)


@app.callback(invoke_without_command=True)
def overview(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Say which version this is.")] = False,
) -> None:
    """Show what there is when nothing was asked."""
    if version:
        result(f"tidalbay {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        result(context.get_help())


@app.command(
    cls=Page, help="Play a case and see what becomes of the patient; without a file, the demonstration."
)
def run(
    case: Annotated[
        str | None, typer.Argument(metavar="CASE", help="A case file, or the id of a demonstration.")
    ] = None,
    minutes: Annotated[
        str | None, typer.Option(metavar="N", help="How long to play, up to 720; else as long as the case.")
    ] = None,
    acts: Annotated[
        str | None,
        typer.Option(
            metavar="NAME|FILE",
            help="What hands do: a path of the case (else its first), none, a list of acts, or a log.",
        ),
    ] = None,
    form: Annotated[str | None, typer.Option(metavar="LETTER", help=FORM)] = None,
    procedures: Annotated[str | None, typer.Option(metavar="FOLDER", help=PROCEDURES)] = None,
    seed: Annotated[
        str, typer.Option(metavar="N", help="Another seed, other chance; the same one, the same digits.")
    ] = "0",
    pace: Annotated[
        str,
        typer.Option(
            metavar="PACE",
            help="On a terminal: fast (about ten seconds in all), real, or how many times real.",
        ),
    ] = "fast",
    out: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Write the trace: .csv a row a second, .json all of it."),
    ] = None,
    log: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the log of the attempt, a line for each entry.")
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print acts, events and trace for a program.")
    ] = False,
) -> None:
    """Play a case."""
    from tidalbay.cli.play import Wishes, play

    play(
        Wishes(
            case=case,
            minutes=None
            if minutes is None
            else asked.number("minutes", minutes, 0.1, MOST_MINUTES, "minutes"),
            acts=acts,
            form=form,
            procedures=procedures,
            seed=asked.whole("seed", seed, 0, 2**32 - 1, ""),
            pace=PACES[pace]
            if pace in PACES
            else asked.number("pace", pace, 0.1, FASTEST, "times, or fast, or real"),
            out=out,
            log=log,
            as_json=as_json,
        )
    )


@app.command(
    cls=Page, help="Say what one settled breath on a device holds, and where each millilitre came from."
)
def breath(
    device: Annotated[
        str | None, typer.Option(metavar="NAME", help="What is worn: nasal_cannula and so on, or none.")
    ] = None,
    flow: Annotated[
        str | None, typer.Option(metavar="LPM", help="Flow as the flowmeter shows it, L/min.")
    ] = None,
    rate: Annotated[
        str | None, typer.Option(metavar="N", help="Breaths a minute; 15 if not said, in children by age.")
    ] = None,
    tidal: Annotated[
        str | None,
        typer.Option(metavar="ML", help="Size of a breath, mL; 500 if not said, in children 7 mL/kg."),
    ] = None,
    inspiratory_share: Annotated[
        str | None,
        typer.Option(metavar="SHARE", help="Share of a breath spent breathing in; 0.42 if not said."),
    ] = None,
    pause: Annotated[
        str | None, typer.Option(metavar="S", help="Still time after each breath out, s; 0 if not said.")
    ] = None,
    mouth: Annotated[
        str | None, typer.Option(metavar="SHARE", help="0 mouth shut (if not said) to 1 wide open.")
    ] = None,
    fit: Annotated[
        str | None, typer.Option(metavar="SHARE", help="How a mask sits: 0 loose, 0.5 snug, 1 tight.")
    ] = None,
    valves: Annotated[
        str | None, typer.Option(metavar="N", help="Discs over the ports of a reservoir mask.")
    ] = None,
    setting: Annotated[
        str | None, typer.Option(metavar="PCT", help="Which entrainment valve is fitted, %.")
    ] = None,
    fio2: Annotated[
        str | None, typer.Option(metavar="FRAC", help="Share of oxygen a blender is set to, 0.21 to 1.")
    ] = None,
    set_flow: Annotated[
        str | None,
        typer.Option(
            metavar="LPM", help="Flow of the high-flow set an in-line cup is in, L/min; 40 if not said."
        ),
    ] = None,
    gas: Annotated[
        str | None, typer.Option(metavar="NAME", help="Outlet the device is on: oxygen (if not said) or air.")
    ] = None,
    altitude: Annotated[
        str | None, typer.Option(metavar="M", help="Height above the sea, m; 0 if not said.")
    ] = None,
    patient: Annotated[
        str | None, typer.Option(metavar="PRESET", help="Whose lungs; healthy_adult if not said.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the numbers for a program.")] = False,
) -> None:
    """Say what one breath holds."""
    from tidalbay.cli.breath_page import question, tell

    said = {
        "device": device, "flow": flow, "rate": rate, "tidal": tidal, "inspiratory-share": inspiratory_share,
        "pause": pause, "mouth": mouth, "fit": fit, "valves": valves, "setting": setting, "fio2": fio2,
        "set-flow": set_flow, "gas": gas, "altitude": altitude, "patient": patient,
    }  # fmt: skip
    tell(question(said), as_json)


@app.command(cls=Page, help="Say what a cylinder holds and how many minutes are left.")
def cylinder(
    size: Annotated[
        str | None, typer.Option(metavar="NAME", help="The letter of its size: E, D, UK-D and so on.")
    ] = None,
    pressure: Annotated[
        str | None,
        typer.Option(metavar="PRESSURE", help="What its gauge shows, with psi, bar or kPa: 2000psi."),
    ] = None,
    flow: Annotated[str | None, typer.Option(metavar="LPM", help="Flow that leaves it, L/min.")] = None,
    reserve: Annotated[
        str | None, typer.Option(metavar="PRESSURE", help="What is kept in reserve; 200psi if not said.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the numbers for a program.")] = False,
) -> None:
    """Say how long a cylinder lasts."""
    from dataclasses import asdict

    from tidalbay.cli.cylinder_page import ask, cylinder_page

    answer = ask(size, pressure, flow, reserve)
    for warning in answer.warnings:
        talk(warning)
    if as_json:
        result_json({**asdict(answer), "caution": CAUTION}, indent=2)
    else:
        result(cylinder_page(answer, CAUTION, width()))


@app.command(
    "take-home",
    cls=Page,
    help="Write a run as one page that plays in any browser, offline, forwards and back.",
)
def take_home(
    case: Annotated[
        str | None, typer.Argument(metavar="CASE|LOG", help="A case file, a demonstration, or a log.")
    ] = None,
    acts: Annotated[
        str | None, typer.Option(metavar="NAME|FILE", help="What hands do: a path of the case, or a file.")
    ] = None,
    form: Annotated[str | None, typer.Option(metavar="LETTER", help=FORM)] = None,
    procedures: Annotated[str | None, typer.Option(metavar="FOLDER", help=PROCEDURES)] = None,
    html: Annotated[
        str, typer.Option(metavar="FILE", help="Where to write it; else take-home.html.")
    ] = "take-home.html",
    what_if: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WORDS", help='Another way, computed now: "without 7", "7 at 2:30"; may be repeated.'
        ),
    ] = None,
) -> None:
    """Write a page to take home."""
    from tidalbay.cli.taking_home import take_home as write_page

    write_page(case or "post-operative", form, acts, html, what_if or [], procedures)


@app.command(cls=Page, help="Read case files and say everything that is wrong with them, each with its line.")
def check(
    cases: Annotated[
        list[str] | None, typer.Argument(metavar="CASE...", help="Case files, or ids of demonstrations.")
    ] = None,
    procedures: Annotated[str | None, typer.Option(metavar="FOLDER", help=PROCEDURES)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the problems for an editor.")] = False,
) -> int:
    """Check case files."""
    if not cases:
        raise CalledWrongly(f"check needs at least one case file: {called_as()} check my-case.yaml")
    from tidalbay.cli.checking import check as check_all

    return check_all(cases, as_json, procedures)


@app.command(cls=Page, help="Judge a run by the check-off of its case: each criterion, by how much, and why.")
def judge(
    case: Annotated[
        str | None, typer.Argument(metavar="CASE", help="A case file, or the id of a demonstration.")
    ] = None,
    acts: Annotated[
        str | None,
        typer.Option(
            metavar="NAME|FILE",
            help="What is judged: a path of the case (else its first), none, a list of acts, or a log.",
        ),
    ] = None,
    form: Annotated[str | None, typer.Option(metavar="LETTER", help=FORM)] = None,
    procedures: Annotated[str | None, typer.Option(metavar="FOLDER", help=PROCEDURES)] = None,
    minutes: Annotated[
        str | None, typer.Option(metavar="N", help="Judge it as it stands after so many minutes.")
    ] = None,
    seed: Annotated[str, typer.Option(metavar="N", help="The seed of the run.")] = "0",
    as_json: Annotated[
        bool, typer.Option("--json", help="Print criteria with verdict, margin and evidence for a program.")
    ] = False,
) -> None:
    """Judge a run."""
    from tidalbay.cli.judging import judge as judge_run

    judge_run(
        case or "post-operative",
        form,
        acts,
        None if minutes is None else asked.number("minutes", minutes, 0.1, MOST_MINUTES, "minutes"),
        asked.whole("seed", seed, 0, 2**32 - 1, ""),
        as_json,
        procedures,
    )


@app.command(
    cls=Page, help="Lay an attempt out for the talk afterwards: a page for a browser, two sheets for print."
)
def debrief(
    attempt: Annotated[
        str | None, typer.Argument(metavar="ATTEMPT", help="A log file, or an attempt's id with --data.")
    ] = None,
    pdf: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write two sheets for print, accessible.")
    ] = None,
    html: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write one page for a browser, whole in itself.")
    ] = None,
    data: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Where a lab keeps its attempts; it must be closed.")
    ] = None,
) -> None:
    """Lay an attempt out."""
    from tidalbay.cli.debriefing import debrief as lay_out

    lay_out(attempt, data, html, pdf)


@app.command(cls=Page, help="Print the JSON Schema of a case file, for editors that check while one writes.")
def schema() -> None:
    """Print the schema of a case."""
    from tidalbay.case import case_schema

    result_json(case_schema(), indent=2)


@app.command(cls=Page, help="Compile the model once and keep it, so that every later run starts at once.")
def prepare() -> None:
    """Prepare the model."""
    from tidalbay.cli.preparing import prepare as compile_and_keep

    compile_and_keep()


@app.command(cls=Page, help="Hold the model against published measurements, and write the page of it.")
def validate(
    html: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the page for a browser; else validation.html.")
    ] = None,
    pdf: Annotated[
        str | None, typer.Option(metavar="FILE", help="Write the page for print; else validation.pdf.")
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print every row for a program; pages only where they are named.")
    ] = False,
) -> None:
    """Validate the model."""
    from tidalbay.cli.validating import validate as validate_all

    validate_all(as_json, html, pdf)


@app.command(
    cls=Page, help="Open the lab on this computer: stations, bedsides and check-offs in any browser."
)
def serve(
    demo: Annotated[
        bool, typer.Option("--demo", help="Begin with the demonstration going at the first station.")
    ] = False,
    host: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="Open the room at this address only; else at every one there is."
        ),
    ] = None,
    port: Annotated[
        str, typer.Option(metavar="N", help="The port, 1024 to 65535; 8750 if not said.")
    ] = "8750",
    data: Annotated[
        str | None,
        typer.Option(metavar="FOLDER", help="Where everything is kept; else the user's own folder."),
    ] = None,
    procedures: Annotated[str | None, typer.Option(metavar="FOLDER", help=PROCEDURES)] = None,
) -> None:
    """Open the lab."""
    from pathlib import Path

    from tidalbay.cli.serving import Wishes, address
    from tidalbay.cli.serving import serve as open_the_lab

    open_the_lab(
        Wishes(
            is_demonstration=demo,
            host=None if host is None else address(host),
            port=asked.whole("port", port, 1024, 65535, ""),
            data=None if data is None else Path(data).expanduser(),
            procedures=None if procedures is None else Path(procedures).expanduser(),
        )
    )


@app.command(
    cls=Page, help="Set the instructor's password anew, at the lab's own computer, when it is forgotten."
)
def password(
    data: Annotated[
        str | None,
        typer.Option(metavar="FOLDER", help="Where the lab's data is kept; else the user's own folder."),
    ] = None,
) -> None:
    """Set a new password."""
    from pathlib import Path

    from tidalbay.cli.password import password as ask_for_one

    ask_for_one(None if data is None else Path(data).expanduser())
