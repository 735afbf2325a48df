"""`skeinwright backup` and `skeinwright restore`: one file that holds the studio and its photos, made and put back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of


def backup(
    context: typer.Context,
    to: Annotated[Path | None, typer.Option(metavar="PLACE", help="A file or a folder; without it, the folder 'backups' beside the studio.")] = None,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Back the studio and its photos up into one file, and check it."""
    from skeinwright.services.back_up import back_up

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        made = back_up(opened, to)
        lost = [f"The file of photo {name} is missing, so it is not in the backup." for name in made.missing]
        answer = {"inputs": {"studio": opened.path}, "path": made.path, "size_bytes": made.size_bytes, "photos": made.photos, "warnings": lost}
        lines = rows([("Backup", str(made.path)), ("Size", _size(made.size_bytes)), ("Photos", str(made.photos))])
        show(answer, lines, as_json=json)


def _size(size_bytes: int) -> str:
    return f"{size_bytes / 1e6:.1f} MB" if size_bytes >= 1e6 else f"{size_bytes / 1e3:.0f} kB"


def restore(
    context: typer.Context,
    backup: Annotated[Path, typer.Argument(metavar="BACKUP", help="The backup file.", show_default=False)],
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Put a backup in the place of the studio, be that damaged or gone; what was there is kept beside it under another name."""
    from skeinwright.services.restore_studio import restore_at

    path, photos = parts_of(context).place(studio)  # not opened: a damaged studio is what a backup is for
    done = restore_at(path, photos, backup)
    answer = {"inputs": {"backup": backup}, "path": done.path, "made_at": done.made_at, "photos": done.photos, "kept_aside": done.kept_aside}
    pairs = [("Studio", str(done.path)), ("Backup of", done.made_at), ("Photos", str(done.photos))]
    pairs += [("Kept aside", str(done.kept_aside))] if done.kept_aside is not None else []
    show(answer, rows(pairs), as_json=json)
