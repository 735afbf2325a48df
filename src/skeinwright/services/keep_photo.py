"""Keep a photo in the studio."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.store.facts import PhotoFact


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """The photo as it is known now, and what could not be honoured of the file."""

    fact: PhotoFact
    notes: tuple[str, ...] = ()


def keep_photo(studio: Studio, data: bytes, name: str = "", *, keep_wide: bool = False) -> KeptPhoto:
    """Re-encodes the picture without place and other metadata, writes it into the photo folder and notes it. Raises PhotoRefused.

    `keep_wide` keeps colours beyond sRGB, for a photo that is to be measured in.
    """
    from skeinwright.files.photos import keep_picture
    from skeinwright.store.facts import PhotoFact

    kept = keep_picture(data, studio.photos, keep_wide=keep_wide)
    fact = PhotoFact(
        id=0,
        file=kept.file,
        preview=kept.preview,
        width_px=kept.width_px,
        height_px=kept.height_px,
        size_bytes=kept.size_bytes,
        added_at=studio.now(),
        said_name="".join(sign for sign in name if sign.isprintable())[:200],
    )
    with studio.store.writing() as writing:
        return KeptPhoto(writing.add_photo(fact), kept.notes)
