"""A seeded tenth of `python3 run.py prove hostile_pictures`: broken and hostile files get a sentence, no figure, and leave no file."""

from __future__ import annotations

import resource
from pathlib import Path

import pytest

from photo_proofs import proof

hostile = proof("hostile_pictures")


def test_every_hostile_file_gets_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    before_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    kinds = set()
    for number in range(hostile.FILES // 10):
        kind, data = hostile.hostile(number)
        verdict, said = hostile.outcome(data)
        assert verdict == "refuse", (number, kind)
        assert said.endswith("."), (number, kind)
        kinds.add(kind)
    assert kinds == set(hostile.KINDS)
    assert list(tmp_path.rglob("*")) == []
    assert (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kb) / 1024 < hostile.LIMIT_MB


def test_sound_pictures_are_not_hostile() -> None:
    """The whole files that the broken ones are made of do open: what is refused is refused for its damage."""
    from skeinwright.files.photos import open_photo

    for form in ("JPEG", "PNG", "WEBP", "HEIC"):
        assert open_photo(hostile._whole(form)).pixels.ndim == 3
