"""Forget a photo that nothing rests on: its file, its preview and its line."""

from __future__ import annotations

from skeinwright.services.studio import Studio


def forget_photo(studio: Studio, photo: int) -> str:
    """What was done, in a sentence. The files are deleted, so this cannot be taken back.

    Raises NotFound for an unknown photo, Conflict where a reading of it was kept (also one that was taken back and could come again) or a lot has it.
    """
    from skeinwright.files.photos import photo_path

    with studio.store.writing() as writing:
        fact = writing.forget_photo(photo)
    for name in (fact.file, fact.preview):
        photo_path(studio.photos, name).unlink(missing_ok=True)
    return "Forgot the photo. Its file is deleted."
