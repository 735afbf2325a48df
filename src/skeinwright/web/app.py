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
from skeinwright.services.keep_test import Tested
from skeinwright.services.preview_shelf_import import ShelfFile
from skeinwright.services.studio import Studio
from skeinwright.web import errors
from skeinwright.web.act import acts, shows
from skeinwright.web.notes import ForLater, Note
from skeinwright.web.pages import (
    base_page,
    colourway,
    colourway_import,
    colourway_laid,
    colourways,
    fades,
    first_start,
    jobs,
    knitted,
    lot_acts,
    lot_colour,
    lot_liquor,
    lot_new,
    lot_sheet,
    lots,
    measure,
    measure_beside,
    measure_photo,
    measure_without,
    own_test_photo,
    own_tests,
    pan_reach,
    pictures,
    pot_line,
    recipe_tools,
    recipes,
    sets,
    settings,
    shelf,
    shelf_export,
    shelf_import,
    skein_pictures,
    stripes,
    swatches,
    today,
    understand,
    undo,
)
from skeinwright.web.security import MAX_BODY_BYTES, BodyTooLarge, Guard

HERE = Path(__file__).parent

ROUTES: tuple[BaseRoute, ...] = (
    shows("/", today.show, "today"),
    shows("/start", first_start.show, "start"),
    acts("/start", first_start.begin, "start_begin"),
    shows("/settings", settings.show, "settings"),
    acts("/settings", settings.save, "settings_save"),
    acts("/undo", undo.take_back, "undo"),
    shows("/jobs/{token}", jobs.show, "job"),
    acts("/jobs/{token}/stop", jobs.stop, "job_stop"),
    shows("/understand", understand.show, "understand"),
    shows("/shelf", shelf.first_drawer, "shelf"),
    shows("/shelf/import", shelf_import.show, "shelf_import"),
    acts("/shelf/import", shelf_import.preview, "shelf_import_preview"),
    acts("/shelf/import/apply", shelf_import.apply, "shelf_import_apply"),
    shows("/shelf/export", shelf_export.show, "shelf_export"),
    shows("/shelf/export/{what}", shelf_export.download, "shelf_export_file"),
    shows("/shelf/pan-reach", pan_reach.show, "pan_reach"),
    shows("/shelf/bases/beside", base_page.beside, "bases_beside"),
    shows("/shelf/base/{id:int}/yarn", base_page.show, "base_page"),
    shows("/shelf/base/{id:int}/washing", base_page.washing, "base_washing"),
    acts("/shelf/base/{id:int}/washing", base_page.keep_washing, "base_washing_keep"),
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
    shows("/colourways", colourways.show, "colourways"),
    shows("/colourways/new", colourway.new, "colourway_new"),
    acts("/colourways/forecast", colourway.forecast, "colourway_forecast"),
    acts("/colourways/pot", colourway.pot, "colourway_pot"),
    acts("/colourways/laid", colourway_laid.begin, "colourway_laid_begin"),
    shows("/colourways/laid/{key}/film.{form}", colourway_laid.film, "colourway_film"),
    shows("/colourways/laid/{key}/map.npz", colourway_laid.skein_map, "colourway_map"),
    shows("/pictures/laid/{key}.png", colourway_laid.picture, "picture_laid"),
    acts("/colourways/pot/line", pot_line.line, "colourway_pot_line"),
    acts("/colourways/steps", colourway.steps, "colourway_steps"),
    acts("/colourways/save", colourway.save, "colourway_save"),
    shows("/colourways/import", colourway_import.show, "colourway_import"),
    acts("/colourways/import", colourway_import.bring_in, "colourway_bring_in"),
    shows("/colourways/stripes", stripes.show, "stripes"),
    acts("/colourways/stripes", stripes.keep, "stripes_keep"),
    shows("/colourways/stripes/winding.pdf", stripes.sheet, "stripes_sheet"),
    shows("/colourways/{id:int}/knitted", knitted.show, "colourway_knitted"),
    shows("/colourways/sets/new", sets.new, "set_new"),
    acts("/colourways/sets/new", sets.add, "set_add"),
    shows("/colourways/sets/{id:int}", sets.edit, "set"),
    acts("/colourways/sets/{id:int}", sets.save, "set_save"),
    acts("/colourways/sets/{id:int}/archive", sets.archive, "set_archive"),
    shows("/colourways/{id:int}", colourway.edit, "colourway"),
    shows("/colourways/{id:int}/export", colourways.export, "colourway_export"),
    acts("/colourways/{id:int}/archive", colourways.archive, "colourway_archive"),
    shows("/recipes", recipes.show, "recipes"),
    acts("/recipes/keep", recipes.keep, "recipes_keep"),
    acts("/recipes/trial", recipes.trial, "recipes_trial"),
    acts("/recipes/photo", recipes.photo, "recipes_photo"),
    shows("/recipes/photo/{photo:int}", recipes.in_photo, "recipes_in_photo"),
    shows("/recipes/fade", fades.show, "recipes_fade"),
    acts("/recipes/fade", fades.keep, "recipes_fade_keep"),
    shows("/recipes/reach", recipe_tools.reach, "recipes_reach"),
    shows("/recipes/triangle", recipe_tools.triangle, "recipes_triangle"),
    shows("/recipes/use-up", recipe_tools.leftovers, "recipes_use_up"),
    shows("/pictures/chip.png", skein_pictures.chip, "picture_chip"),
    shows("/pictures/skein.png", skein_pictures.skein, "picture_skein"),
    shows("/pictures/colourway/{id:int}.png", skein_pictures.colourway, "picture_colourway"),
    shows("/pictures/knitted/{id:int}.png", knitted.picture, "picture_knitted"),
    shows("/pictures/pan.png", pan_reach.picture, "picture_pan"),
    shows("/lots", lots.show, "lots"),
    shows("/lots/new", lot_new.show, "lot_new"),
    acts("/lots/new", lot_new.change, "lot_change"),
    acts("/lots/new/draft", lot_new.draft, "lot_draft"),
    shows("/lots/unplanned", lot_new.choose_vessel, "lot_unplanned"),
    acts("/lots/unplanned", lot_new.start_pot, "lot_start_pot"),
    shows("/lots/old", lots.old, "lots_old"),
    acts("/lots/old", lots.keep_old, "lots_keep_old"),
    shows("/lots/{code}", lot_sheet.show, "lot"),
    shows("/lots/{code}/colour", lot_colour.show, "lot_colour"),
    shows("/lots/{code}/liquor", lot_liquor.show, "lot_liquor"),
    acts("/lots/{code}/liquor", lot_liquor.keep, "lot_liquor_keep"),
    shows("/lots/{code}/again", lot_sheet.again, "lot_again"),
    shows("/lots/{code}/step/{number:int}", lot_sheet.step, "lot_step"),
    shows("/lots/{code}/understood", lot_sheet.understood, "lot_understood"),
    shows("/lots/{code}/slip.pdf", lot_sheet.slip, "lot_slip"),
    shows("/lots/{code}/sheet.pdf", lot_sheet.paper, "lot_paper"),
    acts("/lots/{code}/tick", lot_acts.tick, "lot_tick"),
    acts("/lots/{code}/untick", lot_acts.untick, "lot_untick"),
    acts("/lots/{code}/skip", lot_acts.skip, "lot_skip"),
    acts("/lots/{code}/instead", lot_acts.instead, "lot_instead"),
    acts("/lots/{code}/mark", lot_acts.mark, "lot_mark"),
    acts("/lots/{code}/weigh", lot_acts.weigh, "lot_weigh"),
    acts("/lots/{code}/reading", lot_acts.reading, "lot_reading"),
    acts("/lots/{code}/note", lot_acts.note, "lot_note"),
    acts("/lots/{code}/photo", lot_acts.photo, "lot_photo"),
    shows("/lots/{code}/extra", lot_sheet.extra, "lot_extra"),
    acts("/lots/{code}/extra", lot_acts.extra, "lot_record_extra"),
    shows("/lots/{code}/correct/{entry:int}", lot_acts.correction, "lot_correction"),
    acts("/lots/{code}/correct/{entry:int}", lot_acts.correct, "lot_correct"),
    acts("/lots/{code}/finish", lot_acts.finish, "lot_finish"),
    acts("/lots/{code}/reopen", lot_acts.reopen, "lot_reopen"),
    acts("/lots/{code}/copy", lot_acts.copy, "lot_copy"),
    acts("/lots/{code}/keep", lot_acts.keep, "lot_keep"),
    shows("/measure", measure.show, "measure"),
    acts("/measure", measure.open_photo, "measure_open"),
    shows("/measure/sheet.pdf", measure.sheet, "measure_sheet"),
    acts("/measure/printer", measure.check_printer, "measure_printer"),
    acts("/measure/readings/{id:int}/forget", measure.forget, "measure_forget"),
    shows("/measure/lot/{code}", measure.of_lot, "measure_of_lot"),
    shows("/measure/beside", measure_beside.show, "measure_beside"),
    shows("/measure/{photo:int}", measure_photo.show, "measure_photo"),
    shows("/measure/{photo:int}/flat.jpg", measure_photo.flat, "measure_flat"),
    acts("/measure/{photo:int}/as", measure_photo.read_as, "measure_as"),
    acts("/measure/{photo:int}/swatches", measure_photo.swatches, "measure_swatches"),
    acts("/measure/{photo:int}/keep", measure_photo.keep, "measure_keep"),
    shows("/measure/{photo:int}/without", measure_without.show, "measure_without"),
    shows("/tests", own_tests.show, "own_tests"),
    acts("/tests/results/{id:int}/take-back", own_tests.take_back, "own_test_take_back"),
    shows("/tests/{key}", own_tests.guide, "own_test"),
    acts("/tests/{key}", own_tests.keep, "own_test_keep"),
    acts("/tests/{key}/photo", own_tests.send_photo, "own_test_photo"),
    shows("/tests/{key}/photo/{photo:int}", own_test_photo.show, "own_test_in_photo"),
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
    app.state.tested = ForLater[Tested](50)
    return app
