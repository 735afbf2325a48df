"""Keep what one test found: its calibrations, and the figure on the shelf where a thing has a field for it, in one act that can be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.services.studio import Studio


@dataclass(frozen=True, kw_only=True, slots=True)
class Tested:
    """A test as it was kept. `changes` are taken back together; `sentences` say what was found in words; `assumed` what it still rests on."""

    calibrations: tuple[Kept[Calibration], ...]
    changes: tuple[Change, ...]
    sentences: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def keep_test(studio: Studio, found: Sequence[Calibration], *, item: Item | None = None, sentences: Sequence[str] = (), assumed: Sequence[str] = ()) -> Tested:
    """What was kept. `item` is the thing on the shelf as the test leaves it, written only where it differs. Raises NotFound where it is not there."""
    now = studio.now()
    with studio.store.writing() as writing:
        if item is not None:
            present = writing.item(item.kind, item.name)
            writing.replace_item(item.kind, present.id, item, revision=present.revision, now=now)
        kept = tuple(writing.add_calibration(one, now=now) for one in found)
        return Tested(calibrations=kept, changes=tuple(writing.made), sentences=tuple(sentences), assumed=tuple(assumed))
