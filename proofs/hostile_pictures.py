"""Broken, truncated, huge and hostile picture files: each gets a clear sentence or is read as what it shows, memory stays bounded, nothing is written.

    .venv/bin/python proofs/hostile_pictures.py [FILES]      writes docs/proof/hostile_pictures.md

tests/services/test_hostile_pictures.py keeps a seeded tenth of it.
"""

from __future__ import annotations

import io
import os
import platform
import re
import resource
import struct
import subprocess
import sys
import tempfile
import time
import zlib
from collections import Counter
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image

from skeinwright.services.measure_photo import MeasurePhoto, measure_photo

ROOT = Path(__file__).parents[1]
FILES = 2000
SEED = 20261124
LIMIT_MB = 1500.0
Rng = np.random.Generator


@cache
def _whole(form: str) -> bytes:
    """A sound picture of each form, a few tens of kilobytes."""
    if form == "HEIC":
        return (ROOT / "tests" / "services" / "data" / "two_colours.heic").read_bytes()
    rng = np.random.default_rng(4)
    pixels = np.repeat(np.repeat(rng.integers(0, 256, (24, 32, 3), dtype=np.uint8), 10, 0), 10, 1)
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010E] = "../../../written-by-a-picture"
    target = io.BytesIO()
    Image.fromarray(pixels).save(target, form, exif=exif)
    return target.getvalue()


def _cut(data: bytes, rng: Rng) -> bytes:
    return data[: int(rng.integers(1, len(data)))]


def _flipped(data: bytes, rng: Rng) -> bytes:
    made = bytearray(data)
    for place in rng.integers(0, len(made), int(rng.choice([1, 3, 20, 200]))):
        made[int(place)] ^= 1 << int(rng.integers(0, 8))
    return bytes(made)


def _patched(data: bytes, rng: Rng) -> bytes:
    start, size = int(rng.integers(0, len(data))), int(rng.integers(1, 400))
    return data[:start] + rng.bytes(size) + data[start + (size if rng.random() < 0.5 else 0) :]


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _png(width: int, height: int, body: bytes, depth: int = 8, kind: int = 2, extra: bytes = b"") -> bytes:
    head = _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + extra + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")


def _claims(rng: Rng) -> bytes:
    """A few bytes that announce a huge picture."""
    width, height = (int(value) for value in 10 ** rng.uniform(3.5, 9.2, 2))
    return _png(min(width, 2**31 - 1), min(height, 2**31 - 1), zlib.compress(bytes(1000)))


def _jpeg_claims(rng: Rng) -> bytes:
    data = bytearray(_whole("JPEG"))
    at = data.find(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", int(rng.integers(8000, 65536)), int(rng.integers(8000, 65536)))
    return bytes(data)


def _bomb(rng: Rng) -> bytes:
    """A small file that unfolds into many pixels, up to the limit."""
    width, height = int(rng.integers(2000, 8000)), int(rng.integers(2000, 8000))
    return _png(width, height, zlib.compress(bytes((1 + (width + 7) // 8) * height), 9), depth=1, kind=0)


def _text_bomb(rng: Rng) -> bytes:
    packed = zlib.compress(bytes(int(rng.integers(10, 90)) * 1_000_000), 9)
    return _png(8, 8, zlib.compress(bytes(25 * 8)), extra=_chunk(b"zTXt", b"Comment\0\0" + packed) + _chunk(b"iCCP", b"x\0\0" + packed))


def _profile(rng: Rng) -> bytes:
    target = io.BytesIO()
    Image.open(io.BytesIO(_whole("JPEG"))).convert("RGB").save(target, "JPEG", icc_profile=rng.bytes(int(rng.integers(1, 3000))))
    return target.getvalue()


def _other_kind(rng: Rng) -> bytes:
    form = str(rng.choice(["GIF", "BMP", "TIFF", "PPM", "ICO", "text"]))
    if form == "text":
        starts = (b"%PDF-1.7\n", b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>", b"PK\x03\x04", b"MZ", b"#!/bin/sh\nrm -rf x\n")
        return starts[int(rng.integers(5))] + rng.bytes(50)
    target = io.BytesIO()
    Image.new("RGB", (40, 30), (9, 99, 199)).save(target, form)
    return target.getvalue()


KINDS: dict[str, Callable[[Rng], bytes]] = {
    "random bytes": lambda rng: rng.bytes(int(rng.integers(0, 4000))),
    **{f"{form} cut short": lambda rng, form=form: _cut(_whole(form), rng) for form in ("JPEG", "PNG", "WEBP", "HEIC")},
    **{f"{form} with bits flipped": lambda rng, form=form: _flipped(_whole(form), rng) for form in ("JPEG", "PNG", "WEBP", "HEIC")},
    **{f"{form} with a patch of noise": lambda rng, form=form: _patched(_whole(form), rng) for form in ("JPEG", "PNG", "WEBP", "HEIC")},
    "PNG that claims to be huge": _claims,
    "JPEG that claims to be huge": _jpeg_claims,
    "PNG that unfolds a thousandfold": _bomb,
    "PNG whose text unfolds": _text_bomb,
    "JPEG with a rubbish profile": _profile,
    "another kind of file": _other_kind,
}
RARE = ("PNG that unfolds a thousandfold", "PNG whose text unfolds")
"""These take seconds each, so one turn in eight has them."""


def hostile(number: int) -> tuple[str, bytes]:
    """The kind and the bytes of a file."""
    names = list(KINDS)
    kind = names[number % len(names)]
    if kind in RARE and number // len(names) % 8:
        kind = names[number // len(names) % 13]
    return kind, KINDS[kind](np.random.default_rng([SEED, number]))


def outcome(data: bytes) -> tuple[str, str]:
    """(verdict, what is told) of measuring a file."""
    found = measure_photo(MeasurePhoto(photo=data))
    return found.verdict, " ".join(found.messages)


def main(arguments: list[str]) -> int:
    """Run them all; 1 where one is not answered with a sentence, memory is exceeded or a file appears."""
    count = int(arguments[0]) if arguments else FILES
    told: Counter[str] = Counter()
    by_kind: Counter[str] = Counter()
    slowest, problems = 0.0, []
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        for number in range(count):
            kind, data = hostile(number)
            begun = time.perf_counter()
            try:
                verdict, said = outcome(data)
            except Exception as error:
                problems.append(f"{number} ({kind}): {type(error).__name__}: {error}")
                continue
            slowest = max(slowest, time.perf_counter() - begun)
            by_kind[kind] += 1
            told[re.sub(r"\d+ x \d+", "so and so many", said)] += 1
            if verdict != "refuse" or not said.endswith("."):
                problems.append(f"{number} ({kind}): {verdict}: {said}")
        problems += [f"a file appeared: {path}" for path in Path(folder).rglob("*")]
        os.chdir(ROOT)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if peak_mb > LIMIT_MB:
        problems.append(f"memory: {peak_mb:.0f} MB")
    text = _page(count, by_kind, told, peak_mb, slowest, problems)
    print(text)
    if count >= FILES:
        (ROOT / "docs" / "proof" / "hostile_pictures.md").write_text(text, encoding="utf-8")
    return 1 if problems else 0


def _page(count: int, by_kind: Counter[str], told: Counter[str], peak_mb: float, slowest: float, problems: list[str]) -> str:
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.strip() or "not known"
    lines = [
        "# Hostile picture files",
        "",
        f"{count} files were given to `measure`: {sum(by_kind.values())} were answered with a sentence and no figure, {len(problems)} were not.",
        f"Most memory: {peak_mb:.0f} MB (limit {LIMIT_MB:.0f} MB), with pictures of up to 64 million pixels among them. Slowest file: {slowest:.1f} s.",
        "Files written: none.",
        "",
        "| kind | files |",
        "|---|---|",
        *(f"| {kind} | {number} |" for kind, number in sorted(by_kind.items())),
        "",
        "| what was told | files |",
        "|---|---|",
        *(f"| {said} | {number} |" for said, number in told.most_common(12)),
        "",
        *(f"- {problem}" for problem in problems[:40]),
        f"Made by `python3 run.py prove hostile_pictures` on {date.today().isoformat()}, {platform.system()} {platform.machine()}, "
        f"Python {platform.python_version()}, at or after commit {commit}.",
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
