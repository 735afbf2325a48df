"""The web application: every URL in one table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.routing import BaseRoute, Mount
from starlette.staticfiles import StaticFiles

from skeinwright.core.foundations.errors import SkeinwrightError
from skeinwright.services.preview_shelf_import import ShelfFile
from skeinwright.services.studio import Studio
from skeinwright.web import errors
from skeinwright.web.act import acts, shows
from skeinwright.web.notes import ForLater, Note
from skeinwright.web.pages import first_start, pictures, settings, shelf, shelf_export, shelf_import, swatches, today, understand, undo
from skeinwright.web.security import MAX_BODY_BYTES, BodyTooLarge, Guard

HERE = Path(__file__).parent

ROUTES: tuple[BaseRoute, ...] = (
    shows("/", today.show, "today"),
    shows("/start", first_start.show, "start"),
    acts("/start", first_start.begin, "start_begin"),
    shows("/settings", settings.show, "settings"),
    acts("/settings", settings.save, "settings_save"),
    acts("/undo", undo.take_back, "undo"),
    shows("/understand", understand.show, "understand"),
    shows("/shelf", shelf.first_drawer, "shelf"),
    shows("/shelf/import", shelf_import.show, "shelf_import"),
    acts("/shelf/import", shelf_import.preview, "shelf_import_preview"),
    acts("/shelf/import/apply", shelf_import.apply, "shelf_import_apply"),
    shows("/shelf/export", shelf_export.show, "shelf_export"),
    shows("/shelf/export/{what}", shelf_export.download, "shelf_export_file"),
    shows("/shelf/{drawer}", shelf.drawer, "shelf_drawer"),
    shows("/shelf/{kind}/new", shelf.new, "shelf_new"),
    acts("/shelf/{kind}/new", shelf.add, "shelf_add"),
    shows("/shelf/{kind}/{id:int}", shelf.edit, "shelf_edit"),
    acts("/shelf/{kind}/{id:int}", shelf.save, "shelf_save"),
    acts("/shelf/{kind}/{id:int}/archive", shelf.archive, "shelf_archive"),
    shows("/shelf/dye/{id:int}/swatches", swatches.show, "swatches"),
    acts("/shelf/dye/{id:int}/swatches", swatches.add, "swatches_add"),
    acts("/shelf/dye/{id:int}/swatches/remove", swatches.remove, "swatches_remove"),
    shows("/shelf/dye/{id:int}/eye", swatches.by_eye, "swatches_by_eye"),
    acts("/shelf/dye/{id:int}/photo", swatches.keep_photo, "swatches_photo"),
    shows("/shelf/dye/{id:int}/photo/{photo:int}", swatches.in_photo, "swatches_in_photo"),
    shows("/photos/{photo:int}", pictures.photo, "photo"),
    shows("/pictures/strand/{id:int}.png", pictures.strand, "picture_strand"),
    shows("/pictures/ladder/{id:int}.png", pictures.ladder, "picture_ladder"),
    Mount("/static", StaticFiles(directory=HERE / "static"), name="static"),
)


def create_app(studio: Studio, *, allowed_hosts: Sequence[str] = (), max_body_bytes: int = MAX_BODY_BYTES) -> Starlette:
    """The application for one open studio.

    It answers only under the names of this machine, and under `allowed_hosts` where the dyer has opened the studio to other machines.
    """
    app = Starlette(
        routes=ROUTES,
        middleware=[Middleware(Guard, allowed_hosts=allowed_hosts, max_body_bytes=max_body_bytes)],
        exception_handlers={
            SkeinwrightError: errors.on_known,
            HTTPException: errors.on_http,
            BodyTooLarge: errors.on_too_large,
            Exception: errors.on_unknown,
        },
    )
    app.state.studio = studio
    app.state.notes = ForLater[Note](500)
    app.state.files = ForLater[ShelfFile](8)
    return app
