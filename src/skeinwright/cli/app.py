"""The command `skeinwright`: its commands in one table, and the one place where errors become sentences and exit codes.

Exit 0: done. Exit 2: bad input, one sentence on stderr. Exit 3: a photo was refused. Exit 1: a fault of the program, written to a file.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from skeinwright.cli import crash
from skeinwright.cli.amounts import amounts
from skeinwright.cli.base import base
from skeinwright.cli.bath import bath
from skeinwright.cli.called import called
from skeinwright.cli.colourway import colourways
from skeinwright.cli.demo import demo
from skeinwright.cli.difference import difference
from skeinwright.cli.dye import dye
from skeinwright.cli.fade import fade
from skeinwright.cli.forecast import forecast
from skeinwright.cli.keep import backup, restore
from skeinwright.cli.knitted import knitted
from skeinwright.cli.lot import lots, slip
from skeinwright.cli.match import match
from skeinwright.cli.measure import measure
from skeinwright.cli.open import open_
from skeinwright.cli.overdye import overdye
from skeinwright.cli.own_test import own_test
from skeinwright.cli.parts import Parts
from skeinwright.cli.photosheet import photosheet
from skeinwright.cli.picture import picture
from skeinwright.cli.process import process
from skeinwright.cli.reading import readings
from skeinwright.cli.recipe_keep import recipe
from skeinwright.cli.shelf import shelf
from skeinwright.cli.spread import spread
from skeinwright.cli.what_if import what_if
from skeinwright.cli.yarn import knit, stripes, yarn
from skeinwright.core.foundations.errors import ManyBadInputs, SkeinwrightError

app = typer.Typer(
    name="skeinwright",
    help="A studio book that computes, for people who dye yarn by hand.\n\n"
    "New here: 'demo' makes an invented studio to look round in, and 'open --studio demo.skeinwright' shows it in the browser. "
    "'COMMAND --help' tells what a command takes; all but 'open' print one JSON object with --json.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(invoke_without_command=True)
def root(context: typer.Context, version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False) -> None:
    """A studio book that computes, for people who dye yarn by hand."""
    if version:
        from importlib.metadata import version as installed

        print(f"Skeinwright {installed('skeinwright')}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        print(context.get_help())


COMMANDS = (
    amounts, bath, process, spread, forecast, match, difference, fade, yarn,
    knit, stripes, picture, photosheet, measure, overdye, slip, backup, restore, demo,
)  # fmt: skip
for command in COMMANDS:
    app.command()(command)
colourways.command("knit")(knitted)
colourways.command("what-if")(what_if)
GROUPS = (dye, recipe, shelf, base, own_test, colourways, lots, readings)
for group in GROUPS:
    app.add_typer(group, short_help=str(group.info.help).rstrip("."))
app.command("open")(open_)
for info in (one for each in (app, *GROUPS) for one in each.registered_commands):
    info.short_help = str(info.callback.__doc__).partition("\n")[0].rstrip(".")  # in full: a list of commands that ends in dots tells too little


def run(arguments: Sequence[str], parts: Parts) -> int:
    """Do what the arguments ask with these parts; return the exit code. No traceback ever reaches the person."""
    _forgive_narrow_terminals()
    try:
        code = app(args=list(arguments), prog_name=called(), standalone_mode=False, obj=parts)
        return code if isinstance(code, int) else 0
    except ManyBadInputs as problem:
        for one in problem.problems:
            _tell(_with_option(str(one), arguments))
        return problem.exit_code
    except SkeinwrightError as problem:
        _tell(_with_option(str(problem), arguments))
        return problem.exit_code
    except typer.TyperException as problem:
        _tell(_usage_sentence(problem))
        return 2
    except typer.Abort:
        return 130
    except BrokenPipeError:
        return 0
    except Exception as error:
        _tell(crash.report(error, arguments))
        return 1


def _with_option(sentence: str, arguments: Sequence[str]) -> str:
    """The sentence with the option as it was typed in the place of the field's name: "--wet-length: ..." for "wet_length: ..."."""
    where, colon, rest = sentence.partition(": ")
    option = f"--{where.replace('_', '-')}"
    return f"{option}: {rest}" if colon and option in {typed.partition("=")[0] for typed in arguments} else sentence


_PLAINER = (
    (r"^Invalid value for '?([^':]+)'?: ", r"\1: "),
    (r"Input should be greater than or equal to (\S+)", r"a number of \1 or more is needed here"),
    (r"Input should be less than or equal to (\S+)", r"a number of \1 or less is needed here"),
    (r"Input should be a valid integer.*", "a whole number is needed here"),
    (r"Input should be a valid number.*", "a number is needed here"),
)


def _usage_sentence(problem: typer.TyperException) -> str:
    """What is wrong with the options, and where to read more, on one line."""
    context = getattr(problem, "ctx", None)
    asked = context.command_path if context is not None else called()
    said = " ".join(problem.format_message().split()).rstrip(".")
    for pattern, words in _PLAINER:
        said = re.sub(pattern, words, said)
    return f"{said}: see '{asked} --help'."


def _tell(sentence: str) -> None:
    print(sentence, file=sys.stderr)


def _forgive_narrow_terminals() -> None:
    """A terminal that cannot show a sign gets a question mark in its place rather than a fault."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
